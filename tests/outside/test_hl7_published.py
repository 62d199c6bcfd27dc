"""A message as HL7 itself published it for tests at home, and ours laid beside it.

Source: HL7 International, implementation guide "At-Home In-Vitro Test Report", its example of
version 2.5.1 for a kit bought over the counter:
https://github.com/HL7/home-lab-report/blob/81da429b6519c20a392530bbe10d83f7a19fe784/
input/pagecontent/at-home_in-vitro_test_over_the_counter_purchase_v2_example.md
read by hand on the day this was written. Kept of it are the order of its segments, which
fields it fills, and the values that are codes, letters or times. Each name, address, number
of somebody and of some product is replaced by one of ours of the same shape, and of its
seven questions to the person, which come before the result as OBX of their own, the first
stands for all.

It has no escape in it: that ours reads as the same fields with one is asked of ours alone.
"""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest
from hl7apy.consts import VALIDATION_LEVEL
from hl7apy.parser import parse_message

from exports.reports import APPLIED, EVERY_WAY, origin, report
from readbell.exports.hl7 import message
from readbell.exports.report import Names

if TYPE_CHECKING:
    from hl7apy.core import Message

    from readbell.exports.report import Report

TAKEN, READ = "20210128160603-0500", "20210128160621-0500"
SYSTEM = "SENDER&2.999.1&ISO"
OURS = "SENDER^2.999.1^ISO"
ANALYTE = "95209-3^Antigen of the published example^LN^^^^Vunknown"
SITE = "Somewhere^^^^^CLIA&2.999.2&ISO^XX^^^0"
STREET = "1 Any Street^^Anytown^^0"


def _segment(name: str, fields: dict[int, str]) -> str:
    return "|".join((name, *(fields.get(each, "") for each in range(1, max(fields) + 1))))


PUBLISHED = "\r".join(
    (
        (
            rf"MSH|^~\&|{OURS}|{OURS}|{OURS}|{OURS}|20210128162413-0500||ORU^R01^ORU_R01|number|T"
            "|2.5.1|||NE|NE|||||PHLabReport-NoAck^ELR251R1_Rcvr_Prof^2.16.840.1.113883.9.11^ISO"
        ),
        "SFT|Vendor|1|Program|Unknown",
        _segment(
            "PID",
            {
                1: "1",
                3: f"P-001^^^{SYSTEM}^SID^{SYSTEM}",
                5: "Brook^Ada^^",
                7: "19880121190000-0500",
                8: "F",
                10: "U^Unknown^HL70005",
                11: STREET,
                13: "^^^^^000^0000000",
                22: "U^Unknown^HL70189^^^^Vunknown",
            },
        ),
        _segment(
            "ORC",
            {
                1: "RE",
                2: f"asked^{OURS}",
                3: f"done^{OURS}",
                12: "^^Somewhere",
                15: TAKEN,
                21: "Somewhere",
                22: STREET,
                23: "^^^^^000^0000000",
            },
        ),
        _segment(
            "OBR",
            {
                1: "1",
                2: f"asked^{OURS}",
                3: f"done^{OURS}",
                4: ANALYTE,
                7: TAKEN,
                16: "^^Somewhere",
                22: READ,
                24: "LAB",
                25: "F",
            },
        ),
        _segment(
            "OBX",
            {
                1: "1",
                2: "SN",
                3: "30525-0^Age^LN^^^^Vunknown",
                5: "^33",
                6: "a^year^UCUM^^^^Vunknown",
                11: "F",
                14: TAKEN,
                15: "0",
                23: SITE,
                24: STREET,
                29: "QST",
            },
        ),
        _segment(
            "OBX",
            {
                1: "8",
                2: "CWE",
                3: ANALYTE,
                5: "260373001^Detected^SCT^Ours^LA6576-8^L^Vunknown^Vunknown^LA6576-8",
                11: "F",
                14: TAKEN,
                15: "0",
                17: "A kit of ours^^99ELR^^^^Vunknown",
                19: READ,
                23: SITE,
                24: STREET,
            },
        ),
        "NTE|1|L|A kit of ours",
        _segment(
            "SPM",
            {
                1: "1",
                2: f"^P-001&{SYSTEM}",
                4: "445297001^Swab of internal nose^SCT^^^^Vunknown",
                17: TAKEN,
                18: TAKEN,
            },
        ),
        "",
    )
)
NAMES = Names(
    sending_facility="HQ",
    receiving_application="LAB",
    receiving_facility="NORTH",
    patient_authority="HQID",
    patient_system="urn:oid:2.999.1",
)
KINDS = {
    ("MSH", 7): r"\d{14}(\.\d{3})?[+-]\d{4}",
    ("MSH", 9): r"ORU\^R01\^ORU_R01",
    ("MSH", 11): r"[PT]",
    ("MSH", 12): r"2\.5\.1",
    ("PID", 3): r"[^^&]+\^\^\^[^^&]+&[\d.]+&ISO\^[A-Z]+(\^.*)?",
    ("PID", 7): r"\d{8}(\d{6}[+-]\d{4})?",
    ("OBR", 3): r"[^^&]+\^[^&]+",
    ("OBR", 4): r"\d+-\d\^[^^&]+\^LN(\^.*)?",
    ("OBR", 7): r"\d{14}(\.\d{3})?[+-]\d{4}",
    ("OBR", 22): r"\d{14}(\.\d{3})?[+-]\d{4}",
    ("OBR", 25): r"F",
    ("OBX", 2): r"CW?E",
    ("OBX", 3): r"\d+-\d\^[^^&]+\^LN(\^.*)?",
    ("OBX", 5): r"\d{6,18}\^[^^&]+\^SCT(\^.*)?",
    ("OBX", 11): r"F",
    ("OBX", 14): r"\d{14}(\.\d{3})?[+-]\d{4}",
    ("OBX", 19): r"\d{14}(\.\d{3})?[+-]\d{4}",
    ("SPM", 2): r"\^[^^&]+&[^^]+",
    ("SPM", 4): r"\d{6,18}\^[^^&]+\^SCT(\^.*)?",
    ("SPM", 17): r"\d{14}(\.\d{3})?[+-]\d{4}",
}
"""Of what kind the value is, read off the published message: a time has its offset, and so on."""

EXTRA = {
    "MSH": {18},  # in which letters it is written: the published one is written in plain ones
    "PID": set(),
    "OBR": set(),
    "OBX": {8, 16, 18},  # whether abnormal, who read it, and the lot
    "SPM": set(),
}
"""What ours fills beyond the published one."""

LEFT_OUT = {
    "MSH": {15, 16, 21},  # which acknowledgements are asked for, and to which national profile
    "PID": {8, 10, 11, 13, 22},  # sex, origin, address and telephone: nothing asks for them
    "OBR": {2, 16, 24},  # the number and the name of whoever asked for it, and a department
    "OBX": {15, 24},  # who did it, by a national number, and the address
    "SPM": {18},  # when it was received: it is never sent anywhere
}
"""What the published one fills and ours does not; the standard asks for none of it."""

Shape = list[tuple[str, dict[int, str]]]


def ours(of: Report | None = None) -> str:
    """The plainest result: one analyte, final, read in its window and left alone since."""
    return message(origin(names=NAMES), of or report(specimen_code="697989009"))


def parsed(text: str) -> Message:
    """What hl7apy has of it, each segment in the group that the standard puts it in.

    Of the published one at its lenient level: that writes codes with nine parts, as later
    versions do, in fields for which 2.5.1 has six.
    """
    level = VALIDATION_LEVEL.TOLERANT if text == PUBLISHED else VALIDATION_LEVEL.STRICT
    return parse_message(text, validation_level=level, find_groups=True)


def shape(of: Message) -> Shape:
    """Its segments in order, and by their number the fields that they fill, as hl7apy has them.

    One that 2.5.1 has not is left out: OBX-29, by which the published one marks a question.
    """
    found: Shape = []
    _gather(of, found)
    return found


def _gather(of: object, found: Shape) -> None:
    for each in of.children:  # type: ignore[attr-defined]
        if each.classname == "Group":
            _gather(each, found)
            continue
        filled = {
            int(field.name.rpartition("_")[2]): field.to_er7()
            for field in each.children
            if field.name is not None and field.to_er7()
        }
        found.append((each.name, filled))


def result_of(text: str) -> dict[str, dict[int, str]]:
    """Its segments by their name; of several OBX the last, which is that of the result."""
    return dict(shape(parsed(text)))


def test_both_have_their_segments_in_the_same_groups() -> None:
    """Who it is of, what was done, what was seen, of what: in the groups of the standard."""
    assert parsed(ours()).validate()
    for text in (PUBLISHED, ours()):
        found = parsed(text)
        (of_one,) = found.oru_r01_patient_result
        (order,) = of_one.oru_r01_order_observation
        assert of_one.oru_r01_patient.pid.name == "PID"
        assert order.obr.name == "OBR"
        assert [each.obx.name for each in order.oru_r01_observation][-1] == "OBX"
        assert order.oru_r01_specimen.spm.name == "SPM"


def test_the_segments_of_both_come_in_one_order() -> None:
    """Ours has no program's and no order's segment, and says its notes of the order.

    In the published one a note follows what was seen, and is of that; in ours it follows
    what was done, and is of all that was seen. The standard has a place for both.
    """
    published = [name for name, _ in shape(parsed(PUBLISHED))]
    assert published == ["MSH", "SFT", "PID", "ORC", "OBR", "OBX", "OBX", "NTE", "SPM"]
    own = [name for name, _ in shape(parsed(ours()))]
    assert own == ["MSH", "PID", "OBR", "NTE", "OBX", "SPM"]
    common = ["MSH", "PID", "OBR", "OBX", "SPM"]
    assert [each for each in dict.fromkeys(published) if each in common] == common
    assert [each for each in own if each in common] == common


def test_both_part_their_fields_by_the_same_signs() -> None:
    """The eight characters that say how to read the rest."""
    assert PUBLISHED[:9] == ours()[:9] == r"MSH|^~\&|"


@pytest.mark.parametrize("sign", ["|", "^", "~", "\\", "&"])
def test_a_sign_of_the_published_ones_in_a_text_parts_nothing(sign: str) -> None:
    """Of the same result with such a sign in every free text, hl7apy has the same fields."""
    plain = report(specimen_code="697989009")
    odd = f"A{sign}b"
    spoiled = replace(
        plain,
        patient=replace(plain.patient, id=odd, name=odd),
        kit=replace(plain.kit, lot=odd),
        notes=(odd,),
    )
    before, after = shape(parsed(ours(plain))), shape(parsed(ours(spoiled)))
    assert [(name, set(fields)) for name, fields in before] == [
        (name, set(fields)) for name, fields in after
    ]
    for (_, was), (_, now) in zip(before, after, strict=True):
        assert [each.count("^") for each in was.values()] == [
            each.count("^") for each in now.values()
        ]


@pytest.mark.parametrize("name", EXTRA)
def test_ours_fills_the_fields_of_the_published_one_save_what_is_said_here(name: str) -> None:
    """Whatever is added to either, or taken from it, has to be said above, and why."""
    published, own = set(result_of(PUBLISHED)[name]), set(result_of(ours())[name])
    assert own - published == EXTRA[name]
    assert published - own == LEFT_OUT[name]


@pytest.mark.parametrize(("name", "number"), KINDS)
def test_a_field_of_both_has_a_value_of_one_kind(name: str, number: int) -> None:
    """Of what kind is read off the published one; ours is then asked the same."""
    for text in (PUBLISHED, ours()):
        value = result_of(text)[name][number]
        assert re.fullmatch(KINDS[name, number], value), value


def test_in_both_each_instant_stands_where_the_other_has_it() -> None:
    """When it was taken stands in three places, when it was read in two, and never in one of those.

    The published result stands since it was read; so does ours, unless somebody changed it.
    """
    for text in (PUBLISHED, ours()):
        found = result_of(text)
        taken, read = found["OBR"][7], found["OBR"][22]
        assert found["OBX"][14] == found["SPM"][17].partition("^")[0] == taken
        assert found["OBX"][19] == read
        assert taken < read


def test_what_changed_since_it_was_read_moves_since_when_it_stands_alone() -> None:
    """So the places that agree above do not agree by being one value."""
    changed = replace(report(specimen_code="697989009"), issued=APPLIED + timedelta(hours=2))
    was, now = result_of(ours()), result_of(ours(changed))
    assert now["OBR"][22] != was["OBR"][22] == now["OBX"][19]


@pytest.mark.parametrize("way", ["withdrawn", "preliminary", "amended"])
def test_one_that_is_not_final_is_told_apart_from_the_published(way: str) -> None:
    """The one letter F that both have is not said of everything."""
    found = result_of(ours(EVERY_WAY[way]))
    assert found["OBX"][11] != result_of(PUBLISHED)["OBX"][11]

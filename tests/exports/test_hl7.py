"""What a batch of messages says, field by field, and that nothing in it can part a field."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from exports.reports import EVERY_WAY, line, origin, report
from readbell.core.reading.interpretation import Outcome
from readbell.core.results.status import ResultStatus
from readbell.exports.hl7 import batch, control_id, escaped, message
from readbell.exports.report import Names, Report

TABLE_0085 = frozenset("CDFINOPRSUWX")
TABLE_0123 = frozenset("ACFIOPRSXYZ")
TABLE_0078 = frozenset(["", "<", ">", "A", "AA", "B", "D", "H", "HH", "I", "L", "LL", "MS", "N", "R", "S", "U", "VS", "W"])  # fmt: skip
"""As they stand in version 2.5.1 of the standard."""
BACK = {"F": "|", "S": "^", "T": "&", "R": "~", "E": "\\"}

Segment = list[str]


def segments(text: str) -> list[Segment]:
    """The fields of each segment, by their number; of MSH and its like the bar itself is the first."""
    found = []
    for each in text.split("\r")[:-1]:
        fields = each.split("|")
        found.append(
            [fields[0], "|", *fields[1:]] if fields[0] in ("MSH", "FHS", "BHS") else fields
        )
    return found


def one(found: Report, name: str, **said: object) -> Segment:
    """The first segment of one name in the message of a report, with room at its end."""
    made = segments(message(origin(**said), found))
    return next(each for each in made if each[0] == name) + [""] * 30


def read_back(text: str) -> str:
    """What a receiver makes of an escaped text (HL7 2.5.1, 2.7)."""

    def sign(found: re.Match[str]) -> str:
        code = found[1]
        return BACK.get(code) or bytes.fromhex(code.removeprefix("X")).decode()

    return re.sub(r"\\([FSTRE]|X[0-9A-F]+)\\", sign, text)


@pytest.mark.parametrize(
    ("way", "seen", "order"),
    [
        ("final positive", "F", "F"),
        ("final negative", "F", "F"),
        ("final invalid", "F", "F"),
        ("preliminary", "P", "P"),
        ("amended", "C", "C"),
        ("corrected", "C", "C"),
        ("withheld after an early positive", "C", "C"),
        ("withdrawn", "W", "C"),
        ("lapsed", "X", "F"),
    ],
)
def test_each_state_has_its_letter(way: str, seen: str, order: str) -> None:
    """OBX-11 of table 0085 and OBR-25 of table 0123, which has no W."""
    assert one(EVERY_WAY[way], "OBX")[11] == seen
    assert one(EVERY_WAY[way], "OBR")[25] == order


def test_a_receiver_that_takes_x_for_what_was_taken_back_gets_it() -> None:
    """As the site says."""
    names = Names(withdrawn="X")
    assert one(EVERY_WAY["withdrawn"], "OBX", names=names)[11] == "X"
    assert one(EVERY_WAY["withdrawn"], "OBR", names=names)[25] == "X"
    assert one(EVERY_WAY["withdrawn"], "OBX", names=names)[2:6] == ["", "97097-0^SARS-CoV-2 antigen^LN", "", ""]  # fmt: skip


@pytest.mark.parametrize(
    ("outcome", "value", "flag"),
    [
        (Outcome.POSITIVE, "10828004^Positive^SCT", "A"),
        (Outcome.NEGATIVE, "260385009^Negative^SCT", "N"),
        (Outcome.INVALID, "LA15841-2^Invalid^LN^455371000124106^Invalid result^SCT", ""),
    ],
)
def test_an_outcome_is_coded_and_flagged(outcome: Outcome, value: str, flag: str) -> None:
    """Table 0078 of 2.5.1 has no POS and no NEG."""
    found = one(report(outcome), "OBX")
    assert (found[2], found[5], found[8]) == ("CE", value, flag)


def test_an_assay_without_a_code_leaves_words_and_its_own_name_for_the_line() -> None:
    """L says that the name is the sender's own."""
    found = one(EVERY_WAY["words alone"], "OBX")
    assert (found[2], found[3], found[5]) == (
        "ST",
        "sars-cov-2^SARS-CoV-2 antigen^L",
        "Positive",
    )


def test_each_instant_stands_in_its_own_field() -> None:
    """The specimen's and the reading's are never to be taken for one another."""
    taken, read = "20260329140010.250+0100", "20260329141810.250+0100"
    assert one(report(), "OBR")[7] == taken
    assert one(report(), "OBX")[14] == taken
    assert one(report(), "OBX")[19] == read
    assert one(report(), "SPM")[17] == taken
    assert one(EVERY_WAY["stated"], "SPM")[17] == "20260329135950.250+0100^20260329140030.250+0100"
    never = report(collected=None, applied=None)
    assert (one(never, "OBR")[7], one(never, "OBX")[14], one(never, "SPM")[17]) == ("", "", "")


def test_the_header_says_what_it_is_and_where_it_goes() -> None:
    """And the letters it is written in."""
    names = Names(
        sending_facility="HQ", receiving_application="LAB", receiving_facility="North & South"
    )
    found = one(report(), "MSH", names=names)
    assert found[1:8] == ["|", "^~\\&", "READBELL", "HQ", "LAB", "North \\T\\ South", "20260329180000.000+0000"]  # fmt: skip
    assert (found[9], found[11], found[12], found[18]) == (
        "ORU^R01^ORU_R01",
        "P",
        "2.5.1",
        "UNICODE UTF-8",
    )


def test_practice_is_marked_as_training() -> None:
    """Table 0103: a receiver in production drops it."""
    assert one(report(), "MSH", rehearsal=True)[11] == "T"


def test_the_patient_stands_under_who_gives_the_ids() -> None:
    """An object identifier is named as one."""
    found = one(report(), "PID")
    assert (found[3], found[5], found[7]) == (
        "P-001^^^Harrow Quay^MR",
        "Ada Brook^^^^^^D",
        "19800203",
    )
    names = Names(patient_authority="HQ", patient_system="urn:oid:2.999.1")
    assert one(report(), "PID", names=names)[3] == "P-001^^^HQ&2.999.1&ISO^MR"
    erased = one(EVERY_WAY["erased"], "PID")
    assert re.fullmatch(r"[0-9a-f-]{36}\^\^\^Harrow Quay\^PI", erased[3])
    assert (erased[5], erased[7]) == ("^^^^^^U", "")


def test_a_repeat_has_an_order_for_what_came_to_nothing_before_it() -> None:
    """One message of one result; each order with its own specimen after what was seen."""
    found = segments(message(origin(), EVERY_WAY["a repeat"]))
    names = [each[0] for each in found if each[0] != "NTE"]
    assert names == ["MSH", "PID", *["OBR", "OBX", "SPM"] * 4]
    orders = [each for each in found if each[0] == "OBR"]
    assert [each[1] for each in orders] == ["1", "2", "3", "4"]
    assert len({each[3] for each in orders}) == 4
    assert [each[11] for each in found if each[0] == "OBX"] == ["F", "F", "X", "X"]
    # None of them corrects anything: nothing was reported of them before.
    assert [each[25] for each in orders] == ["F", "F", "F", "F"]


def test_several_lines_are_several_observations_of_one_order() -> None:
    """In the device's own order; of what is still open nothing is said."""
    found = segments(message(origin(), EVERY_WAY["three lines"]))
    assert [each[3].partition("^")[0] for each in found if each[0] == "OBX"] == [
        "80382-5",
        "80383-3",
        "97097-0",
    ]
    assert one(EVERY_WAY["three lines"], "OBR")[4].endswith("^L")
    early = report(
        status=ResultStatus.PRELIMINARY, lines=(line(key="a", name="A"), line(None, key="b"))
    )
    assert [each[0] for each in segments(message(origin(), early))].count("OBX") == 1


def test_a_receiver_knows_a_message_again_and_a_change_from_it() -> None:
    """It is what makes a batch that is sent twice harmless."""
    ids = {
        control_id(origin(), each)
        for each in (
            report(),
            report(version=2),
            report(version=2, corrects=True),
            report(id="cartridge-2"),
        )
    }
    assert len(ids) == 4
    assert control_id(origin(rehearsal=True), report(Outcome.NEGATIVE)) in ids
    assert all(re.fullmatch(r"[A-Z2-7]{20}", each) for each in ids)


def test_the_file_is_one_batch_and_counts_its_messages() -> None:
    """Whoever gets half of it sees that."""
    made = segments("".join(batch(origin(), [report(), report(id="cartridge-2")])))
    assert [each[0] for each in made if each[0] in ("FHS", "BHS", "MSH", "BTS", "FTS")] == [
        "FHS",
        "BHS",
        "MSH",
        "MSH",
        "BTS",
        "FTS",
    ]
    assert made[-2:] == [["BTS", "2"], ["FTS", "1"]]
    assert segments("".join(batch(origin(), [])))[-2] == ["BTS", "0"]


@pytest.mark.parametrize("way", EVERY_WAY)
def test_every_letter_is_of_its_table(way: str) -> None:
    """No library that was tried looks at them."""
    for each in segments(message(origin(), EVERY_WAY[way])):
        fields = each + [""] * 30
        if each[0] == "OBX":
            assert fields[2] in ("CE", "ST", "")
            assert fields[8] in TABLE_0078
            assert fields[11] in TABLE_0085
            assert bool(fields[2]) == bool(fields[5]) == (fields[11] != "X")
        if each[0] == "OBR":
            assert fields[25] in TABLE_0123


@given(text=st.text(max_size=60))
def test_whatever_a_name_says_it_parts_nothing_and_reads_back(text: str) -> None:
    """A bar in a name would shift every field after it into the next."""
    made = escaped(text)
    assert not set(made) & set("|^~&\r\n")
    assert read_back(made) == text
    if any("\ud800" <= each <= "\udfff" for each in text):
        return
    named = replace(report(), patient=replace(report().patient, id=text, name=text))
    plain, odd = (segments(message(origin(), each)) for each in (report(), named))
    assert [len(each) for each in plain] == [len(each) for each in odd]

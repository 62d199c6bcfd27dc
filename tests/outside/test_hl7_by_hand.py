"""One message ORU^R01 written out by hand, field by field, and the writer held to it.

The order of the segments (PID, then OBR, NTE, OBX, SPM), which field bears what and the
letters of the tables are those that hl7apy 1.3.5 has of HL7 2.5.1: OBX 3, 5, 8 (table 0078),
11 (0085), 14, 16, 17, 18, 19, 23; OBR 3, 4, 7, 22, 25 (0123); PID 3, 5, 7; SPM 2, 4, 17. That a
specimen's time stands in OBR-7, OBX-14 and SPM-17 and the reading's in OBX-19 is the mapping
of HL7's implementation guide for tests at home. The codes (LOINC 97097-0, SNOMED CT 10828004)
are those of HL7's profile library. MSH, NTE, the batch and the meaning of each letter are from
memory of the standard. No example was copied; nobody but this project has read the message.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

import pytest
from hl7apy.consts import VALIDATION_LEVEL
from hl7apy.parser import parse_message

from exports.reports import SUMMER, origin, report
from readbell.core.reading.interpretation import Outcome
from readbell.core.results.status import ResultStatus
from readbell.exports.hl7 import batch, control_id, message
from readbell.exports.report import Names, Origin, Report

NAMES = Names(
    organisation="Harrow Quay Walk-in",
    sending_facility="HQ",
    receiving_application="LAB",
    receiving_facility="NORTH",
    patient_authority="HQID",
    patient_system="urn:oid:2.999.1",
)
SENT = "20260329190000.000+0100"
TAKEN = "20260329140010.250+0100"
READ = "20260329141810.250+0100"


def sent_from() -> Origin:
    """A bay whose site has said what it is called outside; it sends at seven in the evening."""
    made = datetime(2026, 3, 29, 19, 0, tzinfo=SUMMER)
    return origin(names=NAMES, made=made)


def by_hand(
    of: Report, *, value: tuple[str, str], abnormal: str, status: str, order: str
) -> list[str]:
    """The five segments of a result of one analyte: what stands in which field is said here."""
    bay = sent_from()
    result, specimen = bay.uuid("result", of.id), bay.uuid("specimen", of.specimen_id)
    kind, coded = value
    analyte = "97097-0^SARS-CoV-2 antigen^LN"
    device = "respiratory-antigen-nasal^Respiratory antigen, nasal swab^L"
    return [
        # 3 to 6 who sends to whom, 7 when, 9 what, 10 its own number, 11 in earnest, 12, 18
        (
            rf"MSH|^~\&|READBELL|HQ|LAB|NORTH|{SENT}||ORU^R01^ORU_R01|{control_id(bay, of)}|P|2.5.1"
            "||||||UNICODE UTF-8"
        ),
        # 3 the ID, who gave it and of what kind it is; 5 a name as it is shown; 7 the birthday
        "PID|1||P-001^^^HQID&2.999.1&ISO^MR||Ada Brook^^^^^^D||19800203",
        # 3 our number; 4 what was asked; 7 when it was taken; 22 since when it stands; 25 how
        f"OBR|1||{result}^HQ|{analyte}|||{TAKEN}" + "|" * 15 + f"{READ}|||{order}",
        "NTE|1|L|Read 16:00 after the drops.",
        # 2 of what type 5 is; 3 of what; 8 whether abnormal; 11 how it stands; 14 when it was
        # taken; 16 who read it; 17 by what; 18 the lot; 19 when it was read; 23 where
        (
            f"OBX|1|{kind}|{analyte}||{coded}|||{abnormal}|||{status}|||{TAKEN}||op-1|{device}"
            f"|L-100|{READ}||||Harrow Quay Walk-in"
        ),
        # 2 the number of what was taken; 4 of what kind; 17 when
        f"SPM|1|^{specimen}&HQ||^anterior nasal swab" + "|" * 13 + TAKEN,
    ]


RESULTS = {
    "final positive": (
        report(),
        {
            "value": ("CE", "10828004^Positive^SCT"),
            "abnormal": "A",
            "status": "F",
            "order": "F",
        },
    ),
    "amended to negative after it had left": (
        report(Outcome.NEGATIVE, ResultStatus.AMENDED, corrects=True, version=2),
        {
            "value": ("CE", "260385009^Negative^SCT"),
            "abnormal": "N",
            "status": "C",
            "order": "C",
        },
    ),
    "invalid": (
        report(Outcome.INVALID),
        {
            "value": ("CE", "LA15841-2^Invalid^LN^455371000124106^Invalid result^SCT"),
            "abnormal": "",
            "status": "F",
            "order": "F",
        },
    ),
}


@pytest.mark.parametrize("way", RESULTS)
def test_a_message_is_what_was_written_by_hand(way: str) -> None:
    """Segment by segment, so that a failure names the one that differs."""
    of, said = RESULTS[way]
    written = message(sent_from(), of)
    wanted = by_hand(of, **said)  # type: ignore[arg-type]  # two kinds of values in one mapping
    assert written.endswith("\r")
    assert written.removesuffix("\r").split("\r") == wanted


def test_each_field_is_found_where_the_standard_has_it() -> None:
    """The message by hand, read by somebody else's parser, under the names of the standard."""
    of, said = RESULTS["final positive"]
    text = "\r".join(by_hand(of, **said)) + "\r"  # type: ignore[arg-type]
    found = parse_message(text, validation_level=VALIDATION_LEVEL.STRICT, find_groups=True)
    assert found.validate()
    patient = found.oru_r01_patient_result
    order = patient.oru_r01_order_observation
    obr, obx = order.obr, order.oru_r01_observation.obx
    spm = order.oru_r01_specimen.spm
    pid = patient.oru_r01_patient.pid
    assert [each.to_er7() for each in (found.msh.msh_11, found.msh.msh_12)] == ["P", "2.5.1"]
    assert pid.patient_identifier_list.id_number.to_er7() == "P-001"
    assert pid.date_time_of_birth.to_er7() == "19800203"
    assert obr.observation_date_time.to_er7() == TAKEN
    assert obr.results_rpt_status_chng_date_time.to_er7() == READ
    assert obr.result_status.to_er7() == "F"
    assert obx.value_type.to_er7() == "CE"
    assert obx.abnormal_flags.to_er7() == "A"
    assert obx.observation_result_status.to_er7() == "F"
    assert obx.date_time_of_the_observation.to_er7() == TAKEN
    assert obx.responsible_observer.to_er7() == "op-1"
    assert obx.date_time_of_the_analysis.to_er7() == READ
    assert obx.performing_organization_name.to_er7() == "Harrow Quay Walk-in"
    assert spm.specimen_collection_date_time.to_er7() == TAKEN


def test_a_file_of_them_says_how_many_there_are() -> None:
    """A header for the file and one for the batch, the messages, and how many came."""
    of, _ = RESULTS["final positive"]
    others = (of, replace(of, id="cartridge-2"))
    text = "".join(batch(sent_from(), others))
    head = rf"|^~\&|READBELL|HQ|LAB|NORTH|{SENT}"
    assert text.startswith(f"FHS{head}\rBHS{head}\rMSH|")
    assert text.count("\rMSH|") == 2
    assert text.endswith("\rBTS|2\rFTS|1\r")

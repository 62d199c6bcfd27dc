"""Messages are HL7 2.5.1 as hl7apy has it, at its strict level, and read back as they were meant.

It finds a segment out of place, a field that the standard has not, one that is missing
and a wrong time. It sees neither a bad type in OBX-2 nor a letter that no table has:
that is done by tests/exports/test_hl7.py. The order of the segments is held to the
shape that its tables have of ORU^R01: PID, then for each order OBR, NTE, OBX, SPM.
"""

from __future__ import annotations

import pytest
from hl7apy.consts import VALIDATION_LEVEL
from hl7apy.exceptions import HL7apyException
from hl7apy.parser import parse_message

from exports.reports import EVERY_WAY, origin
from readbell.exports.hl7 import message


@pytest.mark.parametrize("way", EVERY_WAY)
def test_a_message_is_valid_at_the_strict_level(way: str) -> None:
    """And written again by the library it has the same bytes."""
    text = message(origin(rehearsal=True), EVERY_WAY[way])
    found = parse_message(text, validation_level=VALIDATION_LEVEL.STRICT, find_groups=True)
    assert found.validate()
    if "\\X" not in text:  # it knows no escape by a sign's number, and escapes that again
        assert found.to_er7() == text.removesuffix("\r")
    orders = found.oru_r01_patient_result.oru_r01_order_observation
    assert len(orders) == 1 + len(EVERY_WAY[way].earlier)


@pytest.mark.parametrize("fault", ["PID-3", "OBR", "time"])
def test_the_judge_is_awake(fault: str) -> None:
    """One that finds nothing in a spoiled message proves nothing of a good one."""
    text = message(origin(), EVERY_WAY["final positive"])
    if fault == "PID-3":
        spoiled = text.replace("P-001^^^Harrow Quay^MR", "")
    elif fault == "time":
        spoiled = text.replace("20260329140010.250+0100", "2026-03-29 14:00")
    else:
        spoiled = "\r".join(each for each in text.split("\r") if not each.startswith(fault))
    assert spoiled != text
    with pytest.raises((HL7apyException, ValueError)):
        parse_message(
            spoiled, validation_level=VALIDATION_LEVEL.STRICT, find_groups=True
        ).validate()

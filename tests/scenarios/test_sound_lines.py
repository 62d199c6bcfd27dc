"""The lines that quieten and test the alarm of a bay without a screen."""

from __future__ import annotations

import json
from typing import Any

import pytest

from builders import span
from readbell.core.board.events import MuteReason
from readbell.scenarios.line import HearLine, MuteLine, TestAlarmLine, UnmuteLine, read_line
from readbell.toml_tables import WrongFileError


def line(**said: Any) -> object:
    """The line that says so."""
    return read_line(json.dumps(said))


def test_each_act_on_the_alarm_has_its_line() -> None:
    """What the screen's keys do can be said in lines as well."""
    assert line(do="hear-alert", by="op-1", cartridge="C1") == HearLine(
        do="hear-alert", by="op-1", cartridge="C1"
    )
    muted = line(**{"do": "mute", "by": "op-1", "reason": "distress", "for": "5:00"})
    assert isinstance(muted, MuteLine)
    assert (muted.reason, muted.lasts) == (MuteReason.DISTRESS, span("5:00"))
    assert line(do="unmute", by="op-1") == UnmuteLine(do="unmute", by="op-1")


@pytest.mark.parametrize("heard", [None, True, False])
def test_an_alarm_test_is_first_sounded_and_then_answered(heard: bool | None) -> None:
    """Left out: sound it now. Nobody can say beforehand whether it will be heard."""
    said = {} if heard is None else {"heard": heard}
    found = line(do="test-alarm", by="op-1", **said)

    assert isinstance(found, TestAlarmLine)
    assert found.heard is heard


@pytest.mark.parametrize(
    ("said", "fault"),
    [
        ({"do": "mute", "by": "op-1", "reason": "distress"}, "for is missing: add it"),
        (
            {"do": "mute", "by": "op-1", "reason": "noise", "for": "5:00"},
            (
                "reason = 'noise': use 'conversation', 'distress', 'announcement', "
                "'false-alarm' or 'other'"
            ),
        ),
        (
            {"do": "mute", "by": "op-1", "reason": "other", "for": 5},
            'for = 5: write a time as "15:00", or "0:15:00" with hours',
        ),
        ({"do": "hear-alert", "by": "op-1"}, "cartridge is missing: add it"),
        (
            {"do": "unmute", "by": "op-1", "cartridge": "C1"},
            "cartridge is not a key this file may have: take it out or mend its name",
        ),
    ],
)
def test_a_slip_is_told_in_one_sentence(said: dict[str, Any], fault: str) -> None:
    """Whoever types it must find it."""
    with pytest.raises(WrongFileError) as refused:
        line(**said)

    assert str(refused.value) == f"this line: {fault}"

"""Two stations of a shared bay are put through whatever comes; what is true of them is plain to see.

With the tests a few hundred steps are played, always the same; `make torture-nightly` plays many more.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from machine.plays import never_came_to, play, say_what_was_tried
from machine.station_machine import StationMachine

if TYPE_CHECKING:
    import pytest

AT_LEAST = {
    "label: taken",
    "label: alone",
    "steps: taken",
    "steps: held-elsewhere",
    "take-back-step: taken",
    "read: taken",
    "read: too-early",
    "GiveUpStation: taken",
    "TellResult: taken",
    "AmendResult: taken",
    "cut: at once",
    "cut: an answer is lost",
    "cut again while it is mended",
    "killed while it comes home",
    "killed and begun again: same boot",
    "killed and begun again: before",
    "a wall clock is set",
    "a strip is read at both stations",
    "what was read at both stations is undecided",
    "two strips of one person contradict each other",
    "a strip was begun after the last day of its lot",
    "CorrectLot: taken",
    "CorrectLot: alone",
    "erase: taken",
}
"""A machine that never gets as far as this says nothing."""


def test_whatever_is_done_at_two_stations_nothing_is_lost_doubled_or_told_otherwise(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Once both links are there both boards are what the record adds up to, and no strip is misread."""
    play(StationMachine, by_day=120)

    say_what_was_tried(capsys)
    assert not never_came_to(AT_LEAST)

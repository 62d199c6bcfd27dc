"""A bay and its plain model are put through whatever comes, and must agree at every step.

With the tests a few hundred steps are played, always the same. `make torture-nightly` plays 10,000
others each night and says what was tried.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from machine.bay_machine import BayMachine
from machine.person_machine import PersonMachine
from machine.plays import BY_DAY, never_came_to, play, say_what_was_tried

if TYPE_CHECKING:
    from machine.played import Played

AT_LEAST: dict[type[Played], set[str]] = {
    BayMachine: {
        "label: taken",
        "step: taken",
        "step: wait-not-over",
        "steps: taken",
        "take-back-step: taken",
        "take-back-step: not-allowed",
        "take-back-step: out-of-order",
        "look: taken",
        "look: early-negative",
        "read: taken",
        "correct-reading: taken",
        "state-application: taken",
        "void: not-allowed",
        "CorrectLot: taken",
        "CorrectLot: not-allowed",
        "begun of a lot that was out of date",
        "HearAlert: taken",
        "MuteSound: taken",
        "label: not-saved",
        "the disk fails: away",
        "the disk fails: gone",
        "something rang on no disk",
        "killed and begun again: same boot",
        "killed and begun again: before",
    },
    PersonMachine: {
        "AmendResult: taken",
        "ReleaseReading: taken",
        "TellResult: taken",
        "TellResult: not-allowed",
        "WithdrawResult: taken",
        "a second reader comes",
        "nobody comes to read again",
        "somebody was told what no longer holds",
        "NoteConsent: taken",
        "NoteConsent: not-allowed",
        "RefuseConsent: taken",
        "NoteLeft: taken",
        "NoteLeft: not-allowed",
        "label: consent-missing",
        "label: consent-refused",
        "told to: guardian",
        "told to: office",
        "a guardian was told what no longer holds",
        "erase: taken",
        "erase: not-allowed",
        "somebody is forgotten",
    },
}
"""A machine that never gets as far as this says nothing; the second one does all the first one does."""


@pytest.mark.parametrize("machine", AT_LEAST if BY_DAY else [PersonMachine])
def test_whatever_is_done_to_a_bay_comes_out_as_the_model_says(
    machine: type[Played], capsys: pytest.CaptureFixture[str]
) -> None:
    """Refusals, outcomes, alerts, lots and what is lost: two programs written apart must agree."""
    play(machine, by_day=160, opened_too=[] if BY_DAY else [BayMachine])

    say_what_was_tried(capsys)
    assert not never_came_to(AT_LEAST[machine] if BY_DAY else set().union(*AT_LEAST.values()))

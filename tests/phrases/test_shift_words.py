"""The shift in words: what is checked and how, what is left, what was signed."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from builders import Bench, at
from phrases.shift_kinds import SHIFT_EVENTS, SHIFT_REFUSALS
from readbell.bay.site_time import time_zone
from readbell.core.shift.checks import Check, CheckState, Item
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.of_bay import tell
from readbell.phrases.refusals import Tried, say_refusal
from readbell.phrases.shift_words import say_check

if TYPE_CHECKING:
    from phrases.conftest import Properly
    from readbell.core.refusal import Refusal
    from readbell.core.shift.events import ShiftEvent

FACE = ClockFace(zone=time_zone("UTC"))


@pytest.mark.parametrize("event", SHIFT_EVENTS)
def test_each_event_is_told_in_whole_sentences(event: ShiftEvent, properly: Properly) -> None:
    """Codes are for the record."""
    assert properly(tell(event, Bench().board, FACE)) >= 1


def test_a_signature_names_who_signed_and_what_the_record_ended_with() -> None:
    """So that a printed sheet can be held against the record for ever."""
    said = tell(SHIFT_EVENTS[4], Bench().board, FACE)
    assert said == (
        f"Day sheet of shift 1 signed by op-1 at event 7, head {'ab' * 32}. Own review."
    )


@pytest.mark.parametrize("refusal", [each[1] for each in SHIFT_REFUSALS])
def test_each_refusal_says_what_is_so_and_what_to_do(refusal: Refusal, properly: Properly) -> None:
    """Two sentences at least."""
    assert properly(say_refusal(refusal, Tried(cartridge="C1", now=at("0:00")), FACE)) >= 2


@pytest.mark.parametrize("item", Item)
def test_each_check_that_is_not_fine_says_what_does_it(item: Item) -> None:
    """A sign and a word before any colour; what is fine asks for nothing more."""
    for state in CheckState:
        said = say_check(Check(item=item, state=state, about=("L-1",)))
        assert ": L-1." in said
        assert said.endswith(": L-1.") is (state is CheckState.FINE)
    assert {say_check(Check(item=item, state=each))[0] for each in CheckState} == set("+!x?")

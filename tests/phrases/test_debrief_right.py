"""What would have been right: a sentence for every mistake that needs one, and a fault for none."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC

import pytest

from builders import START
from readbell.core.instant import Span, later
from readbell.core.refusal import RefusalCode
from readbell.core.rehearsal.score_marks import Area, Mistake, Right, Slip
from readbell.core.rehearsal.score_safety import AREAS
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.debrief_right import say_right

FACE = ClockFace(zone=UTC)
CODES = sorted({*Slip, *AREAS, RefusalCode.NOT_ALLOWED})
SAYS_ENOUGH = {
    Slip.BEGUN_AFTER_LEAVING,
    Slip.ACTED_WHILE_AWAY,
    *(code for code, area in AREAS.items() if area is Area.IDENTITY),
    RefusalCode.LOT_TWO_EXPIRIES,
}
"""Of which the sentence of the mistake itself may be all there is to say."""


def mistake(code: str, right: Right | None = None) -> Mistake:
    """Return a mistake on a cartridge."""
    refused = not isinstance(code, Slip)
    return Mistake(
        at=START, area=Area.TIMING, code=code, refused=refused, cartridge="C07", right=right
    )


@pytest.mark.parametrize("code", CODES)
def test_whatever_is_known_of_it_a_mistake_is_told_whole(code: str) -> None:
    """With every figure and with none, nothing is left to be filled in."""
    bare = Right()
    full = replace(
        bare,
        step="Squeeze",
        after="Swab into the buffer",
        passed=Span(10_000),
        least=Span(60_000),
        since=START,
        until=later(START, Span(300_000)),
        line="T (Antigen)",
        control=True,
        control_mark="C",
        came=Span(400_000),
    )
    for right in (None, bare, full):
        said = say_right(mistake(code, right), FACE)
        assert said is None or (said.startswith("Right: ") and "{" not in said)
    assert code in SAYS_ENOUGH or any(
        say_right(mistake(code, right), FACE) is not None for right in (None, full)
    )


def test_where_nobody_has_a_cartridge_in_hand_yet_they_are_asked_who_they_are() -> None:
    """Before the label there is no name on a device that could be looked at."""
    wrong = mistake(RefusalCode.WRONG_PERSON)

    assert say_right(replace(wrong, cartridge=None), FACE) == (
        "Right: ask the person who they are, and enter what they say."
    )
    assert say_right(wrong, FACE) == (
        "Right: look whose name stands on the cartridge in your hand, and enter what that person "
        "says."
    )


def test_a_window_with_no_stated_limit_has_no_end() -> None:
    """Not every kit states one."""
    found = say_right(mistake(RefusalCode.TOO_EARLY, Right(since=START)), FACE)

    assert found == f"Right: read it from {FACE.time(START)}."

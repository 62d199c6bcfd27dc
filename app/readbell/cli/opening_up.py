"""The first minute of a board: the answers of a first start are entered, and work is taken up."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import DONE
from readbell.core.errors import ReadbellError
from readbell.core.policy.shifts import Shifts
from readbell.hand.doing import Room, Visiting
from readbell.phrases.returning import welcome

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.bay.bay_thread import BayThread
    from readbell.bay.desk import Desk
    from readbell.bay.news import News, Return
    from readbell.hand.hand import Hand
    from readbell.hand.scene import AtHand
    from readbell.scenarios.line import Request
    from readbell.ui.front import Front

TEST_THE_ALARM = "Work begins with the alarm. F3 rings it; F8: heard, F6: not heard. F9: the board."
CHECKS = "Work begins with the opening checks: each says what does it. Then open the shift here."
ANSWERED_ELSEWHERE = (
    "another station answered these questions first, so nothing of yours was kept: open the board "
    "again, and enter yourself (F9, Operators) and your box (F9, Lots) there"
)
TEST_IN_LINES = (
    "Work begins with the alarm. .done rings it; .heard or .nothing-heard says how it was; "
    ".rooms: the board."
)


def settle_in(
    thread: BayThread,
    desk: Desk,
    shelf: Sequence[AtHand],
    first: Sequence[Request],
    found: Return,
    *,
    tests_alarm: bool,
    in_lines: bool = False,
) -> Front:
    """Enter what a first start was told, and return the front of the bay.

    With `in_lines` what happened meanwhile is told by whoever prints lines.

    Raises:
        ReadbellError: the bay refuses what was told; the text says which of it.
    """
    from readbell.ui.front import Front

    for request in first:
        answer = thread.ask(partial(desk.serve, line=request))
        if answer.refusal is not None:
            if request is first[0] and thread.present().board.operators:
                raise ReadbellError(ANSWERED_ELSEWHERE)
            msg = f"the bay does not take what was told ({answer.refusal.code}): begin again"
            raise ReadbellError(msg)
    front = Front(thread, desk, shelf=shelf)
    if found.branches:
        from readbell.cli.line_mode import say_branch

        front.note(" ".join(say_branch(each) for each in found.branches))
    present = thread.present()
    front.begin(lambda hand: _first_hand(hand, found, present, in_lines=in_lines))
    if tests_alarm and not present.board.running:
        board = present.board
        in_shifts = board.policy.shifts is Shifts.ON and board.shift_book.running is None
        front.begin(
            _checks_first if in_shifts else lambda hand: _alarm_first(hand, in_lines=in_lines)
        )
    return front


def _first_hand(hand: Hand, found: Return, present: News, *, in_lines: bool) -> Hand:
    """Return the hand as work is taken up: what happened meanwhile is told before all else."""
    if found.is_new or in_lines:
        return hand  # it was told already, or has just been asked for
    lines = welcome(
        board=present.board,
        is_new=found.is_new,
        clean=found.clean,
        away=found.away,
        fell_due=found.fell_due,
        unsure=found.unsure,
        new_station=found.new_station,
    )
    return hand.saying(" ".join(lines))


def _alarm_first(hand: Hand, *, in_lines: bool) -> Hand:
    """Return the hand in the room of sound, with what it said and what is to be done there."""
    before = "" if hand.said is None else f"{hand.said.words} "
    words = TEST_IN_LINES if in_lines else TEST_THE_ALARM
    return replace(hand.saying(before + words), doing=Visiting(room=Room.SOUND))


def _checks_first(hand: Hand) -> Hand:
    """Return the hand in the room of the shift, whose first line is the alarm."""
    before = "" if hand.said is None else f"{hand.said.words} "
    return replace(hand.saying(before + CHECKS), doing=Visiting(room=Room.SHIFT))


def show_household() -> int:
    """Rehearse a household by itself, told line by line, as somebody wished before they begin."""
    import asyncio

    from readbell.cli.rehearsal_voices import LineByLine
    from readbell.rehearsals import load_script, rehearse

    script = load_script(FIRST_LOOK)
    voice = LineByLine(script)
    voice.sum_up(asyncio.run(rehearse(script, None, PACE, voice.news, voice.played)))
    return DONE


FIRST_LOOK = Path(__file__).parents[1] / "scenarios" / "first_look.toml"
PACE = 200.0
"""So many times the speed of life: a household in some seconds."""

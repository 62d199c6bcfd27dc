"""The first minute of a board: the answers of a first start are entered, and work is taken up."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import DONE
from readbell.core.errors import ReadbellError
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


def settle_in(
    thread: BayThread,
    desk: Desk,
    shelf: Sequence[AtHand],
    first: Sequence[Request],
    found: Return,
    *,
    tests_alarm: bool,
) -> Front:
    """Enter what a first start was told, and return the front of the bay.

    Raises:
        ReadbellError: the bay refuses what was told; the text says which of it.
    """
    from readbell.ui.front import Front

    for request in first:
        answer = thread.ask(partial(desk.serve, line=request))
        if answer.refusal is not None:
            msg = f"the bay does not take what was told ({answer.refusal.code}): begin again"
            raise ReadbellError(msg)
    front = Front(thread, desk, shelf=shelf)
    present = thread.present()
    front.begin(lambda hand: _first_hand(hand, found, present, tests_alarm=tests_alarm))
    return front


def _first_hand(hand: Hand, found: Return, present: News, *, tests_alarm: bool) -> Hand:
    """Return the hand as work is taken up: what happened meanwhile is told before all else."""
    lines = welcome(
        board=present.board,
        is_new=found.is_new,
        clean=found.clean,
        away=found.away,
        fell_due=found.fell_due,
        unsure=found.unsure,
    )
    told = hand.saying(" ".join(lines))
    if tests_alarm and not present.board.running:
        return replace(told.saying(TEST_THE_ALARM), doing=Visiting(room=Room.SOUND))
    return told


def show_household() -> int:
    """Rehearse a household by itself, told line by line, as somebody wished before they begin."""
    import asyncio

    from readbell.assembly import load_script, rehearse
    from readbell.cli.rehearsal_voices import LineByLine

    script = load_script(FIRST_LOOK)
    voice = LineByLine(script)
    voice.sum_up(asyncio.run(rehearse(script, None, PACE, voice.news, voice.played)))
    return DONE


FIRST_LOOK = Path(__file__).parents[1] / "scenarios" / "first_look.toml"
PACE = 200.0
"""So many times the speed of life: a household in some seconds."""

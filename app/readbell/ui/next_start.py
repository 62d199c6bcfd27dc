"""When the next person may be begun, in the one line that a board has for it.

The words of an answer come with the planner that gave it: the first picture has none yet.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.cells import cell_len

from readbell.core.plan.answer_state import AnswerState
from readbell.phrases.answer_words import say_waits
from readbell.ui.ink import Piece, Token

if TYPE_CHECKING:
    from readbell.hand.scene import Scene

BETWEEN = "   "


def next_start_pieces(scene: Scene, room: int, *, gap: bool) -> list[Piece]:
    """Return when the next person may be begun and whose planned turn it is, as far as there is room.

    Both in fewer words rather than one of them alone; if one must go, it is the plan.
    """
    found, blank = scene.outlook, BETWEEN if gap else ""
    if found is None or not stands_now(scene):
        said = next((each for each in why_none(scene) if cell_len(each) + len(blank) <= room), "")
        return [Piece(f"{blank}{said}", Token.SOFT)] if said else []
    from readbell.phrases.next_start_words import say_start_and_advice
    from readbell.phrases.plan_guide import say_away, say_turn

    turns = say_turn(scene.board, found.course, found.start.at, scene.now)
    away = say_away(found.pauses, scene.board, scene.now, scene.face)
    # Who is away is told rather than whose turn it is: the turn stands in the room as well.
    both = tuple(f"{turn}{BETWEEN}{who}" for who in away for turn in turns)
    starts = say_start_and_advice(found, scene.board, scene.now)
    for turn in (*both, *(away or turns), ""):
        for start in starts:
            said = f"{start}{BETWEEN}{turn}" if turn else start
            if cell_len(said) + len(blank) <= room:
                is_now = found.start.is_now(scene.now)
                pieces = [Piece(f"{blank}{start}", Token.TEXT, bold=is_now)]
                return [*pieces, Piece(f"{BETWEEN}{turn}", Token.TEXT)] if turn else pieces
    return []


def stands_now(scene: Scene) -> bool:
    """Say whether the answer at hand is for what is shown."""
    return scene.outlook_state in {None, AnswerState.STANDS}


def why_none(scene: Scene) -> tuple[str, ...]:
    """Return what is said where no answer stands, in fewer and fewer words; nothing if nobody asks."""
    state = scene.outlook_state
    return (
        () if state is None else say_waits(scene.outlook, state, scene.board, scene.now, scene.face)
    )

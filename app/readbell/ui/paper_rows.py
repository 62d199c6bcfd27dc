"""Runs that were entered from paper, in rows of their own below the results that were timed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.layered import newest
from readbell.core.board.subjects import is_behind
from readbell.phrases.of_cartridges import OUTCOMES
from readbell.phrases.paper_words import ERASED, MARK
from readbell.phrases.review_words import WITHDRAWN
from readbell.ui.ink import Piece, Token, line
from readbell.ui.table import in_columns

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.instant import Instant
    from readbell.core.paper.events import PaperRunEntered
    from readbell.hand.scene import Scene
    from readbell.ui.ink import Line

HEAD = "Entered from paper: times stated with a witness, not timed."
HIDDEN = "hidden"
RECALLED = "RECALLED"
"""Beside a run whose lot was called back: a supervisor looks at it before it is relied on."""


def paper_rows(
    scene: Scene, since: Instant, person: str | None, width: int, *, masked: bool
) -> list[Line]:
    """Return a heading and a row for each run that was entered since then; nothing if none was.

    Args:
        scene: the board.
        since: when the day began.
        person: the ID whose record is open: then all of theirs, of any day.
        width: of the screen, in cells.
        masked: leave out whose it is and what came of it.
    """
    at = (3, 12, 26, 42, 54) if width >= 80 else (1, 8, 16, 28, 38)
    rows = [
        in_columns(tuple(zip(at, _said(each, scene, masked), strict=True)), Token.TEXT, width)
        for each in _wanted(scene, since, person)
    ]
    return [line("  ", Piece(HEAD, Token.SOFT)), *rows] if rows else []


def _wanted(scene: Scene, since: Instant, person: str | None) -> Iterator[PaperRunEntered]:
    key = None if person is None else scene.board.persons.get(person)
    for each in newest(scene.board.paper_runs):
        if person is None and is_behind(scene.board, each.at, since):
            return
        if (each.at >= since) if person is None else (each.person == key):
            yield each


def _said(each: PaperRunEntered, scene: Scene, masked: bool) -> tuple[str, ...]:
    board = scene.board
    outcome = WITHDRAWN if each.run in board.paper_withdrawn else OUTCOMES[each.outcome]
    recalled = f"{RECALLED}  " if board.lots[each.lot].is_recalled else ""
    return (
        each.label,
        HIDDEN if masked else board.name(each.person) or ERASED,
        HIDDEN if masked else outcome,
        scene.face.time(each.read),
        f"{recalled}{board.name(each.operator) or ERASED}  {MARK}",
    )

"""The room of what is to be told, as a table; below it to whom the chosen one may be told."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.patients import file_of
from readbell.hand.telling_room import value_of, work_here
from readbell.phrases.review_words import say_new_specimens
from readbell.phrases.telling_words import ERASED, NOTHING_TO_TELL, say_due, say_what, say_why
from readbell.ui.form import Painted
from readbell.ui.ink import Piece, Token, line
from readbell.ui.table import table
from readbell.ui.wrapped import PROSE, wrapped

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.worklist import ToTell
    from readbell.hand.doing import Visiting
    from readbell.hand.scene import Scene
    from readbell.ui.table import Row

HIDDEN = "hidden"
TOLD_ALREADY = "told before"
BELOW = 8
"""Rows that what is to be known of the chosen one takes at most."""


def telling_room(
    doing: Visiting, scene: Scene, width: int, height: int, *, masked: bool
) -> Painted:
    """Return what is to be told, the most urgent first."""
    found = work_here(scene)
    # Of whoever was mixed up with somebody there may be no result, and they are told all the same.
    mixed_up = "" if masked else say_new_specimens(scene.board)
    if not found.waiting:
        told = wrapped(mixed_up or NOTHING_TO_TELL, max(1, min(width - 4, PROSE)))
        return Painted(tuple(line("  ", Piece(each, Token.SOFT)) for each in told))
    at = (3, 12, 30, 46, 64)
    heads = ("cart.", "patient", "to tell", "since", "")
    head: Row = ("", tuple(zip(at, heads, strict=True)))
    rows: list[Row] = [
        (value_of(each), tuple(zip(at, _row(each, scene, masked=masked), strict=True)))
        for each in found.waiting
    ]
    chosen = found.waiting[min(doing.cursor, len(rows) - 1)]
    said = [] if masked else [*([mixed_up] if mixed_up else ()), *_about(chosen, scene)]
    if found.more:
        said.append(f"And {found.more} older ones, which nobody noted as told.")
    below = [
        line("  ", Piece(row, Token.TEXT))
        for words in said
        for row in wrapped(words, max(1, min(width - 4, PROSE)))
    ]
    below = [line(), *below][: max(0, min(BELOW, height - 2))] if below else []
    made = table(head, rows, doing.cursor, width, max(2, height - len(below)))
    return made.then(Painted(tuple(below)))


def _row(waiting: ToTell, scene: Scene, *, masked: bool) -> tuple[str, ...]:
    name = scene.board.name(waiting.result.subject) or ERASED
    due = say_due(waiting, scene.now)
    since = due or f"{scene.face.local(waiting.at):%m-%d} {scene.face.minute(waiting.at)}"
    before = TOLD_ALREADY if waiting.told else ""
    what = HIDDEN if masked else say_what(waiting, scene.board)
    return waiting.result.label, HIDDEN if masked else name, what, since, before


def _about(waiting: ToTell, scene: Scene) -> Iterator[str]:
    yield from say_why(waiting, scene.board, scene.now, scene.face)
    contact = file_of(scene.board, waiting.result.subject).contact
    if contact and waiting.notice is None:
        yield f"Contact: {contact}"
    if waiting.notice is None:
        # Whoever chooses "on paper" expects a sheet, and has one only where a folder is named.
        yield (
            "On paper: the slip goes into the folder that the settings name; where they name none, "
            f"readbell slip {waiting.result.label} makes it."
        )

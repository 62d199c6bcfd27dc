"""The room of the plan: when the next person may be begun, and what each hand does next."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.phrases.answer_words import say_as_of, say_stands
from readbell.phrases.next_start_words import (
    say_lists,
    say_reasons,
    say_unknown,
)
from readbell.ui.ink import Line, Piece, Token, at_columns, line
from readbell.ui.next_start import stands_now, why_none
from readbell.ui.wrapped import PROSE, shortened, wrapped

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.hand.scene import Scene

LIST_WIDTH = 44
"""A list of one hand is read well from so many cells on."""


def plan_room(scene: Scene, width: int, height: int) -> tuple[Line, ...]:
    """Return what the room says, cut to `height` lines: the answer first, then the lists."""
    found, stands = scene.outlook, stands_now(scene)
    if found is None:
        said = "" if stands else next(iter(why_none(scene)), "")
        return (line("  ", Piece(said or say_unknown(scene.board), Token.SOFT)),)[:height]
    # What an older answer gave as its reasons is none now; its lists are told with their instant.
    reasons = (
        (*say_reasons(found, scene.board, scene.now, scene.face), say_stands(found, scene.face))
        if stands
        else (why_none(scene)[0], say_as_of(found, scene.face))
    )
    head = [
        line("  ", Piece(words, Token.TEXT if number == 0 else Token.SOFT, bold=number == 0))
        for number, said in enumerate(reasons)
        for words in wrapped(said, max(1, min(width - 4, PROSE)))
    ]
    lists = list(say_lists(found, scene.board, scene.face))
    gap = [line()] if height > len(head) + 4 else []
    room = height - len(head) - len(gap)
    return (*head, *gap, *_lists(lists, width, room))[:height]


def _lists(
    lists: Sequence[tuple[str, tuple[str, ...]]], width: int, height: int
) -> tuple[Line, ...]:
    """Return the lists beside each other as far as there is room, the others below."""
    abreast = max(1, min(len(lists), (width - 2) // LIST_WIDTH))
    bands = [lists[at : at + abreast] for at in range(0, len(lists), abreast)]
    if not bands or height < 1:
        return ()
    # Each band gets its share: nobody's list is pushed out by somebody else's.
    rows = max(1, height // len(bands))
    column = (width - 2) // abreast
    made: list[Line] = []
    for band in bands:
        columns = [_column(head, entries, rows, column - 2) for head, entries in band]
        for row in range(min(rows, max(map(len, columns)))):
            parts = [
                (2 + place * column, each[row])
                for place, each in enumerate(columns)
                if row < len(each)
            ]
            made.append(at_columns(*parts, width=width))
    return tuple(made)


def _column(head: str, entries: Sequence[str], rows: int, width: int) -> list[Line]:
    shown = entries[: rows - 1]
    if len(entries) > len(shown) and shown:
        shown = [*shown[:-1], f"and {len(entries) - len(shown) + 1} more"]
    top = line(Piece(shortened(head, width) or head[:width], Token.TEXT, bold=True))
    return [
        top,
        *(line(Piece(shortened(each, width) or each[:width], Token.TEXT)) for each in shown),
    ]

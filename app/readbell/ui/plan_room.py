"""The room of the plan: when the next person may be begun, and what each hand does next."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.cells import cell_len

from readbell.phrases.next_start_words import (
    say_lists,
    say_reasons,
    say_start_and_advice,
    say_unknown,
)
from readbell.phrases.plan_guide import say_turn
from readbell.ui.ink import Line, Piece, Token, at_columns, line
from readbell.ui.wrapped import shortened, wrapped

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.hand.scene import Scene

BETWEEN = "   "
LIST_WIDTH = 44
"""A list of one hand is read well from so many cells on."""


def next_start_pieces(scene: Scene, room: int, *, gap: bool) -> list[Piece]:
    """Return when the next person may be begun and whose planned turn it is, as far as there is room.

    Both in fewer words rather than one of them alone; if one must go, it is the plan.
    """
    found = scene.outlook
    if found is None:
        return []
    blank = BETWEEN if gap else ""
    turns = say_turn(scene.board, found.course, found.start.at, scene.now)
    starts = say_start_and_advice(found, scene.board, scene.now)
    for turn in (*turns, ""):
        for start in starts:
            said = f"{start}{BETWEEN}{turn}" if turn else start
            if cell_len(said) + len(blank) <= room:
                is_now = found.start.is_now(scene.now)
                pieces = [Piece(f"{blank}{start}", Token.TEXT, bold=is_now)]
                return [*pieces, Piece(f"{BETWEEN}{turn}", Token.TEXT)] if turn else pieces
    return []


def plan_room(scene: Scene, width: int, height: int) -> tuple[Line, ...]:
    """Return what the room says, cut to `height` lines: the answer first, then the lists."""
    found = scene.outlook
    if found is None:
        return (line("  ", Piece(say_unknown(scene.board), Token.SOFT)),)[:height]
    head = [
        line("  ", Piece(words, Token.TEXT if number == 0 else Token.SOFT, bold=number == 0))
        for number, said in enumerate(say_reasons(found, scene.board, scene.now, scene.face))
        for words in wrapped(said, max(1, width - 4))
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

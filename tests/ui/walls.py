"""Walls of invented bays, as they are painted, and what stands on them in large letters."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.ui.glyphs import UNICODE, Glyphs
from readbell.ui.large_digits import large
from readbell.ui.wall import WallBay, wall
from ui.busy_board import FACE, NOW, busy_bench

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.instant import Instant
    from readbell.ui.ink import Line

SIZES = ((80, 24), (120, 40), (200, 60))
SMALL_SIZES = ((20, 8), (36, 12), (60, 16), (79, 23))
BUSY = busy_bench().board


def bay(board: Board | None, now: Instant = NOW, **said: object) -> WallBay:
    """One bay as a wall has it."""
    return WallBay(name="bay.journal", board=board, now=now, face=FACE, **said)  # type: ignore[arg-type]


def picture(
    *bays: WallBay, size: tuple[int, int] = (120, 40), glyphs: Glyphs = UNICODE
) -> tuple[Line, ...]:
    """The wall."""
    return wall(bays, *size, glyphs)


def text(lines: tuple[Line, ...]) -> str:
    """It as it is read without colour."""
    return "\n".join(each.text.rstrip() for each in lines)


def stands_large(words: str, lines: tuple[Line, ...], rows: int, glyphs: Glyphs = UNICODE) -> bool:
    """Whether `words` stand there in letters of so many rows."""
    drawn = [each.rstrip() for each in large(words, rows, glyphs)]
    shown = [each.text for each in lines]
    middle = rows // 2
    for top in range(len(shown) - rows + 1):
        column = shown[top + middle].find(drawn[middle])
        while column >= 0:
            if all(shown[top + row].startswith(drawn[row], column) for row in range(rows)):
                return True
            column = shown[top + middle].find(drawn[middle], column + 1)
    return False

"""The call as it is drawn, and its words on either side of the large digits."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.ui.call import call
from readbell.ui.glyphs import UNICODE, Glyphs
from readbell.ui.measures import measures
from ui.busy_board import FACE, NOW

if TYPE_CHECKING:
    from builders import Bench
    from readbell.core.board.board import Board
    from readbell.core.instant import Instant
    from readbell.ui.ink import Line


def drawn(
    board: Board,
    now: Instant = NOW,
    *,
    size: tuple[int, int] = (120, 40),
    glyphs: Glyphs = UNICODE,
    masked: bool = False,
    flash: bool = False,
) -> tuple[Line, ...]:
    """The call."""
    layout = measures(*size)
    return call(board, now, layout, glyphs, face=FACE, masked=masked, flash=flash)


def left(lines: tuple[Line, ...], columns: int = 24) -> list[str]:
    """The words at the left."""
    return [each.text[:columns].strip() for each in lines]


def right(lines: tuple[Line, ...], column: int = 80) -> list[str]:
    """What stands beside the digits."""
    return [" ".join(each.text[column:].split()) for each in lines]


def in_buffer(bench: Bench, label: str, person: str, now: str) -> None:
    """Take a cartridge to the buffer at `now`."""
    bench.label(label, person, now)
    for step in ("buffer", "collect", "extract"):
        bench.step(step, now, label)

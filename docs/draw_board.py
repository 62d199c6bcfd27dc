"""Draw the picture of the board for the README: the busy hour of a demo scenario at one instant.

    .venv/bin/python docs/draw_board.py > docs/board.svg

What is drawn is what the program shows: the same lines, in the palette's own colours.
"""

from __future__ import annotations

import asyncio
import sys
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING

from rich.cells import cell_len

from readbell.core.instant import Instant, Span, later
from readbell.core.span_text import read_span
from readbell.hand.doing import Watching
from readbell.hand.hand import Hand
from readbell.hand.scene import Scene
from readbell.rehearsals import Script, load_script, rehearse
from readbell.ui.front import Present
from readbell.ui.glyphs import UNICODE
from readbell.ui.look import Look
from readbell.ui.page import compose
from readbell.ui.palette import Depth, Ground, ground_style, style_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from rich.style import Style

    from readbell.bay.news import News
    from readbell.ui.ink import Line

SCENARIO = Path(__file__).parents[1] / "demo_scenarios" / "drive_through_hour.toml"
AT = "54:00"
COLUMNS, ROWS = 120, 40
CELL, HIGH = 8.43, 18
SHOWS = "The board: each cartridge a row on one time axis"
FONT = "DejaVu Sans Mono, Menlo, Consolas, monospace"


def main() -> None:
    """Write the picture to standard output."""
    script = load_script(SCENARIO)
    now = later(Instant(script.scenario.starts), read_span(AT) or Span(0))
    present = standing_at(script, now)
    page = compose(present, Look(glyphs=UNICODE), COLUMNS, ROWS)
    sys.stdout.write("\n".join(svg(page.lines)) + "\n")


def standing_at(script: Script, now: Instant) -> Present:
    """Return how the bay of a scenario stands at `now`."""
    told: list[News] = []

    def hear(news: News) -> None:
        if news.at <= now:
            told.append(news)

    asyncio.run(rehearse(script, None, None, hear, lambda _entry, _answer: None))
    last = told[-1]
    scene = Scene(board=last.board, now=now, face=script.face)
    first = scene.in_order()[0].id
    hand = Hand(doing=Watching(), operator=next(iter(last.board.operators)), chosen=first)
    return Present(
        news=last,
        hand=hand,
        scene=scene,
        idle=Span(0),
        not_saved_since=None,
        told="",
        alerted={},
    )


def svg(lines: tuple[Line, ...], shows: str = SHOWS) -> Iterator[str]:
    """Yield the picture: a ground, filled cells, letters."""
    width, height = round(COLUMNS * CELL) + 16, ROWS * HIGH + 16
    yield (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" '
        f'font-family="{FONT}" font-size="14" role="img" '
        f'aria-label="{shows}">'
    )
    yield f'<rect width="{width}" height="{height}" fill="{_ground(chosen=False)}"/>'
    for row, made in enumerate(lines):
        yield from _row(made, 8 + row * HIGH)
    yield "</svg>"


def _row(made: Line, top: int) -> Iterator[str]:
    at = 0
    for piece in made.pieces:
        style = style_of(
            piece.token,
            ground=Ground.DARK,
            depth=Depth.FULL,
            bold=piece.bold,
            chosen=made.chosen,
        )
        cells = cell_len(piece.text)
        left, wide = 8 + at * CELL, cells * CELL
        fill = _colour(style, back=True)
        if fill not in (None, _ground(chosen=False)):
            yield f'<rect x="{left:.1f}" y="{top}" width="{wide:.1f}" height="{HIGH}" fill="{fill}"/>'
        if piece.text.strip():
            weight = ' font-weight="bold"' if style.bold else ""
            yield (
                f'<text x="{left:.1f}" y="{top + 13}" textLength="{wide:.1f}" xml:space="preserve" '
                f'fill="{_colour(style)}"{weight}>{escape(piece.text)}</text>'
            )
        at += cells


def _ground(*, chosen: bool) -> str:
    return (
        _colour(ground_style(ground=Ground.DARK, depth=Depth.FULL, chosen=chosen), back=True) or ""
    )


def _colour(style: Style, *, back: bool = False) -> str | None:
    found = style.bgcolor if back else style.color
    return None if found is None or found.triplet is None else found.triplet.hex


if __name__ == "__main__":
    main()

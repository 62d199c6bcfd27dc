"""Draw the picture of the wall for the README: the busy hour of a demo scenario at one instant.

.venv/bin/python docs/draw_wall.py > docs/wall.svg
"""

from __future__ import annotations

import sys

from draw_board import AT, COLUMNS, ROWS, SCENARIO, standing_at, svg

from readbell.core.instant import Instant, Span, later
from readbell.core.span_text import read_span
from readbell.rehearsals import load_script
from readbell.ui.glyphs import UNICODE
from readbell.ui.wall import WallBay, wall

SHOWS = "The wall: cartridge, place, stage and countdown in large letters"


def main() -> None:
    """Write the picture to standard output."""
    script = load_script(SCENARIO)
    now = later(Instant(script.scenario.starts), read_span(AT) or Span(0))
    board = standing_at(script, now).scene.board
    bay = WallBay(name="", board=board, now=now, face=script.face)
    lines = wall([bay], COLUMNS, ROWS, UNICODE)
    sys.stdout.write("\n".join(svg(lines, SHOWS)) + "\n")


if __name__ == "__main__":
    main()

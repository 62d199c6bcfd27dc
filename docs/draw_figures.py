"""Draw the pictures of the figures for the README, from a made-up quarter.

    PYTHONPATH=tests .venv/bin/python docs/draw_figures.py

The quarter is the one that the tests make from a seed, with one bad lot hidden in it; it goes through
the real journal and the real report.
"""

from __future__ import annotations

from datetime import UTC
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

import draw_board

from quarter import make_quarter
from readbell.bay.figures_beside import FiguresBeside, Seen
from readbell.bay.news import News
from readbell.cli.export_session import sum_up_only
from readbell.cli.figures_asked import ask_for_figures
from readbell.cli.figures_feed import Feed
from readbell.cli.quality_parts import chart_drawing, course_drawing, positives_drawing
from readbell.core.board.layered import newest
from readbell.core.board.sound import Sounding
from readbell.core.figures.course import course_of
from readbell.core.figures.table import ALL, By
from readbell.core.figures.view import Answered, Sheet, Stretch
from readbell.core.figures.watching import Sign
from readbell.core.instant import MINUTE, Span, later
from readbell.hand.doing import Figuring
from readbell.hand.hand import Hand
from readbell.hand.scene import Scene
from readbell.phrases.clock_time import ClockFace
from readbell.reports.drawing import write_svg
from readbell.ui.front import Present
from readbell.ui.glyphs import UNICODE
from readbell.ui.look import Look
from readbell.ui.page import compose

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.figures.view import Asked, Said

FOLDER = Path(__file__).parent
ROWS = 28
SHOWS = "All the figures on the board: the running sum of each lot, and that of a bad one drawn"


def main() -> None:
    """Write the pictures beside this file."""
    with TemporaryDirectory() as folder:
        made = make_quarter(Path(folder) / "quarter.journal")
        # Before anybody looks: that is on record, at an instant of today.
        page = "\n".join(room(made.journal)) + "\n"
        shown = ask_for_figures(made.journal, "op-1", "--by OPERATOR", ALL, tuple(By))
    lots = next(
        each
        for each in shown.watched.charts
        if each.by is By.LOT and each.chart.sign is Sign.INVALID
    )
    write_svg(chart_drawing(lots, shown.name), FOLDER / "figures_lots.svg")
    ((assay, lot),) = {(each.assay, each.lot) for each in shown.watched.proposals}
    course = course_of(shown.watch, shown.figures.counted.courses[assay, lot])
    assert course is not None  # noqa: S101  # strips of it were read
    write_svg(course_drawing(lot, assay, course), FOLDER / "figures_sum.svg")
    (FOLDER / "figures_page.svg").write_text(page, "utf-8")
    weeks = positives_drawing(shown.figures.table.groups(By.DAY))
    write_svg(weeks, FOLDER / "figures_weeks.svg")


class AtOnce(FiguresBeside):
    """Answers in this very program: for a picture nobody has to be kept from waiting."""

    def __init__(self, journal: Path) -> None:
        super().__init__((), lambda: None)
        self._said: list[Said] = []
        self._feed = Feed(journal, self._said.append)

    def ask(self, asked: Asked) -> Seen:
        """Return the answer."""
        self._feed.take(asked)
        said = self._said[-1]
        assert isinstance(said, Answered), said  # noqa: S101  # there is one
        return Seen(answered=said)


def room(journal: Path) -> Iterator[str]:
    """Yield the page of the figures as the board shows it."""
    board = sum_up_only(journal, lambda _done, _of: None).board
    doing = Figuring(sheet=Sheet.SUM, stretch=Stretch.ALL)
    now = later(max(each.last_act for each in newest(board.ended)), Span(MINUTE))
    present = Present(
        news=News(
            board=board,
            events=(),
            at=now,
            wall=now,
            not_saved=None,
            sounding=Sounding(can_sound=True),
        ),
        hand=Hand(doing=doing, operator="op-1"),
        scene=Scene(
            board=board, now=now, face=ClockFace(zone=UTC), acting="op-1", figures=AtOnce(journal)
        ),
        idle=Span(0),
        not_saved_since=None,
        told="",
        alerted={},
    )
    draw_board.ROWS = ROWS
    page = compose(present, Look(glyphs=UNICODE), draw_board.COLUMNS, ROWS)
    yield from draw_board.svg(page.lines, SHOWS)


if __name__ == "__main__":
    main()

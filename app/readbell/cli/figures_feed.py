"""No command for people: the program that a board starts to count the figures of its record.

Run as `python -m readbell.cli.figures_feed JOURNAL`; it is asked in lines and answers in lines
(`bay.figures_lines`). Whether somebody may look was judged, and noted, by the board.
"""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.bay.figures_lines import answer, asked_in
from readbell.cli.private_memory import keep_memory_private
from readbell.core.figures.view import DAYS, Answered, CountFailed, Counting
from readbell.journal.locked import KEYRING, is_locked

if TYPE_CHECKING:
    from collections.abc import Callable

    from readbell.cli.figures_sheets import Sheets
    from readbell.core.figures.table import Chosen
    from readbell.core.figures.view import Asked, Said, Stretch
    from readbell.journal.summing_up import SummedUp

LESS_URGENT = 10
"""The board and its alarms have the processor first."""
READING, COUNTING = "reading the record", "counting cartridges"


class Feed:
    """Answers what is asked about one journal.

    Args:
        journal: the record; it is only read.
        say: is given what there is to say.
    """

    def __init__(self, journal: Path, say: Callable[[Said], None]) -> None:
        self._journal = journal
        self._say = say
        self._round = -1
        self._summed: SummedUp | None = None
        self._sheets: tuple[Stretch, Sheets] | None = None

    def take(self, asked: Asked) -> None:
        """Answer `asked`, or say why not."""
        try:
            self._say(self._answered(asked))
        except Exception as error:  # noqa: BLE001  # who looks has to be told that there is nothing to see
            self._summed = self._sheets = None
            self._say(CountFailed(why=_why(error)))

    def _answered(self, asked: Asked) -> Answered:
        if self._summed is None or asked.round != self._round:
            from readbell.cli.export_session import sum_up_only

            self._sheets = None
            self._summed = sum_up_only(self._journal, self._telling(READING))
            self._round = asked.round
        if self._sheets is None or self._sheets[0] is not asked.stretch:
            self._sheets = (asked.stretch, self._counted(self._summed, asked.stretch))
        return self._sheets[1].page(asked)

    def _counted(self, summed: SummedUp, stretch: Stretch) -> Sheets:
        from readbell.bay.figuring import figures_of
        from readbell.cli.figures_asked import namer
        from readbell.cli.figures_sheets import Sheets
        from readbell.core.figures.view import By
        from readbell.settings.settings_table import read_settings_table

        tell = self._telling(COUNTING)
        figures = figures_of(
            summed.board,
            summed.base,
            _chosen(summed, stretch),
            tuple(By),
            lambda _what, done, of: tell(done, of),
        )
        watch = read_settings_table().figures.to_watch()
        return Sheets(figures=figures, watch=watch, name=namer(summed.board), as_of=_as_of(summed))

    def _telling(self, what: str) -> Callable[[int, int], None]:
        last = -1

        def tell(done: int, of: int) -> None:
            nonlocal last
            hundredth = 100 * done // max(1, of)
            if hundredth != last:
                last = hundredth
                self._say(Counting(what=what, done=done, of=of))

        return tell


def _chosen(summed: SummedUp, stretch: Stretch) -> Chosen:
    """Return the days of `stretch`, up to that of the last event."""
    from readbell.bay.site_time import site_date, time_zone
    from readbell.core.figures.table import Chosen

    days, founded = DAYS[stretch], summed.board.founded
    if days is None or summed.last is None or founded is None:
        return Chosen()
    today = site_date(summed.last.wall, time_zone(founded.timezone))
    since = today - timedelta(days=days - 1)
    return Chosen(since=since.isoformat(), until=today.isoformat())


def _as_of(summed: SummedUp) -> str:
    from readbell.bay.site_time import site_time, time_zone
    from readbell.phrases.clock_time import time_of_day

    founded = summed.board.founded
    if founded is None or summed.last is None:
        return ""
    return time_of_day(site_time(summed.last.wall, time_zone(founded.timezone)), "minutes")


def _why(error: Exception) -> str:
    """Return what may be said of `error`: the sentence of one of ours, of any other its kind alone."""
    from readbell.core.errors import ReadbellError

    return str(error) if isinstance(error, ReadbellError) else type(error).__name__


def main(journal: Path) -> None:
    """Answer for as long as somebody asks."""
    keep_memory_private()
    if is_locked(journal):
        # From whoever started this; a passphrase is never an argument that others could read.
        KEYRING.keep(journal, sys.stdin.readline().rstrip("\n"))
    if hasattr(os, "nice"):
        os.nice(LESS_URGENT)
    feed = Feed(journal, lambda said: print(answer(said), flush=True))
    with suppress(BrokenPipeError, ValueError, TypeError, LookupError):
        for line in sys.stdin:
            feed.take(asked_in(line))


if __name__ == "__main__":
    main(Path(sys.argv[1]))
    # A last line that nobody takes any more is to make no noise.
    os._exit(0)

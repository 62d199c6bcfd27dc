"""What the commands that show figures have in common: who looks is on record, then all is counted."""

from __future__ import annotations

import os
from contextlib import closing
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from readbell.bay.glance import Glance
    from readbell.core.board.board import Board
    from readbell.core.figures.figures import Figures
    from readbell.core.figures.table import Chosen
    from readbell.core.figures.view import By
    from readbell.core.figures.watched import Watched
    from readbell.core.statistics.cusum import Watch
    from readbell.journal.sqlite import SqliteJournal
    from readbell.journal.summing_up import SummedUp


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """What a command may show."""

    board: Board
    figures: Figures
    watched: Watched
    """What watching comes to, by the thresholds of the site."""
    watch: Watch
    """What the running sum watches for."""
    name: Callable[[By, str], str]
    """What a group is called that goes by this key."""


def ask_for_figures(
    path: Path | None, by: str | None, who: str, chosen: Chosen, ways: tuple[By, ...]
) -> Shown:
    """Judge who asks, note it, and add up.

    Args:
        path: the journal; None: this computer's own.
        by: the ID of who looks; None: nobody said.
        who: how that is said, for whoever did not.
        chosen: which cases are asked about.
        ways: in which ways they are to be told apart.

    Raises:
        WrongFileError: nobody says who looks, or they may not; a lot or an assay is not known
            here; or the site's settings are wrong.
        JournalError: there is no journal, or it cannot be read, or it could not be noted.
    """
    from readbell.assembly import old_journal
    from readbell.bay.figuring import figures_of
    from readbell.bay.glance import at_clock
    from readbell.cli.known_here import refuse_unknown
    from readbell.cli.progress import Progress
    from readbell.cli.record_asked import journal_at
    from readbell.clock.system import SystemClock
    from readbell.core.figures.watched import watched
    from readbell.settings.settings_table import read_settings_table

    watch = read_settings_table().figures.to_watch()
    found = journal_at(path)
    with Progress() as progress:
        summed = _summed(found, lambda at, of: progress.tell("reading the record", at, of))
        seen = at_clock(summed.board, summed.last, SystemClock())
        with closing(old_journal(found)) as journal:
            progress.wipe()
            _look(by, who, seen, found, journal)
            refuse_unknown(summed.board, lots=chosen.lots, assays=chosen.assays)
            figures = figures_of(summed.board, summed.base, chosen, ways, progress.tell)
    return Shown(
        board=summed.board,
        figures=figures,
        watched=watched(figures.counted, chosen, watch),
        watch=watch,
        name=namer(summed.board),
    )


def _summed(path: Path, tell: Callable[[int, int], None]) -> SummedUp:
    """Sum the record up, and leave a snapshot for the next time.

    None is left while a program runs the bay, in an archive, which stays as it is to the last
    byte, and where nothing can be written.
    """
    from readbell.assembly import old_journal
    from readbell.cli.export_session import get_ready, sum_up_only
    from readbell.journal.errors import InUseError

    with closing(old_journal(path)) as journal:
        is_archive = journal.is_archive
    if is_archive or not os.access(path.parent, os.W_OK):
        return sum_up_only(path, tell)
    try:
        return get_ready(path, tell)
    except InUseError:
        return sum_up_only(path, tell)


def _look(by: str | None, who: str, seen: Glance, path: Path, journal: SqliteJournal) -> None:
    """Have the look on record before anything is shown.

    Nobody has to be named where nobody is in the record but people that were made up, nor
    in an archive, which takes no note.

    Raises:
        WrongFileError: nobody says who looks, or they may not.
        JournalError: it could not be noted.
    """
    from readbell.bay.site_face import face_now
    from readbell.cli.record_asked import recorded
    from readbell.core.board.decide import decide
    from readbell.core.board.events import Mode
    from readbell.core.keeping.acts import OpenTrace
    from readbell.core.keeping.events import TraceOf
    from readbell.core.refusal import Refusal
    from readbell.phrases.refusals import Tried, say_refusal
    from readbell.toml_tables import WrongFileError

    founded = seen.board.founded
    practice = founded is not None and founded.mode is Mode.REHEARSAL
    if by is None and practice:
        return
    if by is None:
        raise WrongFileError([f"say who looks: {who}; it is recorded"])
    act = OpenTrace(by=by, of=TraceOf.FIGURES, about="", since=seen.day_began)
    if practice or journal.is_archive:
        decided = decide(seen.board, act, seen.now)
    else:
        decided = recorded(path, by, act, seen)
    if isinstance(decided, Refusal):
        face = face_now(seen.board, seen.apart)
        words = say_refusal(decided, Tried(cartridge=decided.subject, now=seen.now), face)
        raise WrongFileError([words])


def namer(board: Board) -> Callable[[By, str], str]:
    """Return what says how a group is called that goes by a key; who was erased is said to be."""
    from readbell.core.figures.view import By

    def name(by: By, key: str) -> str:
        return (board.name(key) or "erased") if by in {By.OPERATOR, By.READER} else key

    return name

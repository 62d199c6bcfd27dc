"""A bay for the length of one export: taken up if nobody has it, else looked at and left a receipt."""

from __future__ import annotations

from contextlib import closing, contextmanager
from typing import TYPE_CHECKING, Protocol

from readbell.bay.receipts import Receipt, as_text
from readbell.bay.site_time import time_zone
from readbell.core.board.decide import decide
from readbell.core.board.events import Ending, Mode
from readbell.core.errors import ReadbellError
from readbell.core.instant import Instant
from readbell.core.made_later import dataclass
from readbell.core.refusal import Refusal
from readbell.journal.errors import InUseError, JournalError
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.refusals import Tried, say_refusal

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from readbell.bay.bay import Bay
    from readbell.bay.bay_thread import BayThread
    from readbell.bay.news import News
    from readbell.core.board.board import Board
    from readbell.core.exports.acts import NoteExport
    from readbell.journal.envelope import Stamp
    from readbell.journal.summing_up import SummedUp


class ExportRefusedError(ReadbellError):
    """The bay does not let this be exported, or not by whoever asks."""

    exit_status = 2


class Session(Protocol):
    """What an export needs of a bay."""

    @property
    def board(self) -> Board:
        """The bay as it stands."""

    @property
    def first(self) -> bytes:
        """Hash of the first event of its record."""

    def judge(self, act: NoteExport) -> None:
        """See whether `act` would be taken, before anything leaves.

        Raises:
            ExportRefusedError: it would not.
        """

    def note(self, act: NoteExport) -> bool:
        """Put an export on record; say whether it is, or will be once a running program enters it.

        Raises:
            ExportRefusedError: it is refused after all.
        """


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenUp:
    """Nobody else has the bay: it is ours until the export is on record."""

    thread: BayThread
    first: bytes

    @property
    def board(self) -> Board:
        """The bay as it stands."""
        return self.thread.present().board

    def judge(self, act: NoteExport) -> None:
        """See whether `act` would be taken; what is refused is a near miss."""
        if isinstance(decide(self.board, act, Instant(0)), Refusal):
            self.note(act)

    def note(self, act: NoteExport) -> bool:
        """Put an export on record."""

        async def ask(bay: Bay) -> Refusal | None:
            return (await bay.do(act)).refusal

        refusal = self.thread.ask(ask)
        if refusal is not None:
            raise _refused(refusal, self.board)
        return True


@dataclass(frozen=True, slots=True, kw_only=True)
class LookedAt:
    """A program runs the bay, or cartridges run that somebody has to hear of: it is left alone."""

    journal: Path
    board: Board
    """The bay as it stood a moment ago, and what has left since."""
    first: bytes
    locked: bool
    last: Stamp | None
    """Of the last event then: it ties the bay's time line to a clock."""

    def judge(self, act: NoteExport) -> None:
        """See whether `act` would be taken."""
        decided = decide(self.board, act, Instant(0))
        if isinstance(decided, Refusal):
            raise _refused(decided, self.board)

    def note(self, act: NoteExport) -> bool:
        """Leave a receipt for whoever writes the record."""
        from readbell.bay.glance import at_clock
        from readbell.clock.system import SystemClock
        from readbell.journal.receipts import leave_receipt

        where = None if act.where is None or self.locked else act.where.value
        receipt = Receipt(
            journal=self.first.hex(),
            by=None if act.by is None else self.board.operators.get(act.by),
            export=act.export,
            format=act.format,
            count=act.count,
            digest=act.digest,
            where=where,
            choice=act.choice,
            results=act.results,
            left=at_clock(self.board, self.last, SystemClock()).now,
        )
        leave_receipt(self.journal, as_text(receipt))
        return False


def _refused(refusal: Refusal, board: Board) -> ExportRefusedError:
    zone = time_zone("UTC" if board.founded is None else board.founded.timezone)
    words = say_refusal(refusal, Tried(cartridge="", now=Instant(0)), ClockFace(zone=zone))
    return ExportRefusedError(words)


@contextmanager
def session(path: Path, by: str | None, tell: Callable[[int, int], None]) -> Iterator[Session]:
    """Take up the bay in `path`, or look at it where that must not be done.

    Args:
        path: its journal; there is one.
        by: the ID of who asks, who signs in where the site wants that; None: nobody said.
        tell: is told how many events of how many have been read.

    Raises:
        JournalError: it cannot be read.
    """
    path = path.resolve()
    first = _first(path)
    try:
        summed = get_ready(path, tell)
    except InUseError:
        summed = None
    if summed is None or summed.board.running:
        summed = summed or sum_up_only(path, tell)
        yield _looked_at(path, summed, first)
        return
    mode = Mode.LIVE if summed.board.founded is None else summed.board.founded.mode
    del summed  # the bay has it anew, and twice is too much
    try:
        thread = _taken_up(path, mode)
    except InUseError:  # somebody was first, a moment ago
        yield _looked_at(path, sum_up_only(path, tell), first)
        return
    try:
        _sign_in(thread, path, by)
        yield TakenUp(thread=thread, first=first)
    finally:
        thread.stop()


def sum_up_only(path: Path, tell: Callable[[int, int], None]) -> SummedUp:
    """Return what the record in `path` adds up to; nothing is written.

    Raises:
        JournalError: it cannot be read.
    """
    from readbell.assembly import old_journal
    from readbell.journal.summing_up import sum_up

    with closing(old_journal(path)) as journal:
        return sum_up(journal, tell)


def board_to_leave(path: Path, tell: Callable[[int, int], None]) -> Board:
    """Return how the bay in `path` stands, and what has left since; nothing is written.

    Raises:
        JournalError: it cannot be read.
    """
    path = path.resolve()
    return _once_entered(path, sum_up_only(path, tell).board, _first(path))


def _looked_at(path: Path, summed: SummedUp, first: bytes) -> LookedAt:
    return LookedAt(
        journal=path,
        board=_once_entered(path, summed.board, first),
        first=first,
        locked=_is_locked(path),
        last=summed.last,
    )


def _once_entered(path: Path, board: Board, first: bytes) -> Board:
    from readbell.bay.identifiers import RandomIdentifiers
    from readbell.bay.receipts import once_entered

    return once_entered(board, path, first.hex(), RandomIdentifiers())


def _first(path: Path) -> bytes:
    from readbell.assembly import old_journal

    with closing(old_journal(path)) as journal:
        found = next(journal.records(0), None)
    if found is None:
        msg = f"{path}: nothing is on record there: check the name"
        raise JournalError(msg)
    return found.hash


def get_ready(path: Path, tell: Callable[[int, int], None]) -> SummedUp:
    """Sum the record up in little memory, and leave a snapshot of it for the bay to start from.

    Raises:
        InUseError: a program runs the bay.
    """
    from readbell.journal.lock import JournalLock
    from readbell.journal.sqlite import SqliteJournal
    from readbell.journal.summing_up import sum_up
    from readbell.settings.station_file import is_station_file

    lock = JournalLock(path)
    lock.take()
    try:
        if is_station_file(path):
            # Its snapshot is of the board of one station, and this one would be of them all.
            return sum_up_only(path, tell)
        with closing(SqliteJournal.open(path)) as journal:
            erasures = journal.erasures()
            summed = sum_up(journal, tell)
            if summed.parts is not None:
                journal.keep_snapshot(summed.parts, frozenset(), erasures)
            return summed
    finally:
        lock.release()


def _taken_up(path: Path, mode: Mode) -> BayThread:
    from readbell.assembly import live_bay
    from readbell.bay.bay_thread import BayThread
    from readbell.bay.opening import Founding

    # An old journal knows its own name and zone; this would be a new one's.
    founding = Founding(timezone="UTC", mode=mode)
    thread = BayThread(
        lambda: live_bay(path, founding, _nobody, lambda: Ending.END_OF_INPUT, brief=True)
    )
    thread.start()
    return thread


def _sign_in(thread: BayThread, path: Path, by: str | None) -> None:
    """Sign in whoever asks, where the site wants that.

    Raises:
        ExportRefusedError: it did not work.
    """
    from functools import partial

    from readbell.assembly import desk
    from readbell.cli.signing_in import signing_in

    clerk = desk(path)
    for line in signing_in(thread.present().board, by):
        answer = thread.ask(partial(clerk.serve, line=line))
        if answer.refusal is not None:
            raise _refused(answer.refusal, answer.board)


def _is_locked(path: Path) -> bool:
    from readbell.journal.locked import is_locked

    return is_locked(path)


def _nobody(_news: News) -> None:
    """Nobody listens."""

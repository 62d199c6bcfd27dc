"""A bay in step with its record: what it records goes on the disk and is awaited, and so does what
others were first to record. All of it is done in a turn of the bay, and takes none itself.
"""

from __future__ import annotations

from contextlib import suppress
from typing import TYPE_CHECKING

from readbell.core.board.record_check import RecordCheck, RecordState
from readbell.core.board.stations import here_again, take_unheld
from readbell.core.errors import BrokenRecordError
from readbell.core.stations.events import JoinedUp, StationLeft
from readbell.core.stations.station import StationState
from readbell.journal.errors import (
    BrokenChainError,
    ConflictError,
    JournalError,
    LinkLostError,
    NewerJournalError,
    NotWrittenError,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from readbell.bay.announcer import Announcer
    from readbell.bay.identifiers import Identifiers
    from readbell.bay.recorder import Recorder
    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.cartridge.events import AlertRaised
    from readbell.core.instant import Instant
    from readbell.journal.keeper import Keeper


class InStep:
    """Keeps the board, the record and the deadlines of one bay in step.

    Args:
        recorder: has the board.
        keeper: has the record.
        announcer: announces what falls due.
        look_again: says that the deadlines have changed.
        identifiers: name what is made anew.
    """

    def __init__(
        self,
        recorder: Recorder,
        keeper: Keeper,
        announcer: Announcer,
        look_again: Callable[[], None],
        identifiers: Identifiers,
    ) -> None:
        self._recorder = recorder
        self._keeper = keeper
        self._announcer = announcer
        self._look_again = look_again
        self._identifiers = identifiers

    async def record_or_show(self, events: Sequence[Event]) -> None:
        """Record `events`, after what others recorded first; or show them, if no disk takes them."""
        await self.record_made(lambda _board, _now: events)

    async def record_made(
        self, make: Callable[[Board, Instant], Sequence[Event]], *, goes_beside: bool = True
    ) -> None:
        """Do the same with what `make` makes of the board and the instant, anew each time.

        Args:
            make: makes what happened.
            goes_beside: whether a station that finds itself alone by it may do it; if not, what
                `make` makes of that is done.
        """
        while True:
            events = make(self._recorder.board, self._recorder.now())
            try:
                await self._recorder.record(events, goes_beside=goes_beside)
            except ConflictError:
                await self.catch_up()
            except LinkLostError:
                continue  # and make of it what one that is alone may do
            except NotWrittenError:
                self._recorder.show(events)
                return
            else:
                return

    async def announce_until(self, until: Instant, now: Instant) -> tuple[AlertRaised, ...]:
        """Announce at `now` what is due at `until` or before, whoever writes at the same time."""
        while True:
            try:
                return await self._announcer.announce(until, now)
            except ConflictError:
                await self.catch_up()

    async def catch_up(self) -> None:
        """Take in what somebody else was first to record."""
        end = self._keeper.head
        why = await self._enter()
        if why is None and self._keeper.head == end and self._keeper.alone is None:
            # Nobody was first: the journal lost its end. Go on beside it, where alarms still ring.
            why = f"it lost events that were in it, up to {end.seq}"
        if why is not None:
            await self._keeper.spill(why)

    async def follow(self) -> None:
        """Enter what others recorded, tell of it, and await what falls due by it.

        Where it cannot be entered, as it was changed, this bay goes on beside the record and says
        why. Where a newer program wrote it, this station is alone.
        """
        why = await self._enter()
        if why is not None and self._keeper.not_saved is None:
            await self._keeper.spill(why)
            self._recorder.tell()

    async def _enter(self) -> str | None:
        """Enter what others recorded; return why that cannot be, or None."""
        before = self._recorder.board.running
        try:
            found = await self._recorder.follow()
        except NewerJournalError as error:
            return await self._is_outdone(error)
        except (JournalError, BrokenRecordError) as error:
            if isinstance(error, BrokenChainError):
                self._recorder.record_check = RecordCheck(
                    state=RecordState.BROKEN, event=error.seq, why=str(error)
                )
            return str(error)
        if found:
            self._await({*before, *self._recorder.board.running})
        return None

    async def _is_outdone(self, error: NewerJournalError) -> str | None:
        """Go on alone from here: another station is of a newer program; return why, if nobody shares this.

        What it recorded may be anything, a step taken back as well: whoever does not know it must
        work on nothing that others may have worked on.
        """
        presence = self._recorder.presence
        if presence is None:
            return str(error)
        presence.cannot_follow(str(error))
        with suppress(NotWrittenError):  # that is told as NOT SAVED
            await self._keeper.part(str(error))
        self._recorder.note_link()
        self._recorder.tell()
        return None

    async def hold_what_nobody_holds(self) -> None:
        """Hold the clocks of what a station left behind, if no other one does it first.

        Else nobody could go on with it, once the link were lost. And be here again, if somebody
        gave this station up that only stood still.
        """
        here = self._recorder.here()
        if here is None:
            return
        station = here.station

        def make(board: Board, now: Instant) -> tuple[Event, ...]:
            if self._keeper.alone is not None or self._keeper.not_saved is not None:
                return ()
            return (*here_again(board, station, now), *take_unheld(board, station, now))

        if make(self._recorder.board, self._recorder.now()):
            await self.record_made(make, goes_beside=False)
            self._await(self._recorder.board.running)

    def await_all(self) -> None:
        """Work out anew when each running cartridge next falls due here."""
        self._await(self._recorder.board.running)

    async def join_up(self) -> None:
        """Put what was done alone into the shared record, and tell once how much came home."""
        before, since = self._recorder.board.running, self._recorder.alone_since
        self._recorder.note_link()
        if self._keeper.alone is not None and await self._joins_up():
            self._await({*before, *self._recorder.board.running})
        elif since is not None and self._keeper.alone is None:
            await self._come_home(since, self._keeper.brought_home)

    async def _joins_up(self) -> bool:
        # Imported by a station that is alone; no other has two sides.
        from readbell.bay.joining_up import join_up_now

        try:
            return await join_up_now(self._recorder, self._keeper, self._identifiers)
        except NewerJournalError as error:
            await self._is_outdone(error)
            return False

    def leaving(self) -> Iterator[StationLeft]:
        """Yield that this station of a shared bay goes, if it came.

        One that is alone can say goodbye to nobody: it goes on holding what it holds.
        """
        here, board = self._recorder.here(), self._recorder.board
        station = None if here is None else board.stations.get(here.station)
        if here is None or here.is_alone or station is None:
            return
        if station.state is StationState.HERE:
            yield StationLeft(at=self._recorder.now(), station=here.station)

    async def _come_home(self, since: Instant, brought: int) -> None:
        """Tell that what was done alone came home as it was: nobody else had recorded anything."""
        here = self._recorder.here()
        if here is not None and brought:
            joined = JoinedUp(
                at=self._recorder.now(),
                station=here.station,
                since=since,
                joined=brought,
                same=0,
                apart=0,
            )
            await self.record_or_show((joined,))
        self._await(self._recorder.board.running)

    def _await(self, cartridges: Iterable[str]) -> None:
        self._announcer.follow(tuple(cartridges))
        self._look_again()

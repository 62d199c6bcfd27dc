"""What goes on beside a station's bay: news of the others come home, pulses go out, clocks are held
against the server's, and a lost link is made up again.

None of it is done in the bay's turns but the last step, in which news are entered. What waits for
the network waits in the thread that writes, as every append does, or in one of its own.
"""

from __future__ import annotations

import asyncio
from contextlib import suppress
from typing import TYPE_CHECKING, TypeVar

from readbell.bay.common_time import quickest, told_of
from readbell.bay.opening import moment_of
from readbell.bay.roll_call import RollCall
from readbell.bay.sounder import is_silent
from readbell.clock.shared_line import ServerLook
from readbell.core.board.record_check import RecordCheck, RecordState
from readbell.core.errors import ReadbellError
from readbell.core.instant import SECOND, Instant, Span
from readbell.journal.errors import BrokenChainError, JournalError, LinkLostError

if TYPE_CHECKING:
    from collections.abc import Callable

    from readbell.bay.beside_station import Hears, OneBay
    from readbell.bay.common_time import CommonTime
    from readbell.bay.presence import StationPresence
    from readbell.bay.recorder import Recorder
    from readbell.clock.anchor import Anchor
    from readbell.clock.clock import Clock, Sleeper
    from readbell.journal.keeper import Keeper
    from readbell.journal.shared import Server, SharedJournal

Found = TypeVar("Found")

LOOK_EACH = Span(500)
RELINK_EACH = Span(SECOND)
PULL_EACH = Span(5 * SECOND)
"""News come at once when they are told; should the telling fail, they are found this soon."""
PULSE_EACH = Span(2 * SECOND)
MEASURE_EACH = Span(30 * SECOND)


class Following:
    """Keeps one station of a shared bay in step with the others.

    Args:
        journal: the mirror and the server.
        keeper: has the thread that writes.
        recorder: has the board.
        clock: the clocks of this computer.
        sleeper: waits on them.
        presence: who is here.
        time: the line of the bay, as this station counts it.
        connect: makes a new connection to the server; it may wait for seconds.
        listen: makes what listens there beside that one.
        on_mark: is told the letter that this station marks its labels with, if it is another one.
        sets_policy: whether the decisions of the bay are those of this computer.
    """

    def __init__(
        self,
        *,
        journal: SharedJournal,
        keeper: Keeper,
        recorder: Recorder,
        clock: Clock,
        sleeper: Sleeper,
        presence: StationPresence,
        time: CommonTime,
        connect: Callable[[], Server],
        listen: Callable[[Server], Hears],
        on_mark: Callable[[str], None],
        sets_policy: bool,
    ) -> None:
        self._journal = journal
        self._keeper = keeper
        self._recorder = recorder
        self._clock = clock
        self._sleeper = sleeper
        self.presence = presence
        presence.is_beside = lambda: keeper.alone is not None or keeper.not_saved is not None
        presence.is_silent = lambda now: is_silent(recorder, now)
        presence.ails = lambda: journal.mirror_ailment
        self._time = time
        self._connect = connect
        self._listen = listen
        self._on_mark = on_mark
        self.sets_policy = sets_policy
        self.bay: OneBay | None = None
        self._hearing: Hears | None = None
        self._loop: asyncio.AbstractEventLoop | None = None
        self._stopping = False
        self._news = False
        self._told_linked = journal.is_linked
        """Whether the bay was last told that the link is there."""
        self._roll_call = RollCall(
            presence=presence,
            recorder=recorder,
            keeper=keeper,
            clock=clock,
            sleeper=sleeper,
            is_over=lambda: self._stopping or self._hearing is None,
        )
        self._away: frozenset[str] = frozenset()
        self._was_beside = self._had_twin = False
        self._pulled = self._pulsed = self._measured = self._tried = 0

    @property
    def is_linked(self) -> bool:
        """Whether the server can be reached, as far as is known."""
        return self._journal.is_linked

    def bear(self, mark: str) -> None:
        """Mark labels with `mark` from now on, as the record has it."""
        if mark != self.presence.mark:
            self.presence.bear(mark)
            self._on_mark(mark)

    def last_here(self) -> Instant | None:
        """Return when this station was last at work; None: it never was, as far as is known."""
        kept = self._time.kept()
        return None if kept is None else kept.at

    def start(self) -> None:
        """Begin to listen; called in the bay's own thread, before it is opened."""
        self._loop = asyncio.get_running_loop()
        if self._journal.is_linked:
            self._begin_listening(self._journal.server)

    def say(self, payload: str) -> None:
        """Send a pulse to all, if the server is heard."""
        if self._hearing is not None:
            self._hearing.say(payload)

    def _begin_listening(self, server: Server) -> None:
        if self._hearing is None and not self._stopping:
            self._hearing = self._listen(server)
            self._hearing.start()

    def on_news(self, seq: int) -> None:
        """Take note, in whatever thread, that the record goes as far as event `seq`."""
        if seq > self._keeper.head.seq:
            self._in_loop(self._note_news)

    def on_pulse(self, payload: str) -> None:
        """Take note, in whatever thread, of what a station says of itself."""
        self._in_loop(lambda: self._note_pulse(payload))

    def on_link(self, is_up: bool) -> None:  # as the listening thread calls it
        """Take note, in whatever thread, that the server is heard, or no more."""
        if not is_up:
            self._journal.cut()
        self._in_loop(lambda: self._note_link(is_up))

    async def begin(self) -> Anchor:
        """Return where the line of the bay stands, asked of the server if it can be reached.

        Raises:
            ReadbellError: another computer is this station now.
        """
        last = self._recorder.last
        latest = None if last is None else last.at
        with suppress(JournalError):
            look = await self._in_writer(lambda server: quickest(server, self._clock))
            recorded = await self._in_writer(lambda server: server.last_line_offset())
            await self._roll_call.hold(self._journal.server)
            founded = Span(0 if last is None else last.at - last.wall)
            reading = self._clock.read()
            begun = self._time.begin_linked(look, _span(recorded), founded, latest, reading)
            self.presence.since = begun.instant(reading)
            self._time.note_wall(reading, look)
            self._tell_offset()
            self._measured = self._clock.read().running
            return begun
        self.presence.refuse_second()  # it has answered already, and the link was cut for that
        own = None if last is None or last.station != self.presence.station else moment_of(last)
        self._recorder.alone_since = self._recorder.alone_since or self._time.alone()
        return self._time.begin_alone(own, latest, self._clock.read())

    async def run(self) -> None:
        """Go on until stopped."""
        self.presence.now = self._recorder.now
        while not self._stopping:
            try:
                await self._look_after()
            except BrokenChainError as error:
                self._recorder.record_check = RecordCheck(
                    state=RecordState.BROKEN, event=error.seq, why=str(error)
                )
                self._recorder.tell()
            except ReadbellError:
                await self._tell_bay()
            except Exception:  # noqa: BLE001  # a station that followed nobody any more would not say so
                self._journal.cut()
                with suppress(Exception):
                    await self._tell_bay()
            if not (self._news and self._journal.is_linked):  # else nobody else had a turn
                await self._sleeper.sleep(LOOK_EACH)
        self._sleeper.retire()

    def stop(self) -> None:
        """Let `run` end soon."""
        self._stopping = True
        self._sleeper.wake()

    async def finish(self) -> None:
        """Say goodbye, and keep where the line stands."""
        self.presence.pulse(leaving=True)
        self._time.keep(self._clock.read(), self._recorder.alone_since)
        self.close()

    def close(self) -> None:
        """Listen no more; once is enough, and twice does no harm."""
        self._stopping = True
        hearing, self._hearing = self._hearing, None
        if hearing is not None:
            hearing.close()

    async def _look_after(self) -> None:
        stepped, self._time.stepped = self._time.stepped, Span(0)
        if stepped and self.bay is not None:
            await self.bay.note_made(lambda board, now: told_of(board, now, stepped=stepped))
        running = self._clock.read().running
        if not self._journal.is_linked:
            # A link to what this program cannot read is of no use to it.
            if running - self._tried >= RELINK_EACH and not self.presence.is_older:
                await self._relink()
                self._tried = self._clock.read().running
        elif self._news or running - self._pulled >= PULL_EACH:
            await self._take_in()
        is_beside = self.presence.is_beside()
        # That it parted or came home is said at once: until then others hold it for away, or not.
        if running - self._pulsed >= PULSE_EACH or is_beside != self._was_beside:
            self._pulsed, self._was_beside = running, is_beside
            self.presence.pulse()
            self._time.keep(self._clock.read(), self._recorder.alone_since)
        if self._journal.is_linked and not is_beside and self.presence.since is None:
            self.presence.since = self._recorder.now()
        if self._journal.is_linked and running - self._measured >= MEASURE_EACH:
            await self._measure()
        away = self.presence.away(self._recorder.board)
        has_twin = self.presence.has_twin
        if (away, has_twin) != (self._away, self._had_twin) and self.bay is not None:
            self._away, self._had_twin = away, has_twin
            await self.bay.others_changed()

    async def _take_in(self) -> None:
        self._news, self._pulled = False, self._clock.read().running
        await self._keeper.read(lambda _: self._journal.pull())
        if self.bay is not None:
            await self.bay.take_in()

    async def _relink(self) -> None:
        """Connect anew; whoever writes does not wait for it."""
        try:
            self.presence.refuse_second()
            await self._link_to(await asyncio.to_thread(self._connect))
        except (ReadbellError, OSError) as error:
            # Nobody answers: that may pass. Whatever else it is, somebody has to see to it.
            passes = isinstance(error, LinkLostError | OSError)
            self._tell_refused("" if passes else str(error))
            await self._tell_bay()
            return
        self._tell_refused("")
        await self._measure()
        self._told_linked = False  # whoever appended may have found out by itself
        await self._tell_bay()
        await self._take_in()

    async def _link_to(self, server: Server) -> None:
        """Go on with a new connection, if this computer is the station still.

        Raises:
            ReadbellError: it is not, the record there is another one, or the link is lost again.
        """
        self._begin_listening(server)
        if self._keeper.alone is not None:
            # Nobody is to be called away whose pulses were only not heard meanwhile, and nothing
            # comes home of a computer that is the second of this name.
            try:
                await self._roll_call.hold(server)
            except ReadbellError:
                server.close()
                raise
        try:
            await self._keeper.read(lambda _: self._journal.linked(server))
        except RuntimeError:  # the bay was laid down meanwhile, and nobody else would let go of it
            server.close()
            raise

    def _tell_refused(self, why: str) -> None:
        """Say why the link does not come back by itself, once it is known, or is another reason."""
        if why != self.presence.refused:
            self.presence.refused = why
            self._recorder.tell()

    async def _tell_bay(self) -> None:
        if self.bay is not None and self._told_linked != self._journal.is_linked:
            self._told_linked = self._journal.is_linked
            await self.bay.link_changed()

    async def _measure(self) -> None:
        self._measured = self._clock.read().running
        look = await self._look()
        recorded = None
        if self._time.offset is None:
            recorded = await self._in_writer(lambda server: server.last_line_offset())
        last = self._recorder.last
        latest = Instant(0) if last is None else last.at
        found = self._time.look(look, _span(recorded), latest)
        self._recorder.anchor(found.line.anchor)
        if self._time.note_wall(self._clock.read(), look):
            self._recorder.tell()
        self._tell_offset()
        if (found.stepped or found.moved > 0) and self.bay is not None:
            self.presence.pulse()
            await self.bay.note_made(
                lambda board, now: told_of(board, now, stepped=found.stepped, moved=found.moved)
            )

    async def _look(self) -> ServerLook:
        """Measure the server's clock, by the connection that nobody waits for if it is there."""
        hearing = self._hearing
        found = None if hearing is None else await asyncio.to_thread(hearing.measure)
        if found is None:
            return await self._in_writer(lambda server: quickest(server, self._clock))
        return ServerLook(
            server=found.server, counting=found.counting, within=(found.around + 1) // 2 + 1
        )

    def _tell_offset(self) -> None:
        offset = self._time.offset
        if offset is not None:
            self._journal.measured(offset)

    async def _in_writer(self, question: Callable[[Server], Found]) -> Found:
        try:
            return await self._keeper.read(lambda _: question(self._journal.server))
        except JournalError:
            self._journal.cut()
            raise

    def _in_loop(self, work: Callable[[], None]) -> None:
        if self._loop is not None:
            with suppress(RuntimeError):  # the bay and its loop have ended
                self._loop.call_soon_threadsafe(work)

    def _note_news(self) -> None:
        self._news = True
        self._sleeper.wake()

    def _note_pulse(self, payload: str) -> None:
        if self.presence.hear(payload):
            self.presence.pulse()
        if self.presence.is_second:
            self._journal.cut()  # whatever happens here meanwhile happens to one that is alone
        self._sleeper.wake()

    def _note_link(self, is_up: bool) -> None:
        self._roll_call.is_heard = is_up
        if is_up:
            self.presence.pulse(asks=True)
        self._tried = 0  # whichever way it changed, it is worth a try now
        self._sleeper.wake()


def _span(offset: int | None) -> Span | None:
    return None if offset is None else Span(offset)

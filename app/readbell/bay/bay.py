"""The bay: load, decide, append, publish; and announce what falls due.

One lock makes every act and every announcement a turn of its own. A turn begins
by announcing whatever fell due before it, so an act never overtakes an alert;
at one and the same instant the act goes first.
"""

from __future__ import annotations

import asyncio
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, TypeVar

from readbell.bay.announcer import Announcer, cartridges_of
from readbell.bay.entering import kept_apart, nothing_shown, understood
from readbell.bay.errors import BayClosedError, WentOnError
from readbell.bay.in_step import InStep
from readbell.bay.near_miss import near_miss
from readbell.bay.news import Answer, Return
from readbell.bay.opening import Founding, take_up
from readbell.bay.sounder import Sounder
from readbell.bay.watch import Watch
from readbell.core.board.alarm import NO_SOUND
from readbell.core.board.events import AlertHeard, ProgramStopped
from readbell.core.board.sound import HEARD
from readbell.core.board.stations import refused_here, stays_done, with_holder
from readbell.core.cartridge.acts import Label
from readbell.core.instant import Instant, Span
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.shift.acts import SignDaySheet
from readbell.journal.errors import ConflictError, LinkLostError, NotWrittenError
from readbell.scheduler.deadlines import Deadlines
from readbell.scheduler.scheduler import Scheduler

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from readbell.bay.around import Presence
    from readbell.bay.aside import Aside
    from readbell.bay.entering import Shown
    from readbell.bay.following import Following
    from readbell.bay.identifiers import Identifiers
    from readbell.bay.news import News
    from readbell.bay.recorder import Recorder
    from readbell.bay.sounder import Bell
    from readbell.clock.clock import Clock
    from readbell.core.board.acts import Act
    from readbell.core.board.board import Board
    from readbell.core.board.entry import Entry
    from readbell.core.board.event import Event
    from readbell.core.board.events import Ending
    from readbell.core.private import Private
    from readbell.journal.keeper import Keeper
    from readbell.journal.record import Head
    from readbell.journal.source import Source


Found = TypeVar("Found")
RANK = 1
"""At one instant whoever plays a script goes first."""
SOUNDER_RANK = 2
"""What has just fallen due is announced before it sounds."""


class Bay:
    """One place of work. Not for use before `open`, nor by two threads at once."""

    def __init__(
        self,
        *,
        recorder: Recorder,
        keeper: Keeper,
        clock: Clock,
        identifiers: Identifiers,
        bell: Bell | None = None,
        rest: Span = HEARD,
        asides: Sequence[Aside] = (),
        presence: Presence | None = None,
        following: Following | None = None,
    ) -> None:
        recorder.presence = presence
        self._following = following
        self._recorder = recorder
        self._keeper = keeper
        self._clock = clock
        self._identifiers = identifiers
        self._asides = (*asides, *(() if following is None else (following,)))
        self._turn = asyncio.Lock()
        self._closed = False
        self._deadlines = Deadlines()
        self._announcer = Announcer(recorder, self._deadlines)
        self._watch = Watch(clock, keeper, keeps_wall=presence is None)
        self._scheduler = Scheduler(
            sleeper=clock.sleeper(RANK),
            now=recorder.now,
            deadlines=self._deadlines,
            announce=self._announce,
            watch=self._look_about,
        )
        self._step = InStep(
            recorder, keeper, self._announcer, self._scheduler.look_again, identifiers
        )
        self._sounder = (
            None
            if bell is None
            else Sounder(
                bell=bell,
                clock=clock,
                sleeper=clock.sleeper(SOUNDER_RANK),
                recorder=recorder,
                keeper=keeper,
                rest=rest,
            )
        )

    @property
    def board(self) -> Board:
        """The present state, an immutable value."""
        return self._recorder.board

    def now(self) -> Instant:
        """Where the bay's time line stands."""
        return self._recorder.now()

    def present(self) -> News:
        """Return how things stand; nothing has happened."""
        return self._recorder.news()

    def next_due(self) -> Instant | None:
        """Return when the next alert will fall, or None if nothing is pending."""
        return self._deadlines.next_due()

    async def announce(self) -> Instant | None:
        """Announce what has fallen due by now, and return when the next alert will fall."""
        await self._announce()
        return self.next_due()

    async def open(self, founding: Founding) -> Return:
        """Take the bay up, and announce what fell due while nobody watched.

        Raises:
            ReadbellError: the journal cannot be taken up; the text says why.
        """
        if self._following is not None:
            self._following.start()
        found = await take_up(self._recorder, self._keeper, self._clock, founding, self._following)
        if self._keeper.alone is not None:
            await self._keeper.check()
        await self._step.join_up()
        self._announcer.follow(tuple(self.board.running))
        now = self.now()
        return replace(found, fell_due=await self._step.announce_until(now, now))

    async def run(self) -> None:
        """Announce each deadline as it comes, and sound, until the bay is closed."""
        sounder = self._sounder
        sounding = None if sounder is None else asyncio.create_task(sounder.run())
        going_on = [asyncio.create_task(each.run()) for each in self._asides]
        try:
            await self._scheduler.run()
        finally:
            if sounder is not None and sounding is not None:
                sounder.stop()
                await sounding
            self._stop_asides()
        await asyncio.gather(*going_on)

    async def in_hand(self, cartridge: str | None) -> None:
        """Say the same as `hand_on`, where an answer is waited for."""
        self.hand_on(cartridge)

    def hand_on(self, cartridge: str | None) -> None:
        """Be silent about the cartridge of this id for a while: somebody acts on it now.

        Said again with each key, in the bay's own thread; None: nobody does any more.
        """
        if self._sounder is not None:
            self._sounder.in_hand(cartridge)

    def beat(self) -> None:
        """Say that the screen lives; may be called from any thread."""
        if self._sounder is not None:
            self._sounder.heartbeat.beat()

    async def ring_test(self) -> Answer:
        """Sound the alarm once as a test; whether it was heard is for people to say."""
        rang = self._sounder is not None and self._sounder.test()
        refusal = None if rang else Refusal(code=RefusalCode.NOT_ALLOWED, subject=NO_SOUND)
        return Answer(at=self.now(), refusal=refusal, events=(), board=self.board)

    async def do(self, act: Act, *, end: Head | None = None) -> Answer:
        """Judge `act`, record what comes of it, and say what that was.

        Raises:
            BayClosedError: the bay has been laid down.
            WentOnError: an `end` is named, and the record no longer ends with it; nothing was done.
        """

        def make(_: Instant) -> Act:
            if end is not None and self._keeper.head != end:
                raise WentOnError
            return act

        return (await self._take_turn([make]))[0]

    async def sign_day_sheet(self, by: str, number: int | None) -> Answer:
        """Stand for the day sheet of a shift, with the very event that the record now ends with.

        Raises:
            BayClosedError: the bay has been laid down.
        """

        def sign(_: Instant) -> Act:
            end = self._keeper.head
            return SignDaySheet(by=by, number=number, head=end.hex, sequence=end.seq)

        return (await self._take_turn([sign]))[0]

    async def note(self, events: Sequence[Event]) -> None:
        """Record what was done while another program ran the bay, and was noted beside it."""
        async with self._turn:
            await self._step.record_or_show(events)

    async def look_into(self, question: Callable[[Source], Found]) -> Found:
        """Ask the record something while nothing is written: so only for when nothing runs."""
        return await self._keeper.read(question)

    async def enter(self, entry: Entry, shown: Shown = nothing_shown) -> Answer:
        """Judge what somebody wrote down; `shown` gives the bands it leaves out.

        Raises:
            BayClosedError: the bay has been laid down.
        """
        return (await self.enter_together([entry], shown))[0]

    async def enter_together(
        self, entries: Sequence[Entry], shown: Shown = nothing_shown
    ) -> list[Answer]:
        """Judge what was written down for one and the same instant, before any alert of it.

        Raises:
            BayClosedError: the bay has been laid down.
        """
        return await self._take_turn([partial(self._understand, entry, shown) for entry in entries])

    async def close(self, why: Ending) -> None:
        """Put the clean mark at the end and let go of the journal."""
        async with self._turn:
            self._closed = True
            self._scheduler.stop()
            self._stop_asides()
            if self._sounder is not None:
                self._sounder.stop()
            try:
                # Without the mark the next start says that this one did not end cleanly.
                await self._step.record_made(
                    lambda _, now: (*self._step.leaving(), ProgramStopped(at=now, why=why)),
                    goes_beside=False,
                )
                for each in self._asides:
                    await each.finish()
            finally:
                await self._keeper.close()

    def let_go(self) -> None:
        """Leave nothing running beside this bay, however it ended."""
        if self._following is not None:
            self._following.close()

    def _stop_asides(self) -> None:
        for each in self._asides:
            each.stop()

    async def _announce(self) -> None:
        async with self._turn:
            if not self._closed:
                now = self.now()
                await self._step.announce_until(now, now)

    async def _look_about(self) -> None:
        async with self._turn:
            if self._closed:
                return
            events = self._watch.clocks(self.board, self.now())
            if events:
                await self._step.record_or_show(events)
            changed = await self._watch.journal()
            await self._step.join_up()
            if changed:
                await self._step.record_or_show(())

    async def take_in(self) -> None:
        """Enter what other stations recorded, and tell of it: it is in the mirror already."""
        async with self._turn:
            # What was done alone is joined up first, and with it comes what the others did.
            if not self._closed and self._keeper.alone is None:
                await self._step.follow()
                await self._step.hold_what_nobody_holds()

    async def others_changed(self) -> None:
        """Take note that stations came or went: alerts may pass to others, or come from them."""
        async with self._turn:
            if not self._closed:
                self._step.await_all()
                self._recorder.tell()

    async def note_made(self, make: Callable[[Board, Instant], Sequence[Event]]) -> None:
        """Record what `make` makes of the board and the instant, anew if others were first."""
        async with self._turn:
            if not self._closed:
                await self._step.record_made(make)

    async def link_changed(self) -> None:
        """Take note that the link to the server of a shared bay was lost, or is back."""
        async with self._turn:
            if self._closed:
                return
            await self._keeper.check()
            await self._step.join_up()
            self._recorder.tell()

    async def _take_turn(self, makers: Sequence[Callable[[Instant], Act]]) -> list[Answer]:
        # The instant of an act is when it was confirmed, however long its turn is in coming.
        now = self.now()
        async with self._turn:
            if self._closed:
                raise BayClosedError
            await self._step.announce_until(Instant(now - 1), now)
            answers = [await self._judge(make, now) for make in makers]
            self._scheduler.look_again()
            return answers

    async def _judge(self, make: Callable[[Instant], Act], now: Instant) -> Answer:
        while True:
            act = make(now)
            decided = self._gate(act) or self._decide(act, now)
            try:
                return await self._take(act, decided, now)
            except ConflictError:
                await self._step.catch_up()  # and judge again what they left
            except LinkLostError:
                continue  # and judge again what is safe alone
            except NotWrittenError:
                refusal = Refusal(code=RefusalCode.NOT_SAVED)
                return Answer(at=now, refusal=refusal, events=(), board=self.board)

    def _decide(self, act: Act, now: Instant) -> tuple[Event, ...] | Refusal:
        """Judge `act`; of a shared bay also whether it is safe at this station now."""
        # The rules are for whoever acts: a bay is opened, and its alarms ring, without them.
        from readbell.core.board.decide import decide

        here = self._recorder.here()
        if here is None:
            return decide(self.board, act, now)
        decided = refused_here(self.board, act, here) or decide(self.board, act, now)
        if isinstance(decided, Refusal):
            return decided
        placed = tuple(
            replace(each, station=here.station) if isinstance(each, AlertHeard) else each
            for each in decided
        )
        return with_holder(self.board, placed, here.station)

    def _gate(self, act: Act) -> Refusal | None:
        """Refuse new starts while nothing can be saved where it belongs, or what was is not whole.

        Nor does anybody sign for a record that is neither.
        """
        if not isinstance(act, (Label, SignDaySheet)):
            return None
        if self._keeper.not_saved is not None:
            return Refusal(code=RefusalCode.NOT_SAVED)
        if self._recorder.record_check.is_broken:
            return Refusal(code=RefusalCode.RECORD_BROKEN)
        return None

    async def _take(self, act: Act, decided: tuple[Event, ...] | Refusal, now: Instant) -> Answer:
        refusal = decided if isinstance(decided, Refusal) else None
        events = (
            (near_miss(self.board, act, decided, now, self._keep_apart),)
            if isinstance(decided, Refusal)
            else decided
        )
        goes_beside = refusal is not None or stays_done(self.board, act, self._recorder.here())
        await self._recorder.record(events, goes_beside=goes_beside)
        self._announcer.follow(cartridges_of(events))
        if refusal is None:
            self._recorder.elsewhere.forget(cartridges_of(events))
        else:
            refusal = self._recorder.elsewhere.told(refusal, act, self.board)
        return Answer(at=now, refusal=refusal, events=events, board=self.board)

    def _understand(self, entry: Entry, shown: Shown, now: Instant) -> Act:
        wall = self._recorder.wall(self._clock.read())
        return understood(entry, shown, self.board, now, wall, self._identifiers)

    def _keep_apart(self, value: str) -> Private:
        return kept_apart(self._identifiers, value)

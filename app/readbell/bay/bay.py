"""The bay: load, decide, append, publish; and announce what falls due.

One lock makes every act and every announcement a turn of its own. A turn begins
by announcing whatever fell due before it, so an act never overtakes an alert;
at one and the same instant the act goes first.
"""

from __future__ import annotations

import asyncio
import json
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from readbell.bay.announcer import Announcer, cartridges_of
from readbell.bay.errors import BayClosedError
from readbell.bay.news import Answer, Return
from readbell.bay.opening import Founding, take_up
from readbell.bay.site_time import day_began, site_date, time_zone
from readbell.bay.sounder import Sounder
from readbell.bay.watch import Watch
from readbell.core.board.acts import NAMES
from readbell.core.board.alarm import NO_SOUND
from readbell.core.board.decide import decide
from readbell.core.board.entry import Entry, Setting, bands_of, to_act
from readbell.core.board.events import ActRefused, ProgramStopped
from readbell.core.board.sound import HEARD
from readbell.core.cartridge.acts import CorrectReading, Label, Look, Read
from readbell.core.cartridge.unverified import ReadUnverified
from readbell.core.instant import Instant, Span
from readbell.core.private import Private
from readbell.core.reading.bands import Bands
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.shift.acts import SignDaySheet
from readbell.journal.errors import ConflictError, NotWrittenError
from readbell.scheduler.deadlines import Deadlines
from readbell.scheduler.scheduler import Scheduler

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from readbell.bay.aside import Aside
    from readbell.bay.identifiers import Identifiers
    from readbell.bay.news import News
    from readbell.bay.recorder import Recorder
    from readbell.bay.sounder import Bell
    from readbell.clock.clock import Clock
    from readbell.core.board.acts import Act
    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.board.events import Ending
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.cartridge.events import AlertRaised
    from readbell.journal.keeper import Keeper

    Shown = Callable[[Cartridge, Instant], Bands]

TRIED = (
    "cartridge",
    "lot",
    "number",
    "step",
    "steps",
    "done_at",
    "give_or_take",
    "witness",
    "reason",
    "span",
    "operator",
    "person",
    "roles",
)
"""What a near miss keeps of an act, besides who tried it on which cartridge."""
WITH_BANDS = (Look, Read, CorrectReading, ReadUnverified)
"""Acts that say what was seen."""
RANK = 1
"""At one instant whoever plays a script goes first."""
SOUNDER_RANK = 2
"""What has just fallen due is announced before it sounds."""


def nothing_shown(cartridge: Cartridge, now: Instant) -> Bands:  # noqa: ARG001  # a real strip tells nothing
    """Return what the program sees of a real strip: nothing."""
    return Bands()


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
    ) -> None:
        self._recorder = recorder
        self._keeper = keeper
        self._clock = clock
        self._identifiers = identifiers
        self._asides = tuple(asides)
        self._turn = asyncio.Lock()
        self._closed = False
        self._deadlines = Deadlines()
        self._announcer = Announcer(recorder, self._deadlines)
        self._watch = Watch(clock, keeper)
        self._scheduler = Scheduler(
            sleeper=clock.sleeper(RANK),
            now=recorder.now,
            deadlines=self._deadlines,
            announce=self._announce,
            watch=self._look_about,
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

    async def open(self, founding: Founding) -> Return:
        """Take the bay up, and announce what fell due while nobody watched.

        Raises:
            ReadbellError: the journal cannot be taken up; the text says why.
        """
        found = await take_up(self._recorder, self._keeper, self._clock, founding)
        self._announcer.follow(tuple(self.board.running))
        now = self.now()
        return replace(found, fell_due=await self._announce_until(now, now))

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

    async def do(self, act: Act) -> Answer:
        """Judge `act`, record what comes of it, and say what that was.

        Raises:
            BayClosedError: the bay has been laid down.
        """
        return (await self._take_turn([lambda _: act]))[0]

    async def sign_day_sheet(self, by: str, number: int | None) -> Answer:
        """Stand for the day sheet of a shift, with the very event that the record now ends with.

        Raises:
            BayClosedError: the bay has been laid down.
        """

        def sign(_: Instant) -> Act:
            end = self._keeper.head
            return SignDaySheet(by=by, number=number, head=end.hex, sequence=end.seq)

        return (await self._take_turn([sign]))[0]

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
                await self._record_or_show((ProgramStopped(at=self.now(), why=why),))
                for each in self._asides:
                    await each.finish()
            finally:
                await self._keeper.close()

    def _stop_asides(self) -> None:
        for each in self._asides:
            each.stop()

    async def _announce(self) -> None:
        async with self._turn:
            if not self._closed:
                now = self.now()
                await self._announce_until(now, now)

    async def _look_about(self) -> None:
        async with self._turn:
            if self._closed:
                return
            events = self._watch.clocks(self.board, self.now())
            if events:
                await self._record_or_show(events)
            if await self._watch.journal():
                await self._record_or_show(())

    async def _record_or_show(self, events: Sequence[Event]) -> None:
        try:
            await self._recorder.record(events)
        except ConflictError:
            await self._catch_up()
            await self._record_or_show(events)
        except NotWrittenError:
            self._recorder.show(events)

    async def _announce_until(self, until: Instant, now: Instant) -> tuple[AlertRaised, ...]:
        while True:
            try:
                return await self._announcer.announce(until, now)
            except ConflictError:
                await self._catch_up()

    async def _catch_up(self) -> None:
        """Take in what somebody else was first to record."""
        before, end = self.board.running, self._keeper.head
        await self._recorder.load()
        if self._keeper.head == end:
            # Nobody was first: the journal lost its end. Go on beside it, where alarms still ring.
            await self._keeper.spill(f"it lost events that were in it, up to {end.seq}")
        self._announcer.follow({*before, *self.board.running})

    async def _take_turn(self, makers: Sequence[Callable[[Instant], Act]]) -> list[Answer]:
        # The instant of an act is when it was confirmed, however long its turn is in coming.
        now = self.now()
        async with self._turn:
            if self._closed:
                raise BayClosedError
            await self._announce_until(Instant(now - 1), now)
            answers = [await self._judge(make, now) for make in makers]
            self._scheduler.look_again()
            return answers

    async def _judge(self, make: Callable[[Instant], Act], now: Instant) -> Answer:
        while True:
            act = make(now)
            decided = self._gate(act) or decide(self.board, act, now)
            try:
                return await self._take(act, decided, now)
            except ConflictError:
                await self._catch_up()  # and judge again what they left
            except NotWrittenError:
                refusal = Refusal(code=RefusalCode.NOT_SAVED)
                return Answer(at=now, refusal=refusal, events=(), board=self.board)

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
        events = (self._near_miss(act, decided, now),) if isinstance(decided, Refusal) else decided
        await self._recorder.record(events)
        self._announcer.follow(cartridges_of(events))
        return Answer(at=now, refusal=refusal, events=events, board=self.board)

    def _near_miss(self, act: Act, refusal: Refusal, now: Instant) -> ActRefused:
        aim = getattr(act, "aim", None)
        by = aim.by if aim is not None else getattr(act, "by", None)
        cartridge = None if aim is None else self.board.labels.get(aim.cartridge)
        tried = {
            name: value
            for name in TRIED
            if (value := getattr(act, name, None)) is not None
            and value != ""
            and not isinstance(value, Private)
        }
        if aim is not None:
            tried |= {"cartridge": aim.cartridge, "scanned": aim.scanned, "person": aim.person}
            tried |= {} if aim.second is None else {"second": aim.second}
        entered = json.dumps({"by": by, **tried}, sort_keys=True, ensure_ascii=False, default=str)
        return ActRefused(
            at=now,
            by=None if by is None else self.board.operators.get(by),
            act=NAMES[type(act)],
            code=refusal.code,
            cartridge=cartridge,
            entered=self._keep_apart(entered),
            bands=act.bands if isinstance(act, WITH_BANDS) else None,
        )

    def _understand(self, entry: Entry, shown: Shown, now: Instant) -> Act:
        cartridge = self.board.labelled(entry.cartridge)
        bands = Bands()
        if cartridge is not None:
            bands = bands_of(entry, cartridge.assay, shown(cartridge, now))
        founded = self.board.founded
        zone = time_zone("UTC" if founded is None else founded.timezone)
        wall = self._clock.read().wall
        setting = Setting(
            now=now,
            today=site_date(wall, zone),
            day_began=day_began(now, wall, zone),
            new_id=self._identifiers.new,
            keep_apart=self._keep_apart,
        )
        return to_act(entry, setting, bands)

    def _keep_apart(self, value: str) -> Private:
        return Private(
            key=self._identifiers.new("private"),
            salt=self._identifiers.new("salt"),
            value=value,
        )

"""A bay worked by hand: a real journal, and clocks that move only when a test moves them."""

from __future__ import annotations

import asyncio
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING

import pytest
import pytest_asyncio

from builders import NASAL, START, private, span
from readbell.assays.content_hash import content_hash
from readbell.bay.bay import Bay
from readbell.bay.identifiers import DerivedIdentifiers
from readbell.bay.opening import Founding
from readbell.bay.recorder import Recorder
from readbell.clock.clock import Reading
from readbell.core.assay.events import Basis
from readbell.core.board.acts import AdoptAssay, ReceiveLot, RegisterOperator, RegisterPerson
from readbell.core.board.entry import Do, Entry
from readbell.core.board.events import Ending, Mode
from readbell.core.cartridge.events import AlertKind, AlertRaised
from readbell.core.reading.bands import Strength
from readbell.journal.codec import decode
from readbell.journal.keeper import Keeper
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import chained

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Callable
    from pathlib import Path

    from bay.common_time_bench import Stand
    from bay.two_stations import Seat, Site
    from readbell.bay.news import Answer, News, Return
    from readbell.core.assay.assay import Assay
    from readbell.core.board.acts import Act
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant, Span
    from readbell.core.policy.policy import SitePolicy
    from readbell.core.refusal import RefusalCode
    from readbell.journal.envelope import Envelope
    from readbell.journal.journal import Journal


class HandSleeper:
    """Sleeps until it is woken: nothing else moves here."""

    def __init__(self) -> None:
        self._woken = asyncio.Event()

    async def sleep(self, span: Span | None) -> None:
        """Wait for a wake, however long it takes."""
        if span is None or span > 0:
            await self._woken.wait()
        self._woken.clear()

    def wake(self) -> None:
        """End the present sleep."""
        self._woken.set()

    def retire(self) -> None:
        """Nothing waits for this sleeper."""


@dataclass(kw_only=True)
class HandClock:
    """The three clocks of one boot, each moved by hand."""

    wall: int = START
    counting: int = 5_000_000
    asleep: int = 0
    boot: str = "boot-1"
    wall_is_known: bool = True

    def read(self) -> Reading:
        """Look at every clock at once."""
        return Reading(
            wall=self.wall,
            counting=self.counting,
            running=self.counting - self.asleep,
            boot=self.boot,
            wall_is_known=self.wall_is_known,
        )

    def sleeper(self, rank: int) -> HandSleeper:  # noqa: ARG002  # nobody is due here
        """Return a sleeper that only a wake rouses."""
        return HandSleeper()

    def advance(self, text: str) -> None:
        """Let time go by, for all three alike."""
        self.wall += span(text)
        self.counting += span(text)

    def suspend(self, text: str) -> None:
        """Let the computer sleep: the running clock stands still."""
        self.advance(text)
        self.asleep += span(text)

    def reboot(self, wall: int, *, boot: str = "boot-2", wall_is_known: bool = True) -> HandClock:
        """Return the clocks of the next boot, whose counting clock begins anew."""
        return HandClock(wall=wall, counting=20_000, boot=boot, wall_is_known=wall_is_known)


@dataclass(kw_only=True)
class Work:
    """One bay that is open, and everything its listeners were told."""

    bay: Bay
    keeper: Keeper
    clock: HandClock
    told: list[News]
    found: Return
    is_open: bool = True

    async def prepare(self, assay: Assay = NASAL, units: int | None = None) -> None:
        """Register two operators and two persons, adopt an assay, receive a lot."""
        acts: list[Act] = [
            RegisterOperator(by=None, operator=private("op-1")),
            RegisterOperator(by="op-1", operator=private("op-2")),
            AdoptAssay(
                by="op-1",
                assay=assay,
                content_hash=content_hash(assay),
                basis=Basis.CHECKED,
                instructions_version="2026-01",
            ),
            ReceiveLot(
                by="op-1",
                number="L-100",
                assay=assay.id,
                expires=date(2026, 12, 31),
                units=units,
            ),
            RegisterPerson(by="op-1", person=private("P-001")),
            RegisterPerson(by="op-1", person=private("P-002")),
        ]
        for act in acts:
            answer = await self.bay.do(act)
            assert answer.accepted, answer

    async def enter(self, entry: Entry) -> Answer:
        """Give an entry to the bay, whatever comes of it."""
        return await self.bay.enter(entry)

    async def must(self, entry: Entry) -> Answer:
        """Give an entry to the bay and insist that it is taken."""
        answer = await self.bay.enter(entry)
        assert answer.accepted, answer
        return answer

    async def refused(self, entry: Entry) -> RefusalCode:
        """Give an entry to the bay and insist that it is refused."""
        answer = await self.bay.enter(entry)
        assert answer.refusal is not None, answer
        return answer.refusal.code

    def label(self, label: str = "C1", person: str = "P-001", by: str = "op-1") -> Entry:
        """Return the entry that starts a cartridge."""
        return Entry(do=Do.LABEL, by=by, cartridge=label, person=person, lot="L-100")

    def step(self, step: str, label: str = "C1") -> Entry:
        """Return the entry of one step."""
        return Entry(do=Do.STEP, by="op-1", cartridge=label, step=step)

    def read(self, label: str = "C1", test: Strength = Strength.ABSENT) -> Entry:
        """Return the entry of a window reading with its control line there."""
        return Entry(do=Do.READ, by="op-1", cartridge=label, control=True, test=test)

    async def to_extract(self, label: str = "C1", person: str = "P-001") -> None:
        """Bring a cartridge to where its swab stands in the buffer, in no time."""
        await self.must(self.label(label, person))
        for step in ("buffer", "collect", "extract"):
            await self.must(self.step(step, label))

    async def to_well(self, label: str = "C1", person: str = "P-001") -> None:
        """Bring a cartridge to the well: one minute goes by, for the swab in the buffer."""
        await self.to_extract(label, person)
        self.clock.advance("1:00")
        await self.must(self.step("withdraw", label))
        await self.must(self.step("apply", label))

    async def ring(self) -> list[tuple[AlertKind, str]]:
        """Let the bay announce what is due now; return each kind with its label."""
        before = len(self.told)
        await self.bay._announce()
        return self.alerts(before)

    async def look_about(self) -> None:
        """Let the bay look at its clocks and its journal."""
        await self.bay._look_about()

    def alerts(self, after: int = 0) -> list[tuple[AlertKind, str]]:
        """Return the alerts the listeners were told of, in order."""
        return [
            (event.alert, self.label_of(event.cartridge))
            for news in self.told[after:]
            for event in news.events
            if isinstance(event, AlertRaised)
        ]

    def label_of(self, cartridge: str) -> str:
        """Return what is written on the plastic of a cartridge."""
        found = self.bay.board.cartridge(cartridge)
        assert found is not None
        return found.label

    def cartridge(self, label: str = "C1") -> Cartridge:
        """Return a cartridge as the board has it."""
        found = self.bay.board.labelled(label)
        assert found is not None, label
        return found

    def now(self) -> Instant:
        """Return where the bay's time line stands."""
        return self.bay.now()

    async def stored(self) -> list[Envelope]:
        """Return what stands in the journal itself."""
        return await self.keeper.read(
            lambda journal: [decode(each, journal.private) for each in chained(journal)]
        )

    async def bodies(self) -> str:
        """Return every chained byte of the journal, as one text."""
        return await self.keeper.read(
            lambda journal: "\n".join(each.body for each in journal.records())
        )

    async def close(self) -> None:
        """Put the clean mark at the end, as a program that is told to end does."""
        self.is_open = False
        await self.bay.close(Ending.SIGNAL)

    async def die(self) -> None:
        """Let go of the file and put no mark: all that a killed program leaves behind."""
        if self.is_open:
            self.is_open = False
            await self.keeper.close()


@dataclass(kw_only=True)
class Place:
    """Where one journal stands; bays are taken up on it one after the other."""

    path: Path
    spill: Path
    works: list[Work] = field(default_factory=list)

    async def take_up(
        self,
        clock: HandClock | None = None,
        *,
        mode: Mode = Mode.LIVE,
        timezone: str = "UTC",
        journal: Journal | None = None,
        listener: Callable[[News], None] | None = None,
        policy: SitePolicy | None = None,
    ) -> Work:
        """Open a bay on the journal, or on `journal` if another one is given."""
        hands = HandClock() if clock is None else clock
        keeper = (
            Keeper(SqliteJournal.open(self.path), self.path, (self.spill,))
            if journal is None
            else Keeper(journal, None)
        )
        identifiers = DerivedIdentifiers(str(len(self.works)).encode())
        recorder = Recorder(
            keeper=keeper, clock=hands, identifiers=identifiers, station="left", program="1"
        )
        told: list[News] = []
        recorder.subscribe(told.append if listener is None else listener)
        bay = Bay(recorder=recorder, keeper=keeper, clock=hands, identifiers=identifiers)
        try:
            found = await bay.open(
                Founding(bay="Harrow Quay", timezone=timezone, mode=mode, policy=policy)
            )
        except BaseException:
            await keeper.close()
            raise
        work = Work(bay=bay, keeper=keeper, clock=hands, told=told, found=found)
        self.works.append(work)
        return work


@pytest_asyncio.fixture
async def place(tmp_path: Path) -> AsyncIterator[Place]:
    """A folder for one journal; whatever a test leaves open is let go of."""
    spill = tmp_path / "spill"
    stand = Place(path=tmp_path / "bay.journal", spill=spill)
    yield stand
    for work in stand.works:
        await work.die()


@pytest_asyncio.fixture
async def work(place: Place) -> Work:
    """A new live bay in which everything is registered and nothing runs."""
    found = await place.take_up()
    await found.prepare()
    return found


@pytest_asyncio.fixture
async def site(tmp_path: Path) -> AsyncIterator[Site]:
    """A server, and whatever stations a test opens there."""
    from bay.two_stations import Site  # it is made of what stands here

    made = Site(folder=tmp_path)
    yield made
    await made.close()


@pytest_asyncio.fixture
async def bench(site: Site) -> Seat:
    """The station at the bench, with everything registered."""
    seat = await site.open("bench")
    await seat.work.prepare()
    return seat


@pytest_asyncio.fixture
async def window(site: Site, bench: Seat) -> Seat:
    """A second one, at the window."""
    seat = await site.open("window", bench.work.clock)
    await bench.follow()
    return seat


@pytest.fixture
def no_clock() -> HandClock:
    """The clocks of another boot, for a test to set as it likes."""
    return HandClock(boot="another")


@pytest.fixture
def stand(tmp_path: Path) -> Stand:
    """Give a station that has never been at work."""
    from bay.common_time_bench import Stand  # it is made of what stands here

    return Stand(tmp_path / "bay.station.line")

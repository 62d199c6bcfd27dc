"""Real stations on one real server, each with clocks of its own, at work in this very process.

Nobody sleeps here: a test waits until a board shows what it must, and fails if that takes longer
than anybody would.
"""

from __future__ import annotations

import asyncio
from contextlib import AsyncExitStack, asynccontextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from builders import NASAL, private
from own_clock import OwnClock
from patience import PATIENCE_SECONDS
from readbell.assays.content_hash import content_hash
from readbell.bay.identifiers import RandomIdentifiers
from readbell.bay.opening import Founding
from readbell.core.assay.events import Basis
from readbell.core.board.acts import AdoptAssay, ReceiveLot, RegisterOperator, RegisterPerson
from readbell.core.board.entry import Do, Entry
from readbell.core.board.events import Ending, Mode
from readbell.core.board.sound import HEARD
from readbell.journal.postgres import PostgresJournal
from readbell.journal.postgres_address import read_address
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import verify
from readbell.settings.station_file import StationFile, mirror_of, write_station_file
from readbell.stations.one_bay import shared_bay

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Callable
    from datetime import date
    from pathlib import Path

    from readbell.bay.bay import Bay
    from readbell.bay.news import Answer, News, Return
    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.policy.policy import SitePolicy


@dataclass(kw_only=True)
class Station:
    """A station at work, and all that its listeners were told."""

    name: str
    path: Path
    bay: Bay
    found: Return
    told: list[News]
    changed: asyncio.Event

    @property
    def board(self) -> Board:
        """How it shows the bay."""
        return self.bay.board

    async def until(self, shows: Callable[[Station], bool]) -> None:
        """Wait until the board shows what it must."""

        async def wait() -> None:
            while not shows(self):
                self.changed.clear()
                await self.changed.wait()

        await asyncio.wait_for(wait(), PATIENCE_SECONDS)

    async def must(self, entry: Entry) -> Answer:
        """Give an entry to the bay and insist that it is taken."""
        answer = await self.bay.enter(entry)
        assert answer.accepted, answer
        return answer

    def events(self) -> list[Event]:
        """Everything that this station was told of, in order."""
        return [event for news in self.told for event in news.events]


@dataclass(kw_only=True)
class Site:
    """A site with a server, on which stations are opened and closed."""

    folder: Path
    address: str
    stack: AsyncExitStack
    running: dict[str, AsyncExitStack] = field(default_factory=dict)

    def file(self, name: str, *, sets_policy: bool = False, address: str | None = None) -> Path:
        """Return the station file of `name`, made where there is none."""
        path = self.folder / f"{name}.station"
        if not path.exists():
            file = StationFile(
                address=address or self.address,
                bay="Quay",
                station=name,
                mark="A",
                sets_policy=sets_policy,
            )
            write_station_file(path, file)
            server_found(file)
        return path

    async def open(
        self,
        name: str,
        clock: OwnClock | None = None,
        *,
        policy: SitePolicy | None = None,
        sets_policy: bool = False,
        address: str | None = None,
    ) -> Station:
        """Open the bay at a station."""
        path = self.file(name, sets_policy=sets_policy, address=address)
        own = self.running[name] = AsyncExitStack()
        await self.stack.enter_async_context(own)
        return await own.enter_async_context(at_work(path, name, clock or OwnClock(), policy))

    async def close(self, name: str) -> None:
        """Close the bay at a station, cleanly."""
        await self.running.pop(name).aclose()


def server_found(file: StationFile) -> None:
    """Make the bay on the server if it is not there yet."""
    PostgresJournal.open(read_address(file.address), file.bay, found=True).close()


@asynccontextmanager
async def at_work(
    path: Path, name: str, clock: OwnClock, policy: SitePolicy | None = None
) -> AsyncIterator[Station]:
    """Open the bay at a station, and let it go on until the end."""
    told: list[News] = []
    changed = asyncio.Event()

    def listen(news: News) -> None:
        told.append(news)
        changed.set()

    keeper, bay = shared_bay(path, listen, HEARD, None, clock, RandomIdentifiers(), brief=True)
    try:
        found = await bay.open(Founding(bay="Quay", timezone="UTC", mode=Mode.LIVE, policy=policy))
        running = asyncio.create_task(bay.run())
        try:
            yield Station(name=name, path=path, bay=bay, found=found, told=told, changed=changed)
        finally:
            await bay.close(Ending.LEFT)
            await running
    finally:
        bay.let_go()
        await keeper.close()


async def prepare(station: Station, expires: date) -> None:
    """Register everything that the tests ask for."""
    for act in (
        RegisterOperator(by=None, operator=private("op-1")),
        RegisterOperator(by="op-1", operator=private("op-2")),
        AdoptAssay(
            by="op-1",
            assay=NASAL,
            content_hash=content_hash(NASAL),
            basis=Basis.CHECKED,
            instructions_version="2026-01",
        ),
        ReceiveLot(by="op-1", number="L-100", assay=NASAL.id, expires=expires, units=None),
        RegisterPerson(by="op-1", person=private("P-001")),
        RegisterPerson(by="op-1", person=private("P-002")),
    ):
        answer = await station.bay.do(act)
        assert answer.accepted, answer


def label(label: str = "C1", person: str = "P-001", by: str = "op-1") -> Entry:
    """Return the entry that starts a cartridge."""
    return Entry(do=Do.LABEL, by=by, cartridge=label, person=person, lot="L-100")


def step(name: str, label: str = "C1", by: str = "op-2") -> Entry:
    """Return the entry of one step."""
    return Entry(do=Do.STEP, by=by, cartridge=label, step=name)


def heads(*stations: Station) -> set[str]:
    """Return the end of the record as each of `stations` has it, each checked whole."""
    found = set()
    for each in stations:
        journal = SqliteJournal.open(mirror_of(each.path), read_only=True)
        try:
            found.add(verify(journal).head.hex)
        finally:
            journal.close()
    return found


def has_twin(station: Station) -> bool:
    """Say whether another computer is heard that says it is this station."""
    around = station.bay.present().around
    return around is not None and around.has_twin


def why_refused(station: Station) -> str:
    """Return why its link does not come back, as it tells; empty: nothing is told."""
    around = station.bay.present().around
    return "" if around is None or around.alone is None else around.alone.refused


def is_linked(station: Station) -> bool:
    """Say whether a station says that it is linked."""
    around = station.bay.present().around
    return around is not None and around.alone is None

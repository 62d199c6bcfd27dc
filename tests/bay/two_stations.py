"""Two stations of one bay, worked by hand: real journals, one server, and links that are cut by a test."""

from __future__ import annotations

import asyncio
from contextlib import closing, suppress
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from bay.conftest import HandClock, HandSleeper, Work
from journal.cut_link import FarSide
from readbell.bay.around import Pulse
from readbell.bay.bay import Bay
from readbell.bay.common_time import CommonTime
from readbell.bay.following import Following
from readbell.bay.identifiers import DerivedIdentifiers
from readbell.bay.opening import Founding
from readbell.bay.presence import StationPresence
from readbell.bay.recorder import Recorder
from readbell.core.board.events import Mode
from readbell.journal.errors import JournalError
from readbell.journal.keeper import Keeper
from readbell.journal.shared import SharedJournal
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import verify

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from readbell.bay.news import News
    from readbell.bay.sounder import Bell
    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.instant import Span


@dataclass(kw_only=True)
class Seat:
    """One station: its bay, and the link that can be cut."""

    name: str
    work: Work
    server: FarSide
    journal: SharedJournal
    presence: StationPresence
    following: Following
    others: list[Seat] = field(default_factory=list)

    @property
    def bay(self) -> Bay:
        """The bay as this station has it."""
        return self.work.bay

    @property
    def keeper(self) -> Keeper:
        """What keeps its record."""
        return self.work.keeper

    def told(self, kind: type) -> list[Event]:
        """Return what of that kind the listeners here were told of."""
        return [each for news in self.work.told for each in news.events if isinstance(each, kind)]

    async def follow(self) -> None:
        """Take in what the others recorded, as is done when the server tells of it."""
        if self.journal.is_linked:
            await self.keeper.read(lambda _: self.journal.pull())
            await self.bay.take_in()

    def cut(self) -> None:
        """Cut the link; nobody here has noticed it yet."""
        self.server.is_cut = True

    async def go_alone(self) -> None:
        """Cut the link, and have it noticed."""
        self.cut()
        self.journal.cut()
        await self.bay.link_changed()

    async def come_back(self) -> None:
        """Make the link up again, as whoever looks after it does."""
        self.server.is_cut = self.server.loses_answers = False
        self.server.left = None
        self.journal.linked(self.server)
        await self.keeper.read(lambda _: self.journal.pull())
        await self.bay.link_changed()
        await self.follow()

    async def die(self) -> None:
        """End as a killed program does: it says goodbye to nobody."""
        self.journal.cut()
        self.following.close()
        await self.work.die()


@dataclass(kw_only=True)
class Site:
    """One server, and the stations that share its bay."""

    folder: Path
    seats: dict[str, Seat] = field(default_factory=dict)
    all_seats: list[Seat] = field(default_factory=list)
    """Those that were killed or closed as well."""
    ears: dict[str, tuple[StationPresence, SharedJournal]] = field(default_factory=dict)
    opened: int = 0

    async def open(
        self,
        name: str,
        clock: HandClock | None = None,
        *,
        cut: bool = False,
        hears: frozenset[str] = frozenset({"waits", "windows"}),
        lanes: frozenset[str] = frozenset(),
        bell: Bell | None = None,
        apart: int = 0,
    ) -> Seat:
        """Open a station, within reach of its server or not; its wall clock may be `apart` from it."""
        self.opened += 1
        hands = HandClock() if clock is None else clock
        path = self.folder / f"{name}.station"
        server = self.server_for(name, lambda: hands.wall - apart)
        if cut:
            server.is_cut = True
        journal = SharedJournal(SqliteJournal.open(self.folder / f"{name}.mirror"))
        if not cut:
            journal.linked(server)
            journal.pull()
        keeper = Keeper(journal, path, ())
        identifiers = DerivedIdentifiers(f"{name} {self.opened}".encode())
        recorder = Recorder(
            keeper=keeper, clock=hands, identifiers=identifiers, station=name, program="1"
        )
        presence = StationPresence(
            Pulse(station=name, mark="", hears=hears, lanes=lanes),
            hands,
            say=lambda payload: self.hear(name, payload),
            is_alone=lambda: not journal.is_linked,
            run=f"{name} {self.opened}",
        )
        following = Following(
            journal=journal,
            keeper=keeper,
            recorder=recorder,
            clock=hands,
            sleeper=self.sleeper_for(hands),
            presence=presence,
            time=CommonTime(self.folder / f"{name}.line", presence),
            connect=lambda: server,
            listen=lambda _: Near(following),
            on_mark=lambda _: None,
            sets_policy=False,
        )
        bay = Bay(
            recorder=recorder,
            keeper=keeper,
            clock=hands,
            identifiers=identifiers,
            bell=bell,
            presence=presence,
            following=following,
        )
        following.bay = bay
        self.ears[name] = (presence, journal)
        told: list[News] = []
        recorder.subscribe(told.append)
        found = await bay.open(Founding(bay="Harrow Quay", timezone="UTC", mode=Mode.LIVE))
        work = Work(bay=bay, keeper=keeper, clock=hands, told=told, found=found)
        seat = Seat(
            name=name,
            work=work,
            server=server,
            journal=journal,
            presence=presence,
            following=following,
        )
        presence.now = recorder.now  # as whoever looks after the link says first
        self.seats[name] = seat
        self.all_seats.append(seat)
        self.pulse()
        return seat

    def server_for(self, name: str, wall: Callable[[], int]) -> FarSide:  # noqa: ARG002  # others ask
        """Return the server as the station `name` reaches it; its clock shows `wall`."""
        return FarSide(self.folder / "server.journal", wall=wall)

    def sleeper_for(self, clock: HandClock) -> LeapingSleeper:
        """Return what waits on the clocks of one computer."""
        return LeapingSleeper(clock)

    def hear(self, name: str, payload: str) -> None:
        """Let all others hear what the station `name` says of itself, if its link is there."""
        if not self.ears[name][1].is_linked:
            return
        for other, (presence, journal) in self.ears.items():
            if other != name and journal.is_linked and presence.hear(payload):
                presence.pulse()

    def pulse(self) -> None:
        """Let every station that lives and is linked say so."""
        for each in self.seats.values():
            if each.work.is_open:
                each.presence.pulse()

    async def advance(self, text: str) -> None:
        """Let time go by everywhere, with a pulse at its end."""
        for clock in {
            id(each.work.clock): each.work.clock for each in self.seats.values()
        }.values():
            clock.advance(text)
        self.pulse()

    def whole(self) -> Board:
        """Return what the shared record adds up to, having checked all of it."""
        with closing(SqliteJournal.open(self.folder / "server.journal", read_only=True)) as far:
            return verify(far).board

    async def close(self) -> None:
        """Let go of everything."""
        for each in self.seats.values():
            with suppress(JournalError):
                await each.die()


class LeapingSleeper(HandSleeper):
    """Sleeps by letting the time go by: whoever begins waits a little for the others."""

    def __init__(self, clock: HandClock) -> None:
        super().__init__()
        self._clock = clock

    async def sleep(self, span: Span | None) -> None:
        """Let `span` go by."""
        loop = asyncio.get_running_loop()
        turn = loop.create_future()
        loop.call_soon(turn.set_result, None)
        await turn
        self._clock.wall += span or 0
        self._clock.counting += span or 0


class Near:
    """Listens on a server that is always near: it hears at once, and pulses go another way."""

    def __init__(self, following: Following) -> None:
        self._following = following

    def start(self) -> None:
        """Begin."""
        self._following.on_link(True)

    def say(self, payload: str) -> None:
        """Nobody is told this way."""

    def measure(self) -> None:
        """Measure nothing: whoever asks the server itself does."""

    def close(self) -> None:
        """End."""

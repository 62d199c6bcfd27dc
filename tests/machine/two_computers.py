"""Two computers that share one bay, each with clocks of its own, and the server that both may reach.

True time is the server's, and goes by for all alike; what a computer makes of it is its own affair.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from bay.conftest import HandClock
from bay.two_stations import LeapingSleeper, Site
from journal.cut_link import FarSide
from readbell.core.errors import ReadbellError
from readbell.journal.errors import LINK_LOST, LinkLostError
from readbell.journal.sqlite import SqliteJournal

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from bay.two_stations import Seat
    from readbell.core.instant import Span
    from readbell.journal.record import Head, Record

NAMES = ("bench", "window")


@dataclass(kw_only=True)
class TwoComputers(Site):
    """A server and two stations; nothing moves but by the hand of a play."""

    true: HandClock = field(default_factory=lambda: HandClock(boot="server"))
    clocks: dict[str, HandClock] = field(
        default_factory=lambda: {
            name: HandClock(boot=f"{name}-1", counting=1_000_000 * place)
            for place, name in enumerate(NAMES, start=1)
        }
    )
    boots: int = 1
    is_cut: dict[str, bool] = field(default_factory=lambda: dict.fromkeys(NAMES, False))
    left: dict[str, int | None] = field(default_factory=lambda: dict.fromkeys(NAMES))
    """How many calls the next connection answers before it is cut; None: all of them."""
    offset: int | None = None
    """What went with the newest event that the server has."""

    def __post_init__(self) -> None:
        """Begin the server."""
        self.record = SqliteJournal.open(self.folder / "server.journal")

    async def close(self) -> None:
        """Let go of everything."""
        await super().close()
        self.record.close()

    async def begin(self, name: str) -> Seat:
        """Begin the program of a station, its link there or not."""
        seat = await self.open(name, self.clocks[name], cut=self.is_cut[name])
        seat.following._connect = lambda: self.connect(seat)
        return seat

    def connect(self, seat: Seat) -> FarSide:
        """Make a new connection for a station.

        Raises:
            LinkLostError: its link is cut.
        """
        if self.is_cut[seat.name]:
            raise LinkLostError(LINK_LOST)
        seat.server = self.server_for(seat.name, lambda: 0)
        seat.server.left, self.left[seat.name] = self.left[seat.name], None
        return seat.server

    def server_for(self, name: str, wall: Callable[[], int]) -> FarSide:  # noqa: ARG002  # it has its own
        """Return the server as a station reaches it; its clock is nobody else's."""
        return OneServer(self)

    def sleeper_for(self, clock: HandClock) -> LeapingSleeper:  # noqa: ARG002  # all clocks go on
        """Return what waits: while one waits, time goes by for all."""
        return TogetherSleeper(self)

    def hear(self, name: str, payload: str) -> None:
        """Let the others hear a station, unless a link on the way is cut, noticed or not."""
        if not any(self.is_cut.values()):
            super().hear(name, payload)

    def go_on(self, span: int) -> None:
        """Let time go by, for all alike."""
        for clock in (self.true, *self.clocks.values()):
            clock.wall += span
            clock.counting += span

    def cut(self, name: str) -> None:
        """Cut the link of a station; nobody has noticed it yet."""
        self.is_cut[name] = True
        self.seats[name].cut()

    def mend(self, name: str) -> None:
        """Make the link up again; nobody has tried it yet."""
        self.is_cut[name] = False

    def reboot(self, name: str, wall: int, *, known: bool) -> None:
        """Start the computer of a station anew, its wall clock as it then is."""
        self.boots += 1
        boot = f"{name}-{self.boots}"
        self.clocks[name] = self.clocks[name].reboot(wall, boot=boot, wall_is_known=known)

    async def look_after(self, name: str, *, has_news: bool) -> None:
        """Let a station do what it does beside its bay every half second, and ring."""
        seat = self.seats[name]
        if has_news and seat.journal.is_linked:
            seat.following._note_news()
        try:
            await seat.following._look_after()
        except ReadbellError:
            await seat.following._tell_bay()
        await seat.work.ring()

    async def settle(self) -> None:
        """Mend every link, and let both stations take in whatever there is."""
        for name in NAMES:
            self.mend(name)
            self.left[name] = None
            self.seats[name].server.loses_answers = False
            self.seats[name].journal.cut()
        for _ in range(3):
            self.go_on(2_100)
            for name in NAMES:
                await self.look_after(name, has_news=True)
        for name in NAMES:
            await self.look_after(name, has_news=True)


class OneServer(FarSide):
    """The one server, as a station reaches it; what it stores is one file that stays open."""

    def __init__(self, site: TwoComputers) -> None:
        self._journal = site.record
        self._wall = lambda: site.true.wall
        self._site = site
        self.line_offset = None
        self.is_cut = self.loses_answers = False
        self.left = None

    def close(self) -> None:
        """End this connection; the server goes on."""

    def append(self, records: Sequence[Record], expected: Head) -> Head:
        """Store `records`, and with them by how much their line is off this clock."""
        before = self._journal.head()
        try:
            return super().append(records, expected)
        finally:
            if self._journal.head() != before:
                self._site.offset = self.line_offset

    def last_line_offset(self) -> int | None:
        """Return what went with the newest event, whoever sent it."""
        return self._site.offset


class TogetherSleeper(LeapingSleeper):
    """Sleeps by letting time go by everywhere."""

    def __init__(self, site: TwoComputers) -> None:
        super().__init__(HandClock())
        self._site = site

    async def sleep(self, span: Span | None) -> None:
        """Let `span` go by for all."""
        await super().sleep(0 if span is None else span)  # type: ignore[arg-type]  # nothing is no time
        self._site.go_on(span or 0)

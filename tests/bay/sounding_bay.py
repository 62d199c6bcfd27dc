"""A bay that sounds, on a clock that jumps, and a player who acts at chosen instants."""

from __future__ import annotations

import asyncio
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING

from builders import NASAL, START, at, private, span
from readbell.assays.content_hash import content_hash
from readbell.bay.bay import Bay
from readbell.bay.identifiers import DerivedIdentifiers
from readbell.bay.opening import Founding
from readbell.bay.recorder import Recorder
from readbell.clock.simulated import SimulatedClock
from readbell.core.assay.events import Basis
from readbell.core.board.acts import AdoptAssay, ReceiveLot, RegisterOperator, RegisterPerson
from readbell.core.board.entry import Do, Entry
from readbell.core.board.events import Ending, Mode
from readbell.core.instant import Span, between
from readbell.core.reading.bands import Strength
from readbell.core.span_text import write_span
from readbell.journal.keeper import Keeper
from readbell.journal.sqlite import SqliteJournal

if TYPE_CHECKING:
    from readbell.bay.news import News
    from readbell.core.board.acts import Act
    from readbell.core.board.sound import Sound

SCRIPT = 0


class BrokenError(Exception):
    """Whatever may go wrong with a bell."""


@dataclass(kw_only=True)
class NotedBell:
    """A bell that notes when it was rung; it can be broken and mended."""

    clock: SimulatedClock
    rung: list[tuple[str, Sound]] = field(default_factory=list)
    can_sound: bool = True
    fault: str | None = None
    is_broken: bool = False

    def ring(self, sound: Sound) -> None:
        """Note the sound, or fail."""
        if self.is_broken:
            raise BrokenError
        self.rung.append((write_span(Span(self.clock.passed)), sound))


class Play:
    """A running bay that sounds, and a player who acts at chosen instants."""

    def __init__(self, naps: tuple[tuple[int, int], ...] = ()) -> None:
        clock = SimulatedClock(START, boot="one", naps=naps)
        identifiers = DerivedIdentifiers(b"play")
        self.journal = SqliteJournal.open(None)
        keeper = Keeper(self.journal, None)
        recorder = Recorder(
            keeper=keeper, clock=clock, identifiers=identifiers, station="left", program="1"
        )
        self.told: list[News] = []
        recorder.subscribe(self.told.append)
        self.bell = NotedBell(clock=clock)
        self.bay = Bay(
            recorder=recorder,
            keeper=keeper,
            clock=clock,
            identifiers=identifiers,
            bell=self.bell,
            rest=span("0:20"),
        )
        self._player = clock.sleeper(SCRIPT)

    async def __aenter__(self) -> Play:
        """Open the bay and let it run."""
        await self.bay.open(Founding(bay="Harrow Quay", timezone="UTC", mode=Mode.LIVE))
        self._running = asyncio.create_task(self.bay.run())
        acts: list[Act] = [
            RegisterOperator(by=None, operator=private("op-1")),
            AdoptAssay(
                by="op-1",
                assay=NASAL,
                content_hash=content_hash(NASAL),
                basis=Basis.CHECKED,
                instructions_version="2026-01",
            ),
            ReceiveLot(
                by="op-1", number="L-100", assay=NASAL.id, expires=date(2026, 12, 31), units=None
            ),
            RegisterPerson(by="op-1", person=private("P-001")),
        ]
        for act in acts:
            await self.do(act)
        return self

    async def __aexit__(self, *_: object) -> None:
        """Close the bay and wait until it has ended."""
        self._player.retire()
        await self.bay.close(Ending.SIGNAL)
        await self._running

    async def until(self, text: str) -> None:
        """Sleep to an instant after the start."""
        while (left := between(self.bay.now(), at(text))) > 0:
            await self._player.sleep(Span(left))

    async def live_until(self, text: str) -> None:
        """Sleep to an instant after the start, with a screen that lives meanwhile."""
        while self.bay.now() < at(text):
            self.bay.beat()
            left = between(self.bay.now(), at(text))
            await self._player.sleep(min(Span(left), span("0:00.500")))

    async def do(self, act: Act) -> None:
        """Do an act and insist that it is taken."""
        assert (await self.bay.do(act)).accepted

    async def enter(self, entry: Entry) -> None:
        """Enter an act and insist that it is taken."""
        answer = await self.bay.enter(entry)
        assert answer.accepted, answer

    async def to_buffer(self, label: str = "C1") -> None:
        """Bring a cartridge to where its swab stands in the buffer."""
        await self.enter(
            Entry(do=Do.LABEL, by="op-1", cartridge=label, person="P-001", lot="L-100")
        )
        for step in ("buffer", "collect", "extract"):
            await self.enter(Entry(do=Do.STEP, by="op-1", cartridge=label, step=step))

    async def to_well(self, *labels: str) -> None:
        """Bring cartridges to the well, at one minute: they open at 16:00 and close at 21:00."""
        for label in labels:
            await self.to_buffer(label)
        await self.until("1:00")
        for label in labels:
            for step in ("withdraw", "apply"):
                await self.enter(Entry(do=Do.STEP, by="op-1", cartridge=label, step=step))

    async def read(self, label: str = "C1") -> None:
        """Read a cartridge as negative."""
        await self.enter(
            Entry(do=Do.READ, by="op-1", cartridge=label, control=True, test=Strength.ABSENT)
        )

    def sounds(self) -> list[tuple[str, str]]:
        """When what sounded since this was last asked."""
        found = [(when, str(sound.kind)) for when, sound in self.bell.rung]
        self.bell.rung.clear()
        return found

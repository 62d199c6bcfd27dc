"""The bay left to itself on a clock that jumps: it rings in time, and ends when told to."""

from __future__ import annotations

import asyncio
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
from readbell.core.board.events import ComputerSlept, Ending, Mode, ProgramStopped
from readbell.core.cartridge.events import AlertKind, AlertRaised
from readbell.core.cartridge.stage import Stage
from readbell.core.instant import Span, between
from readbell.core.reading.bands import Strength
from readbell.core.span_text import write_span
from readbell.journal.keeper import Keeper
from readbell.journal.sqlite import SqliteJournal

if TYPE_CHECKING:
    from readbell.core.board.acts import Act
    from readbell.core.board.event import Event

SCRIPT = 0
"""Whoever plays a script goes before the bay at one instant."""


class Play:
    """A running bay in memory, and a player who acts on C1 at chosen instants."""

    def __init__(self, naps: tuple[tuple[int, int], ...] = ()) -> None:
        clock = SimulatedClock(START, boot="one", naps=naps)
        identifiers = DerivedIdentifiers(b"play")
        keeper = Keeper(SqliteJournal.open(None), None)
        recorder = Recorder(
            keeper=keeper, clock=clock, identifiers=identifiers, station="left", program="1"
        )
        self.events: list[Event] = []
        recorder.subscribe(lambda news: self.events.extend(news.events))
        self.bay = Bay(recorder=recorder, keeper=keeper, clock=clock, identifiers=identifiers)
        self._player = clock.sleeper(SCRIPT)

    async def __aenter__(self) -> Play:
        """Open the bay, let it run, and bring C1 to its buffer at the start."""
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
            assert (await self.bay.do(act)).accepted
        await self.enter(Entry(do=Do.LABEL, by="op-1", cartridge="C1", person="P-001", lot="L-100"))
        for step in ("buffer", "collect", "extract"):
            await self.step(step)
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

    async def step(self, step: str) -> None:
        """Do a step of C1."""
        await self.enter(Entry(do=Do.STEP, by="op-1", cartridge="C1", step=step))

    async def read(self) -> None:
        """Read C1 as negative."""
        await self.enter(
            Entry(do=Do.READ, by="op-1", cartridge="C1", control=True, test=Strength.ABSENT)
        )

    async def enter(self, entry: Entry) -> None:
        """Enter an act and insist that it is taken."""
        answer = await self.bay.enter(entry)
        assert answer.accepted, answer

    def rung(self) -> list[tuple[AlertKind, str]]:
        """Each alert with how long after the start it was announced."""
        return [
            (each.alert, write_span(between(START, each.at)))
            for each in self.events
            if isinstance(each, AlertRaised)
        ]

    def stage(self) -> Stage:
        """The recorded stage of C1."""
        found = self.bay.board.labelled("C1")
        assert found is not None
        return found.stage


async def test_left_alone_it_rings_each_alert_at_its_instant() -> None:
    """Nobody has to ask: the bay watches its own deadlines, to the millisecond."""
    async with Play() as play:
        await play.until("1:00")
        await play.step("withdraw")
        await play.step("apply")
        await play.until("30:00")
        rung = play.rung()

    assert rung == [
        (AlertKind.EARLY_LOOK, "3:00"),
        (AlertKind.READ_NOW, "16:00"),
        (AlertKind.CLOSING, "19:00"),
        (AlertKind.LAPSED, "21:00.001"),
    ]


async def test_an_act_and_an_alert_of_one_instant_come_in_that_order() -> None:
    """The step of the very instant ends the wait, so its bell is not rung at all."""
    async with Play() as play:
        await play.until("1:00")
        await play.step("withdraw")
        await play.until("1:30")
        rung = play.rung()

    assert rung == []


async def test_an_act_that_comes_after_its_alert_does_not_take_it_back() -> None:
    """A bell that rang stays in the record."""
    async with Play() as play:
        await play.until("1:00.001")
        await play.step("withdraw")
        rung = play.rung()

    assert rung == [(AlertKind.WAIT_OVER, "1:00")]


async def test_a_new_deadline_that_is_nearer_is_not_slept_through() -> None:
    """The bay sleeps towards the next deadline; an act that brings a nearer one wakes it."""
    async with Play() as play:
        await play.until("1:00")
        await play.step("withdraw")
        await play.until("10:00")
        await play.step("apply")
        await play.until("12:00.001")
        rung = play.rung()

    assert rung[-1] == (AlertKind.EARLY_LOOK, "12:00")


async def test_a_reading_at_the_close_itself_is_in_time() -> None:
    """The last millisecond of the window belongs to whoever is there."""
    async with Play() as play:
        await play.until("1:00")
        await play.step("withdraw")
        await play.step("apply")
        await play.until("21:00")
        await play.read()
        await play.until("22:00")
        stage, rung = play.stage(), play.rung()

    assert stage is Stage.READ
    assert AlertKind.LAPSED not in [kind for kind, _ in rung]


async def test_a_shut_lid_makes_an_alarm_late_and_is_told() -> None:
    """On waking the bay rings what fell due, and says that nothing could ring before."""
    async with Play(naps=((span("0:30"), span("2:10")),)) as play:
        await play.until("3:30")
        rung, events = play.rung(), play.events

    assert rung == [(AlertKind.WAIT_OVER, "2:10"), (AlertKind.OVERDUE, "3:00")]
    assert [each.span for each in events if isinstance(each, ComputerSlept)] == [span("1:40")]


async def test_closing_ends_the_run_with_the_clean_mark() -> None:
    """The mark is the last word, even though deadlines were still to come."""
    async with Play() as play:
        assert play.bay.next_due() is not None

    assert play.events[-1] == ProgramStopped(at=START, why=Ending.SIGNAL)

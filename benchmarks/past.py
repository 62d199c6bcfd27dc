"""Journals in which work was done already, written by the product's own rules, codec and store.

Every act goes through `decide` and `fold` and every event through `encode` and
`append`; only the waiting is left out: each act is given the instant at which it
is to have been done. The last one is now, so whoever opens the journal goes on
from it as after a short break.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from itertools import count
from typing import TYPE_CHECKING

from readbell.assays.content_hash import content_hash
from readbell.assays.library import Library
from readbell.clock.system import SystemClock
from readbell.core.assay.events import Basis
from readbell.core.board.acts import AdoptAssay, ReceiveLot, RegisterOperator, RegisterPerson
from readbell.core.board.board import Board
from readbell.core.board.decide import decide
from readbell.core.board.events import BayFounded, Ending, Mode, ProgramStarted, ProgramStopped
from readbell.core.board.fold import replay
from readbell.core.cartridge.acts import Aim, DoStep, DoSteps, Label, Read
from readbell.core.cartridge.due import alerts_to_come
from readbell.core.cartridge.events import AlertRaised
from readbell.core.instant import MINUTE, SECOND, Instant, Span, earlier, later
from readbell.core.private import Private
from readbell.core.reading.bands import Bands, LineSeen, Strength
from readbell.core.refusal import Refusal
from readbell.journal.codec import encode
from readbell.journal.envelope import Envelope, Stamp
from readbell.journal.record import Head
from readbell.journal.sqlite import SqliteJournal

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence
    from pathlib import Path

    from readbell.core.board.acts import Act
    from readbell.core.board.event import Event
    from readbell.journal.record import Record

OPERATOR, LOT = "op-1", "L-204"
ASSAY = Library().find("respiratory-antigen-nasal")
OPENS, CLOSES = ASSAY.reading.opens, ASSAY.reading.closes
A_BATCH = 5_000
A_DAY = 2_100
"""About so many events happen on a day of the past."""
TOGETHER = 200
"""So many cartridges of the past lie on the bench at once."""
NEGATIVE = Bands(
    control=True,
    lines=tuple(LineSeen(line=line, strength=Strength.ABSENT) for line in ASSAY.line_keys),
)


class Past:
    """One journal in the making."""

    def __init__(self, path: Path) -> None:
        self._journal = SqliteJournal.open(path)
        self._head, self._end = Head(), Head()
        self._waiting: list[Record] = []
        self._ids = count(1)
        self._people = count(1)
        self._reading = SystemClock().read()
        self.now = Instant(self._reading.wall)
        """Where the bay's line stands as the making begins."""
        self.board = Board()
        begun = earlier(self.now, Span(24 * 60 * MINUTE))
        self.note(
            begun,
            BayFounded(at=begun, bay="Harrow Quay", timezone="UTC", mode=Mode.LIVE),
            ProgramStarted(at=begun, clean=True, away=Span(0), running=0),
        )
        self.do(begun, RegisterOperator(by=None, operator=self.private(OPERATOR)))
        self.do(
            begun,
            AdoptAssay(
                by=OPERATOR,
                assay=ASSAY,
                content_hash=content_hash(ASSAY),
                basis=Basis.CHECKED,
                instructions_version="1",
            ),
        )
        lot = ReceiveLot(
            by=OPERATOR, number=LOT, assay=ASSAY.id, expires=date(2099, 12, 31), units=None
        )
        self.do(begun, lot)

    @property
    def ahead(self) -> int:
        """How far the bay's line is ahead of the counting clock, in milliseconds."""
        return self._reading.wall - self._reading.counting

    @property
    def events(self) -> int:
        """How many there are so far."""
        return self._head.seq

    def do(self, at: Instant, act: Act) -> None:
        """Do `act` at an instant; it must be taken."""
        decided = decide(self.board, act, at)
        assert not isinstance(decided, Refusal), decided
        self.note(at, *decided)

    def note(self, at: Instant, *events: Event) -> None:
        """Record that `events` happened."""
        self.board = replay(events, self.board)
        self.write(at, *events)

    def write(self, at: Instant, *events: Event) -> None:
        """Record them, for whoever knows that they make sense and needs no board of them."""
        founded = self.board.founded
        assert founded is not None
        passed = at - self._reading.wall
        stamp = Stamp(
            bay=founded.bay,
            station="bench-1",
            mode=founded.mode,
            program="0.0",
            at=at,
            wall=self._reading.wall + passed,
            counting=self._reading.counting + passed,
            boot=self._reading.boot,
        )
        for event in events:
            kept = Envelope(id=f"event-{next(self._ids)}", event=event, stamp=stamp, assay=None)
            self._waiting.append(encode(kept, self._head))
            self._head = self._waiting[-1].head
        if len(self._waiting) >= A_BATCH:
            self._flush()

    def develop(self, drops: Sequence[Instant]) -> list[str]:
        """Have a cartridge for each of `drops` developing since then, for a person each."""
        labels: list[tuple[str, str, str]] = []
        for fell in drops:
            number = next(self._people)
            label, person = f"{number:04}", f"P-{number:04}"
            labels.append((f"id-{number}", label, person))
            before = earlier(fell, Span(3 * MINUTE))
            self.do(before, RegisterPerson(by=OPERATOR, person=self.private(person)))
            aim = Aim(by=OPERATOR, cartridge=label, person=person)
            today = date(2026, 1, 1)
            self.do(before, Label(aim=aim, new_id=f"id-{number}", lot=LOT, today=today))
            steps = ("buffer", "collect", "extract")
            at = earlier(fell, Span(2 * MINUTE))
            self.do(at, DoSteps(aim=_aim(label), steps=steps, new_specimen=f"specimen-{number}"))
        for fell, (opaque, label, _) in zip(drops, labels, strict=True):
            self._announce([opaque], earlier(fell, SECOND))
            for step, at in (("withdraw", earlier(fell, SECOND)), ("apply", fell)):
                self.do(at, DoStep(aim=_aim(label), step=step, new_specimen=""))
        self._announce([opaque for opaque, _, _ in labels], self.now)
        return [label for _, label, _ in labels]

    def years(self, events: int, told: Callable[[int], None]) -> None:
        """Let about `events` happen, days of cartridges begun, read and done with."""
        base, ago = self.board, events // A_DAY + 1
        while self.events < events:
            # The rules need nothing of the days before; without them a day costs the same for ever.
            self.board = base
            fell = earlier(self.now, Span((24 * ago - 12) * 60 * MINUTE))
            ago = max(1, ago - 1)
            self.now, present = later(fell, OPENS), self.now
            labels = self.develop([fell] * TOGETHER)
            self.now = present
            for label in labels:
                self.do(later(fell, Span(OPENS + SECOND)), Read(aim=_aim(label), bands=NEGATIVE))
            told(self.events)
        self.board = base

    def close(self) -> None:
        """Put the clean mark at the end, now, and let go of the file."""
        self.note(self.now, ProgramStopped(at=self.now, why=Ending.LEFT))
        self._flush()
        self._journal.close()

    def _announce(self, cartridges: Iterable[str], until: Instant) -> None:
        for each in cartridges:
            for alert in alerts_to_come(self.board.running[each]):
                if alert.due <= until:
                    raised = AlertRaised(
                        at=alert.due,
                        cartridge=each,
                        alert=alert.kind,
                        due=alert.due,
                        step=alert.step,
                    )
                    self.note(alert.due, raised)

    def _flush(self) -> None:
        if self._waiting:
            self._end = self._journal.append(self._waiting, self._end)
            self._waiting.clear()

    def private(self, value: str) -> Private:
        """Return `value` kept apart, under a key of its own."""
        number = next(self._ids)
        return Private(key=f"key-{number}", salt=f"salt-{number}", value=value)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """A bay made ready: its journal, and how its time line lies on the counting clock."""

    journal: Path
    opens: Instant
    """When the first window opens."""
    ahead: int
    """How far the bay's line is ahead of the counting clock, in milliseconds."""


def bench(path: Path, opens_in: Sequence[Span]) -> Bench:
    """Make a journal with a cartridge developing for each of `opens_in`, from now to its window."""
    past = Past(path)
    past.develop([earlier(later(past.now, each), OPENS) for each in opens_in])
    past.close()
    return Bench(journal=path, opens=later(past.now, min(opens_in)), ahead=past.ahead)


def long_past(folder: Path, events: int, told: Callable[[int], None]) -> Path:
    """Return a journal of so many past events and two hundred cartridges developing; made once."""
    path = folder / f"past-{events}.journal"
    if not path.exists():
        past = Past(path)
        past.years(events, told)
        past.develop([earlier(past.now, Span(MINUTE))] * TOGETHER)
        past.close()
    return path


def at_rest(path: Path, cartridges: int) -> Bench:
    """Make a journal whose cartridges need nobody for ten minutes to come."""
    apart = min(100, 100_000 // cartridges)
    return bench(path, [Span(10 * MINUTE + apart * place) for place in range(cartridges)])


def _aim(label: str) -> Aim:
    return Aim(by=OPERATOR, cartridge=label)

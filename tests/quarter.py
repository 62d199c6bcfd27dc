"""A quarter of a bay's work, made up from a seed, with one bad lot hidden in it.

Every act goes through `decide` and `fold`, every event through the journal's own codec and
store. Figures are invented; what share of what lot is invalid is known here, so that a report
can be held to it.
"""

from __future__ import annotations

from contextlib import closing
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from itertools import count
from random import Random
from typing import TYPE_CHECKING

from builders import NASAL, bands, private
from journal.samples import STAMP
from readbell.assays.content_hash import content_hash
from readbell.core.assay.events import Basis
from readbell.core.board.acts import AdoptAssay, ReceiveLot, RegisterOperator, RegisterPerson
from readbell.core.board.board import Board
from readbell.core.board.decide import decide
from readbell.core.board.events import BayFounded, Mode, ProgramStarted
from readbell.core.board.fold import replay
from readbell.core.cartridge.acts import Aim, DoStep, Label, Look, Read
from readbell.core.cartridge.events import How
from readbell.core.cartridge.looks import lapse
from readbell.core.instant import Instant, Span, later
from readbell.core.refusal import Refusal
from readbell.core.results.telling import Channel, Hearer, TellResult
from readbell.journal.codec import encode_each
from readbell.journal.envelope import Envelope
from readbell.journal.record import Head
from readbell.journal.sqlite import SqliteJournal

if TYPE_CHECKING:
    from pathlib import Path

    from readbell.core.board.acts import Act
    from readbell.core.board.event import Event

FIRST_DAY = date(2026, 1, 5)
"""A Monday."""
OPERATORS = ("op-1", "op-2", "op-3")
GOOD, BAD = 0.015, 0.12
"""Which share of strips is invalid in a good lot, and in the bad one."""
BAD_LOT = "L-507"
SECOND = 1_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Quarter:
    """What was made, and what is true of it."""

    journal: Path
    days: int
    cartridges: int
    invalid: dict[str, int]
    """By lot, how many strips were made invalid."""
    read: dict[str, int]
    """By lot, how many were read at all."""


def make_quarter(path: Path, seed: int = 1, *, days: int = 91, a_day: int = 24) -> Quarter:
    """Write the journal at `path` and say what is true of it."""
    return _Making(seed).write(path, days, a_day)


class _Making:
    def __init__(self, seed: int) -> None:
        self._random = Random(seed)  # noqa: S311  # chance for made-up days, no secret
        self._board = Board()
        self._events: list[Event] = []
        self._people = count(1)
        self._invalid: dict[str, int] = {}
        self._read: dict[str, int] = {}

    def write(self, path: Path, days: int, a_day: int) -> Quarter:
        self._found()
        for day in range(days):
            self._day(day, a_day)
        envelopes = [
            Envelope(
                id=f"event-{number}",
                event=event,
                stamp=replace(STAMP, mode=Mode.LIVE, at=event.at, wall=event.at),
                assay=None,
            )
            for number, event in enumerate(self._events, 1)
        ]
        with closing(SqliteJournal.open(path)) as journal:
            journal.append(encode_each(envelopes, Head()), Head())
        return Quarter(
            journal=path,
            days=days,
            cartridges=len(self._board.order),
            invalid=self._invalid,
            read=self._read,
        )

    def _found(self) -> None:
        at = _on(0, 8, 0)
        self._note(
            BayFounded(at=at, bay="Harrow Quay", timezone="UTC", mode=Mode.LIVE),
            ProgramStarted(at=at, clean=True, away=Span(0), running=0),
        )
        for operator in OPERATORS:
            by = None if operator == OPERATORS[0] else OPERATORS[0]
            self._do(RegisterOperator(by=by, operator=private(operator)), at)
        self._do(
            AdoptAssay(
                by=OPERATORS[0],
                assay=NASAL,
                content_hash=content_hash(NASAL),
                basis=Basis.CHECKED,
                instructions_version="1",
            ),
            at,
        )

    def _day(self, day: int, a_day: int) -> None:
        """A lot lasts a week; the bad one is neither the first nor the last."""
        lot = f"L-5{day // 7:02}"
        if day % 7 == 0:
            received = ReceiveLot(
                by=OPERATORS[0],
                number=lot,
                assay=NASAL.id,
                expires=date(2099, 12, 31),
                units=None,
            )
            self._do(received, _on(day, 8, 30))
        for place in range(a_day):
            self._cartridge(day, lot, _on(day, 9, place * 480 // a_day))

    def _cartridge(self, day: int, lot: str, begun: Instant) -> None:
        number, draw = next(self._people), self._random
        person, label, by = f"P-{number:05}", f"C{number:05}", draw.choice(OPERATORS)
        self._do(RegisterPerson(by=by, person=private(person)), begun)
        aim = Aim(
            by=by,
            cartridge=label,
            person=person,
            cartridge_by=How.SCANNED,
            person_by=How.PICKED if draw.random() < 0.04 else How.SCANNED,
        )
        today = FIRST_DAY + timedelta(days=day)
        self._do(Label(aim=aim, new_id=f"id-{label}", lot=lot, today=today), begun)
        at = begun
        for step in NASAL.steps[1:]:
            at = later(at, self._takes(step.hands_on))
            if step.key == "withdraw":
                late = draw.random() < 0.03
                at = later(
                    at,
                    Span(round(draw.uniform(190, 260) if late else draw.uniform(55, 110)) * SECOND),
                )
            doing = DoStep(
                aim=aim, step=step.key, new_specimen=f"specimen-{label}", give_or_take=Span(0)
            )
            self._do(doing, at)
        self._judge(day, lot, replace(aim, by=draw.choice(OPERATORS)), at)

    def _judge(self, day: int, lot: str, aim: Aim, applied: Instant) -> None:
        draw, rules = self._random, NASAL.reading
        invalid = draw.random() < (BAD if lot == BAD_LOT else GOOD)
        wave = 0.06 + 0.12 * max(0.0, 1 - abs(day - 55) / 25)
        positive = not invalid and draw.random() < wave
        strength = ("faint" if draw.random() < 0.3 else "clear") if positive else "absent"
        seen = bands(control=not invalid, sars_cov_2=strength)
        if positive and draw.random() < 0.5:
            look = later(applied, Span(draw.randrange(150, 850) * SECOND))
            self._do(Look(aim=aim, bands=seen), look)
        if draw.random() < 0.006:
            cartridge = self._board.labelled(aim.cartridge)
            assert cartridge is not None
            assert rules.closes is not None
            self._note(lapse(cartridge, later(applied, Span(rules.closes + 1))))
            return
        self._read[lot] = self._read.get(lot, 0) + 1
        self._invalid[lot] = self._invalid.get(lot, 0) + invalid
        read = later(applied, Span(rules.opens + round(draw.triangular(2, 290, 40)) * SECOND))
        self._do(Read(aim=aim, bands=seen), read)
        told = TellResult(
            by=aim.by,
            cartridge=aim.cartridge,
            to=Hearer.PERSON,
            how=Channel.SPOKEN,
            since=_on(day, 0, 0),
        )
        self._do(told, later(read, Span(draw.randrange(20, 600) * SECOND)))

    def _takes(self, usual: Span) -> Span:
        return Span(round(usual * self._random.lognormvariate(0, 0.25)))

    def _do(self, act: Act, at: Instant) -> None:
        decided = decide(self._board, act, at)
        assert not isinstance(decided, Refusal), (act, decided)
        self._note(*decided)

    def _note(self, *events: Event) -> None:
        self._board = replay(events, self._board)
        self._events.extend(events)


def _on(day: int, hour: int, minutes: int) -> Instant:
    begun = datetime.combine(FIRST_DAY, datetime.min.time(), UTC) + timedelta(
        days=day, hours=hour, minutes=minutes
    )
    return Instant(int(begun.timestamp()) * 1_000)

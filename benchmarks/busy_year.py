"""A year of a busy site, by chance from a seed: what `readbell figures` is measured with.

Several operators and readers, a lot after another, positives seen early, strips that did not
run, windows that were missed, extractions too long, steps entered afterwards, acts that were
refused. The events are those that the rules give for such work; they are written without
being asked for one by one, as half a million of them would take an hour.
"""

from __future__ import annotations

import random
from dataclasses import dataclass
from datetime import date
from itertools import count
from typing import TYPE_CHECKING

from benchmarks.past import ASSAY, NEGATIVE, OPENS, OPERATOR, Past
from readbell.core.board.acts import ReceiveLot, RegisterOperator
from readbell.core.board.events import ActRefused
from readbell.core.cartridge.events import (
    CartridgeLabelled,
    CartridgeLapsed,
    CartridgeRead,
    Deviation,
    EarlyPositiveSeen,
    How,
    Identified,
    ReadingKind,
    StepDone,
    SubjectKind,
)
from readbell.core.cartridge.moment import Done
from readbell.core.instant import MINUTE, SECOND, Instant, Span, earlier, later
from readbell.core.people.events import PersonRegistered
from readbell.core.reading.bands import Bands, LineSeen, Strength
from readbell.core.reading.interpretation import LineOutcome, Outcome
from readbell.core.refusal import RefusalCode

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from readbell.core.board.event import Event

HANDS = 6
A_LOT = 4_000
"""Cartridges of one lot."""
DAY = 24 * 60 * MINUTE
OPEN_FOR = 10 * 60 * MINUTE
(LINE,) = ASSAY.line_keys
assert ASSAY.reading.closes is not None
CLOSES = ASSAY.reading.closes
MOST = Span(180 * SECOND)
SCANNED = Identified(cartridge=How.SCANNED, person=How.SCANNED)
PICKED = Identified(cartridge=How.PICKED, person=How.TYPED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Odds:
    """How often what happens, of a thousand."""

    positive: int = 80
    faint: int = 250
    """Of the positive ones."""
    early: int = 600
    """Of the positive ones."""
    invalid: int = 8
    lapsed: int = 4
    long_wait: int = 30
    stated: int = 15
    picked: int = 20
    refused: int = 20


ORDINARY = Odds()


class BusyYear(Past):
    """Days of a busy site, up to now."""

    def __init__(self, path: Path, seed: int) -> None:
        super().__init__(path)
        self._chance = random.Random(seed)  # noqa: S311  # for figures, and no secret
        self._cartridges = count(1)
        self._lots = count(1)
        self._left = 0
        self._lot = ""
        for number in range(2, HANDS + 1):
            act = RegisterOperator(by=OPERATOR, operator=self.private(f"op-{number}"))
            self.do(self.now, act)
        self._hands = [*self.board.operators.values()]

    def days(
        self,
        days: int,
        a_day: int,
        told: Callable[[int, int], None],
        odds: Callable[[str], Odds] = lambda _lot: ORDINARY,
    ) -> None:
        """Let so many days happen, each with about so many cartridges; `odds` are of a lot."""
        for day in range(days):
            morning = earlier(self.now, Span((days - day) * DAY))
            begun = sorted(self._chance.randrange(OPEN_FOR) for _ in range(a_day))
            for each in begun:
                if not self._left:
                    self._new_lot(morning)
                self._left -= 1
                for event in self._one(later(morning, Span(each)), odds(self._lot)):
                    self.write(event.at, event)
            told(day + 1, days)

    def _new_lot(self, at: Instant) -> None:
        self._lot, self._left = f"K-{next(self._lots):03}", A_LOT
        lot = ReceiveLot(
            by=OPERATOR, number=self._lot, assay=ASSAY.id, expires=date(2099, 12, 31), units=None
        )
        self.do(at, lot)

    def _happens(self, of_a_thousand: int) -> bool:
        return self._chance.random() * 1000 < of_a_thousand

    def _one(self, at: Instant, odds: Odds) -> list[Event]:
        """Return what happens with one cartridge, from its label to its end."""
        number, chance = next(self._cartridges), self._chance
        by, reader = chance.choice(self._hands), chance.choice(self._hands)
        key, person = f"id-{number}", self.private(f"P-{number:06}")
        sure = PICKED if self._happens(odds.picked) else SCANNED
        (adopted,) = self.board.assays
        events: list[Event] = [
            PersonRegistered(at=at, by=by, person=person),
            CartridgeLabelled(
                at=at,
                by=by,
                cartridge=key,
                label=f"{number:06}",
                subject=person.key,
                subject_kind=SubjectKind.PATIENT,
                lot=self._lot,
                assay=adopted,
                repeat_of=None,
                identified=sure,
            ),
        ]
        stated = self._happens(odds.stated)
        done = later(at, Span(MINUTE))
        events += [
            self._step(key, by, step, done, number, stated=False)
            for step in ("buffer", "collect", "extract")
        ]
        wait = chance.randrange(60, 110) if not self._happens(odds.long_wait) else 240
        out = later(done, Span(wait * SECOND))
        events.append(self._step(key, by, "withdraw", out, number, stated=stated, waited=wait))
        drops = later(out, Span(chance.randrange(8, 30) * SECOND))
        events.append(self._step(key, by, "apply", drops, number, stated=stated))
        events += self._seen(key, reader, drops, odds, sure)
        if self._happens(odds.refused):
            events.insert(-1, self._refused(key, reader, later(drops, Span(2 * MINUTE))))
        return events

    def _step(
        self,
        key: str,
        by: str,
        step: str,
        at: Instant,
        number: int,
        *,
        stated: bool,
        waited: int = 0,
    ) -> StepDone:
        doubt = 20 * SECOND if stated else 0
        done = Done(
            said=at, earliest=earlier(at, Span(doubt)), latest=later(at, Span(doubt)), stated=stated
        )
        span = Span(waited * SECOND)
        long = (Deviation(code="extract-long", span=span),) if span > MOST else ()
        return StepDone(
            at=at,
            by=by,
            cartridge=key,
            step=step,
            done=done,
            deviations=long,
            specimen=f"specimen-{number}" if step == "collect" else None,
            identified=SCANNED,
            together=step in ("buffer", "collect"),
        )

    def _seen(
        self, key: str, reader: str, drops: Instant, odds: Odds, sure: Identified
    ) -> list[Event]:
        if self._happens(odds.lapsed):
            gone = later(drops, Span(CLOSES + 1))
            outcomes = (LineOutcome(line=LINE, outcome=Outcome.INVALID),)
            return [
                CartridgeLapsed(at=gone, cartridge=key, outcomes=outcomes, outcome=Outcome.INVALID)
            ]
        events: list[Event] = []
        bands, outcome = NEGATIVE, Outcome.NEGATIVE
        if self._happens(odds.invalid):
            bands, outcome = _bands(Strength.ABSENT, control=False), Outcome.INVALID
        elif self._happens(odds.positive):
            strength = Strength.FAINT if self._happens(odds.faint) else Strength.CLEAR
            bands, outcome = _bands(strength), Outcome.POSITIVE
            if self._happens(odds.early):
                look = EarlyPositiveSeen(
                    at=later(drops, Span(self._chance.randrange(180, 880) * SECOND)),
                    by=reader,
                    cartridge=key,
                    bands=bands,
                    lines=(LINE,),
                    ordinal=1,
                    kind=ReadingKind.EARLY,
                    identified=sure,
                )
                events.append(look)
        share = self._chance.betavariate(1.3, 3.0) * 0.98
        read = later(drops, Span(OPENS + round(share * (CLOSES - OPENS))))
        reading = CartridgeRead(
            at=read,
            by=reader,
            cartridge=key,
            bands=bands,
            outcomes=(LineOutcome(line=LINE, outcome=outcome),),
            outcome=outcome,
            ordinal=1,
            kind=ReadingKind.WINDOW,
            identified=sure,
        )
        return [*events, reading]

    def _refused(self, key: str, by: str, at: Instant) -> ActRefused:
        codes = (RefusalCode.TOO_EARLY, RefusalCode.WRONG_PERSON, RefusalCode.WAIT_NOT_OVER)
        return ActRefused(
            at=at,
            by=by,
            act="read",
            code=self._chance.choice(codes),
            cartridge=key,
            entered=None,
            bands=None,
        )


def _bands(strength: Strength, *, control: bool = True) -> Bands:
    return Bands(control=control, lines=(LineSeen(line=LINE, strength=strength),))


def busy_year(
    folder: Path, days: int, a_day: int, told: Callable[[int, int], None], seed: int = 1
) -> Path:
    """Return a journal of so many days with so many cartridges each; made once."""
    path = folder / f"busy-{days}-{a_day}.journal"
    if not path.exists():
        unfinished = path.with_suffix(".unfinished")
        unfinished.unlink(missing_ok=True)
        year = BusyYear(unfinished, seed)
        year.days(days, a_day, told)
        year.close()
        unfinished.rename(path)
    return path

"""How the result of a cartridge stands, and how often what a receiver has to hear has changed.

A receiver is whoever may have been told: the person, or a system that results are
sent to. What was told once stays with them until they hear otherwise, so each change
of what would be told is counted. What is held for review, or waits for a second
reader, is told to nobody and counts as no change: only what comes of it does.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import groupby
from typing import TYPE_CHECKING, assert_never

from readbell.core.cartridge.at_instant import window
from readbell.core.cartridge.events import (
    CartridgeLapsed,
    CartridgeRead,
    EarlyPositiveSeen,
    ReadingCorrected,
    ReadingKind,
    ResultAmended,
)
from readbell.core.cartridge.looks import lapse
from readbell.core.cartridge.stage import Stage
from readbell.core.made_later import dataclass
from readbell.core.reading.interpretation import LineOutcome, Outcome, overall, withhold
from readbell.core.results.status import REPORTABLE, TAKES_BACK, ResultStatus
from readbell.core.review.events import ReadingHeld, ReadingReleased, ResultWithdrawn
from readbell.core.review.reasons import SETTLED_BY_AMENDING, HoldReason

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant

_Fact = (
    EarlyPositiveSeen
    | CartridgeRead
    | ReadingCorrected
    | ResultAmended
    | CartridgeLapsed
    | ReadingHeld
    | ReadingReleased
    | ResultWithdrawn
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """What is to be said of one cartridge at the end of what is on record."""

    status: ResultStatus
    outcomes: tuple[LineOutcome, ...]
    """Of the analytes that are settled, in the device's order; the others are open."""
    version: int
    """0 while nothing was ever reportable; one more with each change of what a receiver hears."""
    since: Instant | None = None
    """When the last of these changes came; None while there was none."""
    first: tuple[LineOutcome, ...] = ()
    """What it came to before a supervisor amended it; nothing where nobody did."""

    @property
    def outcome(self) -> Outcome | None:
        """The outcome of the whole cartridge, or None while nothing is settled."""
        return overall(self.outcomes) if self.outcomes else None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Known:
    """What is on record up to some instant."""

    outcomes: tuple[LineOutcome, ...] = ()
    first: tuple[LineOutcome, ...] = ()
    ended: bool = False
    awaits_second: bool = False
    held: frozenset[HoldReason] = frozenset()
    on_both_sides: bool = False
    """Two stations looked at it that did not reach each other: nothing comes of either."""
    amended: bool = False
    withdrawn: bool = False

    @property
    def status(self) -> ResultStatus:
        if self.withdrawn:
            return ResultStatus.WITHDRAWN
        if self.awaits_second:
            return ResultStatus.SECOND_DUE
        if any(each.outcome is Outcome.WITHHELD for each in self.outcomes):
            return ResultStatus.WITHHELD
        if not self.outcomes:
            return ResultStatus.RUNNING
        if self.held:
            return ResultStatus.HELD
        if self.amended:
            return ResultStatus.AMENDED
        return ResultStatus.FINAL if self.ended else ResultStatus.PRELIMINARY


def standing_of(cartridge: Cartridge) -> Standing:
    """Return how the result of `cartridge` stands.

    It goes through what is on record in the order of time. What came of one act at one
    instant, as a reading and the hold upon it, is one change.
    """
    known, version = _Known(), 0
    since: Instant | None = None
    told: tuple[ResultStatus, tuple[LineOutcome, ...]] | None = None
    facts = sorted(_facts(cartridge), key=lambda each: each.at)
    for at, at_once in groupby(facts, key=lambda each: each.at):
        for fact in at_once:
            known = _after(cartridge, known, fact)
        said = (known.status, known.outcomes)
        if said != told and _has_to_be_heard(known.status, before=version):
            told, version, since = said, version + 1, at
    status = known.status if cartridge.voided is None else ResultStatus.NO_RESULT
    # Whoever reads second is to learn of nothing that was seen before, early or late.
    outcomes = () if known.awaits_second else known.outcomes
    return Standing(
        status=status, outcomes=outcomes, version=version, since=since, first=known.first
    )


def _has_to_be_heard(status: ResultStatus, *, before: int) -> bool:
    """Say whether a receiver has to hear of `status`; `before`: how often there was something."""
    return status in REPORTABLE or (status in TAKES_BACK and before > 0)


def _facts(cartridge: Cartridge) -> Iterator[_Fact]:
    """Yield what bears on the result; at one instant in the order in which it can have been."""
    yield from cartridge.early_looks
    if cartridge.reading is not None:
        yield cartridge.reading
    yield from cartridge.corrections
    if cartridge.second is not None:
        yield cartridge.second
    span = window(cartridge)
    if cartridge.stage is Stage.LAPSED and span is not None and span.closes is not None:
        yield lapse(cartridge, span.closes)
    yield from cartridge.holds
    yield from cartridge.releases
    yield from cartridge.amendments
    if cartridge.withdrawn is not None:
        yield cartridge.withdrawn


def _after(cartridge: Cartridge, known: _Known, fact: _Fact) -> _Known:
    match fact:
        case EarlyPositiveSeen():
            return _settled(known, _with_early(cartridge, known, fact))
        case CartridgeRead(kind=ReadingKind.WINDOW, second=asked) if asked is not None:
            return replace(known, awaits_second=True)
        case CartridgeRead() | CartridgeLapsed():
            ended = replace(known, ended=True, awaits_second=False)
            return _settled(ended, fact.outcomes)
        case ReadingCorrected():
            # While a second reader is awaited, nothing comes of what the first one says.
            return known if known.awaits_second else _settled(known, fact.outcomes)
        case ReadingHeld():
            both = known.on_both_sides or HoldReason.READ_ON_BOTH_SIDES in fact.reasons
            held = known.held | frozenset(fact.reasons)
            return _settled(replace(known, held=held, on_both_sides=both), known.outcomes)
        case ReadingReleased():
            return replace(known, held=frozenset())
        case ResultAmended():
            return replace(
                known,
                outcomes=fact.outcomes,
                first=known.first or known.outcomes,
                amended=True,
                held=known.held - SETTLED_BY_AMENDING,
            )
        case ResultWithdrawn():
            return replace(known, outcomes=(), withdrawn=True)
        case _:
            assert_never(fact)


def _settled(known: _Known, outcomes: tuple[LineOutcome, ...]) -> _Known:
    """Return what is known once it comes to `outcomes`, unless a person has to decide first."""
    return replace(known, outcomes=withhold(outcomes) if known.on_both_sides else outcomes)


def _with_early(
    cartridge: Cartridge, known: _Known, look: EarlyPositiveSeen
) -> tuple[LineOutcome, ...]:
    seen = {*look.lines, *(each.line for each in known.outcomes)}
    return tuple(
        LineOutcome(line=line, outcome=Outcome.POSITIVE)
        for line in cartridge.assay.line_keys
        if line in seen
    )

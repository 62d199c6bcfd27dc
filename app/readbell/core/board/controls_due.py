"""Which control samples are due, since when, and why.

What asks for them is for the site to say (its policy); that these are the usual
occasions is common practice: a new lot, a new delivery, somebody new at the bench,
every so many hours, two invalid results of one person or several of one lot in a
day, and kits that were out of their temperatures. Both kinds are run, positive and
negative, and each counts from the label of its cartridge: what came later it says
nothing of.
"""

from __future__ import annotations

from collections import Counter
from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.controls.material import SampleKind
from readbell.core.controls.room import proof_of_hands
from readbell.core.instant import DAY, HOUR, Instant, Span, between, later
from readbell.core.made_later import dataclass
from readbell.core.stock.lot import refuse_lot

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from datetime import date

    from readbell.core.board.board import Board
    from readbell.core.controls.room import InvalidSeen, LotRecord, Proof
    from readbell.core.stock.lot import Lot

INVALIDS_BEFORE_WARNING = 2
"""From the second invalid of one person on, a further test is warned of (common practice)."""
KINDS = (SampleKind.POSITIVE, SampleKind.NEGATIVE)
NOTICE = HOUR
"""So long before a regular one falls due it is told (our own choice)."""


class WhyDue(StrEnum):
    """What asks for a control sample."""

    NEW_LOT = "new-lot"
    NEW_DELIVERY = "new-delivery"
    NEW_OPERATOR = "new-operator"
    REGULAR = "regular"
    INVALIDS_OF_PERSON = "invalids-of-person"
    INVALIDS_OF_LOT = "invalids-of-lot"
    TEMPERATURE = "temperature"


@dataclass(frozen=True, slots=True, kw_only=True)
class ControlDue:
    """One control sample that is to be run on one lot."""

    lot: str
    kind: SampleKind
    due: Instant
    """Since when, or from when on if that is still to come."""
    why: WhyDue
    operator: str | None = None
    """Key of the one who has to run it; None: anybody may."""

    def is_overdue(self, now: Instant) -> bool:
        """Say whether patients should be waiting for it."""
        return self.due <= now


def controls_due(board: Board, now: Instant, today: date) -> tuple[ControlDue, ...]:
    """Return all that is due, or will be within `NOTICE`, on lots that could be used today."""
    usable = (each for each in board.lots.values() if refuse_lot(each, today) is None)
    return tuple(
        each for lot in usable for each in due_on(board, lot) if each.due <= later(now, NOTICE)
    )


def overdue_for(board: Board, lot: Lot, operator: str, now: Instant) -> tuple[ControlDue, ...]:
    """Return what stands against a patient's cartridge of `lot`, begun by `operator` now."""
    return tuple(
        each
        for each in due_on(board, lot)
        if each.is_overdue(now) and each.operator in (None, operator)
    )


def due_on(board: Board, lot: Lot) -> Iterator[ControlDue]:
    """Yield what is due on `lot`, the first occasion of each kind; then what each new hand owes."""
    record = board.samples.record(lot.number)
    for kind in KINDS:
        asked = [(at, why) for at, why in _occasions(board, lot, record, record.proof(kind))]
        if asked:
            at, why = min(asked, key=lambda each: each[0])
            yield ControlDue(lot=lot.number, kind=kind, due=at, why=why)
    if board.policy.controls_new_operator:
        yield from _of_new_hands(board, lot)


def _occasions(
    board: Board, lot: Lot, record: LotRecord, proof: Proof | None
) -> Iterator[tuple[Instant, WhyDue]]:
    """Yield what has come to the lot since `proof`, each with its instant."""
    policy = board.policy
    first, *further = [each.at for each in lot.deliveries]
    if policy.controls_new_lot:
        yield from _since(proof, [first], WhyDue.NEW_LOT)
    if policy.controls_new_delivery:
        yield from _since(proof, further, WhyDue.NEW_DELIVERY)
    if policy.controls_every_hours:
        each = Span(policy.controls_every_hours * HOUR)
        yield (first if proof is None else later(proof.at, each)), WhyDue.REGULAR
    if policy.controls_after_two_invalids:
        yield from _since(proof, _one_too_many(record.invalids), WhyDue.INVALIDS_OF_PERSON)
    if policy.controls_after_lot_invalids:
        crowd = _crowds(record.invalids, policy.controls_after_lot_invalids)
        yield from _since(proof, crowd, WhyDue.INVALIDS_OF_LOT)
    if policy.controls_after_excursion and record.excursion is not None:
        yield from _since(proof, [record.excursion], WhyDue.TEMPERATURE)


def _since(
    proof: Proof | None, instants: Iterable[Instant], why: WhyDue
) -> Iterator[tuple[Instant, WhyDue]]:
    for at in instants:
        if proof is None or at > proof.at:
            yield at, why


def _one_too_many(invalids: Iterable[InvalidSeen]) -> Iterator[Instant]:
    """Yield when somebody had their second invalid result, or a further one."""
    had: Counter[str] = Counter()
    for each in invalids:
        had[each.subject] += 1
        if had[each.subject] >= INVALIDS_BEFORE_WARNING:
            yield each.at


def _crowds(invalids: tuple[InvalidSeen, ...], many: int) -> Iterator[Instant]:
    """Yield when `many` invalid results had come within a day."""
    for first, last in zip(invalids, invalids[many - 1 :], strict=False):
        if between(first.at, last.at) <= DAY:
            yield last.at


def _of_new_hands(board: Board, lot: Lot) -> Iterator[ControlDue]:
    assay = board.assays[lot.assay].assay.id
    for operator, since in board.samples.since.items():
        if board.roster.standing(operator).is_retired:
            continue
        proven = board.samples.proven.get(operator, ())
        for kind in KINDS:
            if proof_of_hands(assay, kind) not in proven:
                yield ControlDue(
                    lot=lot.number,
                    kind=kind,
                    due=since,
                    why=WhyDue.NEW_OPERATOR,
                    operator=operator,
                )

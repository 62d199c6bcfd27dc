"""What became of the units of each lot in a shift, for whoever closes it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.subjects import is_patients, labelled_since
from readbell.core.cartridge.events import VoidReason
from readbell.core.instant import HOUR, Instant, earlier
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.stock.lot import Lot


@dataclass(frozen=True, slots=True, kw_only=True)
class LotShift:
    """One lot in one shift; every cartridge stands in one of the first four figures."""

    lot: str
    patients: int
    """First tests that were not given up, and runs that were entered from paper."""
    repeats: int
    samples: int
    """Control samples and blind samples."""
    voids: int
    """Given up, for whomever they were meant."""
    lost: int
    received: int
    """In further deliveries, or with the lot itself; what nobody counted is not in it."""
    found: int
    """What counts found more (or, negative, fewer) than the record had."""
    left: int | None
    """By the record, at the end; None where nobody counts them."""
    was_counted: bool
    """Whether somebody counted the box in this shift."""
    bad: int = 0
    """How many of those that were given up were bad devices."""

    @property
    def used(self) -> int:
        """How many cartridges were labelled."""
        return self.patients + self.repeats + self.samples + self.voids


def reconcile(board: Board, since: Instant, until: Instant | None = None) -> tuple[LotShift, ...]:
    """Return the figures of each lot that was touched from `since` to `until`, both inside.

    Args:
        board: the board.
        since: when the shift began.
        until: when it ended; None: it goes on.
    """
    labelled: dict[str, list[Cartridge]] = {}
    for each in labelled_since(board, since):
        if _inside(each.labelled.at, since, until):
            labelled.setdefault(each.labelled.lot, []).append(each)
    made = (
        _of_lot(board, lot, labelled.get(lot.number, ()), since, until)
        for lot in board.lots.values()
    )
    return tuple(
        each for each in made if each.used or each.lost or each.received or each.was_counted
    )


def left_of(board: Board, assay: str) -> int | None:
    """Return how many units of the assay's id are left in lots that may be used; None: uncounted."""
    counted = [
        lot.left
        for lot in board.lots.values()
        if board.assays[lot.assay].assay.id == assay and not lot.on_hold
    ]
    known = [max(0, each) for each in counted if each is not None]
    return sum(known) if counted and len(known) == len(counted) else None


def is_low(board: Board, assay: str, now: Instant) -> bool:
    """Say whether the site calls the stock of an assay low at `now`."""
    left = left_of(board, assay)
    if left is None:
        return False
    if left <= board.policy.low_stock_units and board.policy.low_stock_units:
        return True
    hours = board.policy.low_stock_hours
    return bool(hours) and left < hours * _in_last_hour(board, assay, now)


def _in_last_hour(board: Board, assay: str, now: Instant) -> int:
    lately = labelled_since(board, earlier(now, HOUR))
    return sum(each.assay.id == assay for each in lately)


def _of_lot(
    board: Board,
    lot: Lot,
    cartridges: Iterable[Cartridge],
    since: Instant,
    until: Instant | None,
) -> LotShift:
    given_up, bad, samples, repeats, patients = 0, 0, 0, 0, 0
    for each in cartridges:
        if each.voided is not None:
            given_up += 1
            bad += each.voided.reason is VoidReason.BAD_DEVICE
        elif not is_patients(each):
            samples += 1
        elif each.labelled.repeat_of is not None:
            repeats += 1
        else:
            patients += 1
    patients += sum(
        each.lot == lot.number and _inside(each.at, since, until)
        for each in board.paper_runs.values()
    )
    room = board.stock_room
    counts = [
        each for each in room.counts if each.number == lot.number and _inside(each.at, since, until)
    ]
    return LotShift(
        lot=lot.number,
        patients=patients,
        repeats=repeats,
        samples=samples,
        voids=given_up,
        lost=sum(
            each.units
            for each in room.losses
            if each.number == lot.number and _inside(each.at, since, until)
        ),
        received=sum(each.units or 0 for each in lot.deliveries if _inside(each.at, since, until)),
        found=sum(each.counted - each.expected for each in counts if each.expected is not None),
        left=lot.left,
        was_counted=bool(counts),
        bad=bad,
    )


def _inside(at: Instant, since: Instant, until: Instant | None) -> bool:
    return since <= at and (until is None or at <= until)

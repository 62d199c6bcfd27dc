"""What a supervisor does to a reading or to a result, each act by op-2 and on C1 unless said otherwise."""

from __future__ import annotations

from typing import TYPE_CHECKING

from builders import CLEAR, at, private
from readbell.core.board.fold import fold
from readbell.core.review.acts import AmendResult, ReleaseReading, WithdrawResult
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import AmendReason, HoldReason, WithdrawReason

if TYPE_CHECKING:
    from builders import Bench
    from readbell.core.reading.bands import Bands


def release(
    by: str = "op-2", label: str = "C1", why: str = "looked at the strip"
) -> ReleaseReading:
    """A release."""
    return ReleaseReading(by=by, cartridge=label, words=private(why))


def withdraw(
    by: str = "op-2",
    label: str = "C1",
    why: str = "swapped",
    reason: WithdrawReason = WithdrawReason.ANOTHER_PERSON,
) -> WithdrawResult:
    """A withdrawal."""
    return WithdrawResult(by=by, cartridge=label, reason=reason, words=private(why))


def amend(
    seen: Bands = CLEAR, *, by: str = "op-2", label: str = "C1", why: str = "overlooked"
) -> AmendResult:
    """An amendment."""
    return AmendResult(
        by=by, cartridge=label, bands=seen, reason=AmendReason.WRONGLY_SEEN, words=private(why)
    )


def hold(
    made: Bench,
    now: str,
    label: str = "C1",
    reason: HoldReason = HoldReason.LOT_RECALLED,
    *,
    by: str | None = None,
) -> None:
    """Have something mark the reading of a cartridge, an act of `by` if that is said."""
    event = ReadingHeld(at=at(now), by=by, cartridge=made.cartridge(label).id, reasons=(reason,))
    made.board = fold(made.board, event)

"""Whether a new cartridge may be started: everything that can stop one stops it here.

Once the specimen is on the well no lot, no operator's standing and no overdue
control sample may cost a person their result. So whatever is not in order is
refused at the label, never at the read.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.cartridge.events import CartridgeLabelled
from readbell.core.cartridge.looks import as_at
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.stock.lot import refuse_lot

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from readbell.core.board.board import Board
    from readbell.core.cartridge.acts import Label
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant

INVALIDS_BEFORE_WARNING = 2
"""From the second invalid of one person on, a further test is warned of (common practice)."""

TWO_INVALIDS = "two-invalids"


def decide_label(board: Board, act: Label, now: Instant) -> tuple[CartridgeLabelled] | Refusal:
    """Judge the start of a cartridge."""
    aim = act.aim
    operator = board.operators.get(aim.by)
    if operator is None:
        return Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=aim.by)
    if aim.cartridge in board.labels:
        return Refusal(code=RefusalCode.LABEL_IN_USE, subject=aim.cartridge)
    if aim.scanned is not None and aim.scanned != aim.cartridge:
        return Refusal(code=RefusalCode.WRONG_CARTRIDGE, subject=aim.scanned)
    subject = None if aim.person is None else board.persons.get(aim.person)
    if subject is None:
        return Refusal(code=RefusalCode.UNKNOWN_PERSON)
    lot = board.lots.get(act.lot)
    if lot is None:
        return Refusal(code=RefusalCode.UNKNOWN_LOT, subject=act.lot)
    refused = refuse_lot(lot, act.today)
    if refused is not None:
        return refused
    earlier = list(_earlier(board, subject, board.assays[lot.assay].assay.id, now))
    return (
        CartridgeLabelled(
            at=now,
            by=operator,
            cartridge=act.new_id,
            label=aim.cartridge,
            subject=subject,
            subject_kind=act.subject_kind,
            lot=lot.number,
            assay=lot.assay,
            repeat_of=_repeats(earlier),
            identified=aim.identified,
            warnings=_warnings(earlier),
            place=act.place,
        ),
    )


def asks_for_repeat(cartridge: Cartridge) -> bool:
    """Say whether nothing reportable came of `cartridge`: invalid, withheld or void."""
    return cartridge.voided is not None or cartridge.outcome in (
        Outcome.INVALID,
        Outcome.WITHHELD,
    )


def calls_for_control_samples(board: Board, cartridge: Cartridge) -> bool:
    """Say whether `cartridge`, now invalid, makes it one too many for its person."""
    subject, assay = cartridge.labelled.subject, cartridge.assay.id
    known = [board.cartridge(each) for each in board.history.get(subject, ())]
    return cartridge.outcome is Outcome.INVALID and _too_many(
        each for each in known if each is not None and each.assay.id == assay
    )


def _earlier(board: Board, subject: str, assay_id: str, now: Instant) -> Iterator[Cartridge]:
    for cartridge_id in board.history.get(subject, ()):
        found = board.cartridge(cartridge_id)
        if found is not None and found.assay.id == assay_id:
            yield as_at(found, now)


def _repeats(earlier: list[Cartridge]) -> str | None:
    failed = [each.id for each in earlier if asks_for_repeat(each)]
    return failed[-1] if failed else None


def _warnings(earlier: list[Cartridge]) -> tuple[str, ...]:
    return (TWO_INVALIDS,) if _too_many(earlier) else ()


def _too_many(cartridges: Iterable[Cartridge]) -> bool:
    return sum(each.outcome is Outcome.INVALID for each in cartridges) >= INVALIDS_BEFORE_WARNING

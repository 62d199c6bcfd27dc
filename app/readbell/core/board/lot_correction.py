"""A lot that was entered wrongly is corrected, and what had stood stays on record.

Rule 1: whoever may take a box in may correct it, in words, and says what is right: the last day,
or the assay. A day that is past is meant as one, or it is a slip of the keys once more.
Rule 2: what was read off the code of a box is what the box says. It is corrected by such a code
alone: by hand a good day would be typed over, and a box that is out of date be used for it.
Rule 3: the assay is corrected only as long as nothing was begun of the lot: the steps and the
window of all that was begun were those of the assay it had. Whoever says the assay over the code
of a box says as well what its trade item number stands for; by hand the number follows that was
tied as this lot came in, or the next box would be taken for the wrong assay in silence.
Rule 4: nothing that was begun is changed. What was begun after the right last day is named, and
waits for a supervisor; so does what was begun so late at a station that was alone and could not
know it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.paper_runs import runs_with_lot
from readbell.core.board.samples import held_for
from readbell.core.board.subjects import is_patients, labelled_since
from readbell.core.board.wall_time import wall_of
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.review.reasons import HoldReason
from readbell.core.stock.events import GtinTied, LotCorrected

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.core.review.events import ReadingHeld
    from readbell.core.stock.acts import CorrectLot, LastDay
    from readbell.core.stock.lot import Lot

NOTHING = "nothing to correct"
SCANNED = "day off the code"
PAST = "day is past"
BEGUN = "begun by its assay"


def decide_lot_correction(
    board: Board, lot: Lot, act: CorrectLot, by: str, now: Instant
) -> tuple[LotCorrected | GtinTied | ReadingHeld, ...] | Refusal:
    """Judge what is said of a lot that was entered wrongly."""
    had = board.assays[lot.assay]
    day = None if act.last_day is None or act.last_day.on == lot.expires else act.last_day
    is_of_another = act.assay is not None and act.assay != had.assay.id
    right = board.assay_called(act.assay) if act.assay is not None and is_of_another else had
    if right is None:
        return Refusal(code=RefusalCode.NOT_ADOPTED, subject=act.assay or "")
    tied = None if act.gtin is None else board.stock_room.gtins.get(act.gtin)
    tied_wrongly = tied not in (None, right.assay.id)
    if tied_wrongly and act.assay is None:
        subject = f"{right.assay.id}, {tied}"
        return Refusal(code=RefusalCode.BOX_OF_ANOTHER_ASSAY, subject=subject)
    if day is None and not is_of_another and not tied_wrongly:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=NOTHING)
    against = _against(lot, act, day, is_of_another=is_of_another)
    if against is not None:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=against)
    since = lot.deliveries[0].at  # before the lot came in nothing was begun of it
    ended = day.ends if day is not None and act.today > day.on else None
    begun = () if ended is None else _begun_after(board, lot, ended, since)
    corrected = LotCorrected(
        at=now,
        by=by,
        number=lot.number,
        expires=lot.expires if day is None else day.on,
        expires_before=lot.expires,
        ends=None if day is None else day.ends,
        is_scanned=lot.is_scanned if day is None else day.is_scanned,
        assay=right.content_hash,
        assay_before=lot.assay,
        words=act.words,
        cartridges=tuple(each.id for each in begun),
        paper_runs=() if ended is None else _run_after(board, lot, ended, since),
    )
    held = held_for(begun, HoldReason.LOT_EXPIRED, by, now)
    numbers = _tied_with(board, lot) if is_of_another else ()
    if act.gtin is not None:
        numbers = () if tied == right.assay.id else (act.gtin,)
    ties = (GtinTied(at=now, by=by, gtin=each, assay_id=right.assay.id) for each in numbers)
    return corrected, *ties, *held


def is_begun_too_late(board: Board, cartridge: Cartridge) -> bool:
    """Say whether a patient's cartridge was begun after the last day of its lot, as corrected."""
    ends = board.lots[cartridge.labelled.lot].ends
    if ends is None or not is_patients(cartridge):
        return False
    return wall_of(board, cartridge.labelled.at) >= ends


def _against(lot: Lot, act: CorrectLot, day: LastDay | None, *, is_of_another: bool) -> str | None:
    """Return what speaks against a correction, or None."""
    if is_of_another and lot.used:
        return BEGUN
    if day is None:
        return None
    if lot.is_scanned and not day.is_scanned:
        return SCANNED
    return PAST if act.today > day.on and not act.is_past else None


def _tied_with(board: Board, lot: Lot) -> tuple[str, ...]:
    """Return the trade item numbers that were tied by the very acts by which `lot` came in."""
    came = {each.at for each in lot.deliveries}
    return tuple(each.gtin for each in board.stock_room.ties.values() if each.at in came)


def _begun_after(board: Board, lot: Lot, ended: int, since: Instant) -> tuple[Cartridge, ...]:
    """Return the patients' cartridges of a lot that were begun after its last day had ended."""
    found = [
        each
        for each in labelled_since(board, since)
        if each.labelled.lot == lot.number
        and is_patients(each)
        and wall_of(board, each.labelled.at) >= ended
    ]
    return tuple(reversed(found))


def _run_after(board: Board, lot: Lot, ended: int, since: Instant) -> tuple[str, ...]:
    """Return the runs on paper with a lot that were read after its last day had ended."""
    runs = runs_with_lot(board, lot.number, since)
    return tuple(each for each in runs if wall_of(board, board.paper_runs[each].read) >= ended)

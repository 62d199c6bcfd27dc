"""A day sheet in lines, as it is read, printed and signed."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from readbell.core.board.subjects import is_patients
from readbell.core.cartridge.stage import Stage
from readbell.core.reading.interpretation import Outcome
from readbell.phrases.bad_devices import count_bad
from readbell.phrases.lot_correction_words import say_lot_correction
from readbell.phrases.of_cartridges import OUTCOMES, TAKE_BACK_REASONS, say_taken_back
from readbell.phrases.of_climate import PLACES, write_celsius
from readbell.phrases.review_words import HOLD_REASONS
from readbell.phrases.shift_words import ITEMS, STATES, say_closed
from readbell.phrases.summary import CAUTIONS
from readbell.phrases.whose import say_short

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from readbell.core.board.board import Board
    from readbell.core.board.day_sheet import DaySheet
    from readbell.core.board.reconcile import LotShift
    from readbell.core.board.review import OwnReview
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.phrases.clock_time import ClockFace

ERASED = "erased"
LAPSED = "lapsed"
WITHDRAWN = "withdrawn"
VOID = "void"
RUNNING = "still running"
LINE_FOR_NAME = "." * 40
OWN_REVIEWS = "Own reviews, for somebody outside to look at"


def day_sheet_lines(sheet: DaySheet, board: Board, face: ClockFace) -> Iterator[str]:
    """Yield the sheet line by line; it names cartridges and operators, and no patient."""
    yield from _head(sheet, board, face)
    yield from _part("Opening checks", _checks(sheet))
    yield from _part("Cartridges", _cartridges(sheet, board, face))
    yield from _part("Held for review", _held(sheet))
    yield from _part("Control samples", _samples(sheet, board))
    yield from _part("Temperatures", _temperatures(sheet, face))
    yield from _part("Stock", map(_lot, sheet.lots))
    if sheet.corrected:
        yield from _part("Lots corrected", _corrected(sheet, board, face))
    yield from _part("Near misses", (f"{count} x {code}" for code, count in sheet.near_misses))
    if sheet.taken_back:
        yield from _part("Steps taken back", _taken_back(sheet, board, face))
    yield from _part(OWN_REVIEWS, say_own_reviews(sheet.own_reviews, board, face))
    yield ""
    yield from CAUTIONS
    yield ""
    yield from _signature(sheet, board, face)


def _head(sheet: DaySheet, board: Board, face: ClockFace) -> Iterator[str]:
    opened, closed = sheet.shift.opened, sheet.shift.closed
    bay = "" if board.founded is None else f"{board.founded.bay}: "
    yield f"{bay}day sheet of shift {sheet.shift.number}"
    yield f"opened {_when(opened.at, face)} by {_name(board, opened.by)}"
    if closed is None:
        yield "still open: these are its figures so far"
    else:
        yield f"closed {_when(closed.at, face)} by {_name(board, closed.by)}: {say_closed(closed.left)}"
        if closed.words is not None:
            yield f"closed over what runs, because: {closed.words.value or ERASED}"
    yield f"at work: {', '.join(_name(board, each) for each in sheet.operators) or 'nobody'}"


def _part(title: str, lines: Iterator[str]) -> Iterator[str]:
    yield ""
    yield title
    found = False
    for each in lines:
        found = True
        yield f"  {each}"
    if not found:
        yield "  none"


def _checks(sheet: DaySheet) -> Iterator[str]:
    for each in sheet.shift.opened.checks:
        about = f": {', '.join(each.about)}" if each.about else ""
        yield f"{ITEMS[each.item]}: {STATES[each.state]}{about}"


def _cartridges(sheet: DaySheet, board: Board, face: ClockFace) -> Iterator[str]:
    patients = [each for each in sheet.cartridges if is_patients(each)]
    if patients:
        yield f"{len(patients)} of patients: {_counted(patients)}"
    for each in sheet.cartridges:
        yield f"{each.label:<12}{face.time(each.labelled.at)}  {_came_to(each, sheet)}{_whose(each, board)}"


def _counted(patients: Sequence[Cartridge]) -> str:
    """Return what became of the patients' cartridges: each is counted once, so it adds up."""
    came = Counter(_sum_of(each) for each in patients)
    said = [f"{came[each]} {each}" for each in Outcome]
    said += [f"{came[each]} {each}" for each in (LAPSED, WITHDRAWN, VOID, RUNNING) if came[each]]
    return ", ".join(said)


def _sum_of(cartridge: Cartridge) -> str:
    """Return under which word a cartridge is counted; one that lapsed unseen is no invalid strip."""
    if cartridge.withdrawn is not None:
        return WITHDRAWN
    if cartridge.outcome is None:
        return VOID if cartridge.stage is Stage.VOID else RUNNING
    is_lapsed = cartridge.stage is Stage.LAPSED and cartridge.outcome is Outcome.INVALID
    return LAPSED if is_lapsed else cartridge.outcome


def _whose(cartridge: Cartridge, board: Board) -> str:
    sample = say_short(cartridge, board)
    return f"  {sample}" if sample else ""


def _came_to(cartridge: Cartridge, sheet: DaySheet) -> str:
    before = "  from the shift before" if cartridge.labelled.at < sheet.shift.opened.at else ""
    if cartridge.withdrawn is not None:
        return f"{WITHDRAWN}{before}"
    if cartridge.outcome is not None:
        lapsed = f", {LAPSED}" if cartridge.stage is Stage.LAPSED else ""
        return f"{OUTCOMES[cartridge.outcome]}{lapsed}{before}"
    return f"{VOID if cartridge.stage is Stage.VOID else RUNNING}{before}"


def _held(sheet: DaySheet) -> Iterator[str]:
    for each in sheet.held:
        yield f"{each.label}: {'; '.join(HOLD_REASONS[reason] for reason in each.held)}"


def _samples(sheet: DaySheet, board: Board) -> Iterator[str]:
    for each in sheet.cartridges:
        judged = board.samples.judged.get(each.id)
        if judged is not None:
            yield f"{each.label}: {judged.material} on lot {judged.lot}, {judged.verdict}"


def _temperatures(sheet: DaySheet, face: ClockFace) -> Iterator[str]:
    for each in sheet.temperatures:
        out = "  OUT OF RANGE" if each.outside else ""
        yield f"{face.time(each.at)}  {PLACES[each.where]}  {write_celsius(each.celsius)}{out}"


def _lot(lot: LotShift) -> str:
    left = "not counted by the record" if lot.left is None else f"{lot.left} left by the record"
    counted = f", counted: {lot.found:+d}" if lot.was_counted else ", box not counted"
    bad = f" ({count_bad(lot.bad)})" if lot.bad else ""
    return (
        f"{lot.lot}: {lot.patients} patients, {lot.repeats} repeats, {lot.samples} samples, "
        f"{lot.voids} void{bad}, {lot.lost} lost, {lot.received} received; {left}{counted}"
    )


def _corrected(sheet: DaySheet, board: Board, face: ClockFace) -> Iterator[str]:
    for each in sheet.corrected:
        yield f"{face.time(each.at)}  {say_lot_correction(each, board)}"


def _taken_back(sheet: DaySheet, board: Board, face: ClockFace) -> Iterator[str]:
    for cartridge, each in sheet.taken_back:
        steps = say_taken_back(each, cartridge, face)
        why = TAKE_BACK_REASONS[each.reason]
        yield f"{face.time(each.at)}  {cartridge.label}  {steps}: {why}  [{_name(board, each.by)}]"


def say_own_reviews(reviews: Iterable[OwnReview], board: Board, face: ClockFace) -> Iterator[str]:
    """Yield a line for each supervisor's act by whoever had done the work."""
    for each in reviews:
        cartridge = board.cartridge(each.about)
        about = _name(board, each.about) if cartridge is None else cartridge.label
        yield f"{face.time(each.at)}  {_name(board, each.by)}: {_DEEDS.get(each.event, each.event)} {about}"


_DEEDS = {
    "ReadingReleased": "released",
    "ResultWithdrawn": "took back",
    "CompetenceStated": "cleared",
}


def _signature(sheet: DaySheet, board: Board, face: ClockFace) -> Iterator[str]:
    signed = sheet.signed
    if signed is None:
        yield f"NOT SIGNED. Supervisor: {LINE_FOR_NAME}"
        return
    own = ", own review" if signed.own else ""
    yield f"signed {_when(signed.at, face)} by {_name(board, signed.by)}{own}"
    yield f"the record then ended with event {signed.sequence}, head"
    yield signed.head


def _when(at: Instant, face: ClockFace) -> str:
    return face.local(at).isoformat(sep=" ", timespec="minutes")


def _name(board: Board, key: str) -> str:
    return board.name(key) or ERASED

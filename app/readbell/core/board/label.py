"""Whether a new cartridge may be started: everything that can stop one stops it here.

Once the specimen is on the well no lot, no operator's standing and no overdue
control sample may cost a person their result. So whatever is not in order is
refused at the label, never at the read.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.board.controls_due import INVALIDS_BEFORE_WARNING
from readbell.core.board.owing import TESTED_TODAY
from readbell.core.board.paper_runs import is_on_paper
from readbell.core.board.patients import refuse_patient
from readbell.core.board.repeats import asks_for_repeat, refuse_further
from readbell.core.board.samples import refuse_material
from readbell.core.board.shifts import is_label_taken, refuse_outside_shift
from readbell.core.board.start_checks import stands_against
from readbell.core.cartridge.events import CartridgeLabelled, SubjectKind
from readbell.core.cartridge.looks import as_at
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.stock.lot import refuse_lot

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from readbell.core.board.board import Board
    from readbell.core.cartridge.acts import Label
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.controls.material import Material
    from readbell.core.instant import Instant
    from readbell.core.stock.lot import Lot

TWO_INVALIDS = "two-invalids"


def decide_label(board: Board, act: Label, now: Instant) -> tuple[CartridgeLabelled] | Refusal:
    """Judge the start of a cartridge."""
    aim = act.aim
    operator = board.operators.get(aim.by)
    if operator is None:
        return Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=aim.by)
    if is_label_taken(board, aim.cartridge) or is_on_paper(board, aim.cartridge, act.day_began):
        return Refusal(code=RefusalCode.LABEL_IN_USE, subject=aim.cartridge)
    if aim.scanned is not None and aim.scanned != aim.cartridge:
        return Refusal(code=RefusalCode.WRONG_CARTRIDGE, subject=aim.scanned)
    outside = refuse_outside_shift(board)
    if outside is not None:
        return outside
    subject = _subject(board, act)
    if isinstance(subject, Refusal):
        return subject
    lot = board.lots.get(act.lot)
    if lot is None:
        return Refusal(code=RefusalCode.UNKNOWN_LOT, subject=act.lot)
    refused = _refuse_lot(board, lot, act)
    if refused is not None:
        return refused
    for_patient = act.subject_kind is SubjectKind.PATIENT
    assay = board.assays[lot.assay].assay
    refused = refuse_patient(board, act, subject, assay) if for_patient else None
    if refused is not None:
        return refused
    warned = stands_against(board, lot, operator, for_patient=for_patient, today=act.today, now=now)
    if isinstance(warned, Refusal):
        return warned
    refused = refuse_one_more(board, subject, assay.id, now) if for_patient else None
    if refused is not None:
        return refused
    earlier = list(_earlier(board, subject, assay.id, now))
    return (
        CartridgeLabelled(
            at=now,
            by=operator,
            cartridge=act.new_id,
            label=aim.cartridge,
            subject=subject,
            subject_kind=_kind(board, act),
            lot=lot.number,
            assay=lot.assay,
            repeat_of=_repeats(earlier),
            identified=aim.identified,
            warnings=(*_warnings(earlier, act.day_began), *warned),
            place=act.place,
        ),
    )


def refuse_one_more(board: Board, subject: str, assay_id: str, now: Instant) -> Refusal | None:
    """Say why the person with this key gets no further test by this assay at `now`, or None.

    It is asked before a pouch is opened, and once more at the label.
    """
    return refuse_further(board, list(_earlier(board, subject, assay_id, now)), now)


def _subject(board: Board, act: Label) -> str | Refusal:
    """Return the key of the person, or of the control material, that the cartridge is for."""
    named = act.aim.person
    if act.subject_kind is not SubjectKind.PATIENT:
        material = _material(board, act)
        if material is None:
            return Refusal(code=RefusalCode.UNKNOWN_SAMPLE, subject=named or "")
        return material.key
    subject = None if named is None else board.persons.get(named)
    return Refusal(code=RefusalCode.UNKNOWN_PERSON) if subject is None else subject


def _material(board: Board, act: Label) -> Material | None:
    named = act.aim.person
    return None if named is None else board.samples.materials.get(named)


def _kind(board: Board, act: Label) -> SubjectKind:
    """Return for whom it is run; which sort of sample it is follows from the material."""
    material = None if act.subject_kind is SubjectKind.PATIENT else _material(board, act)
    return SubjectKind.PATIENT if material is None else material.subject_kind


def _refuse_lot(board: Board, lot: Lot, act: Label) -> Refusal | None:
    """Say why no cartridge is taken from `lot` for this subject.

    On a lot that is on hold control samples may still be run, so that whoever is to
    release it has something to go by; on one that was called back nothing is.
    """
    if act.subject_kind is SubjectKind.PATIENT:
        return refuse_lot(lot, act.today)
    material = _material(board, act)
    refused = refuse_lot(replace(lot, on_hold=lot.is_recalled), act.today)
    if refused is not None or material is None:
        return refused
    return refuse_material(material, act.today, board.assays[lot.assay].assay.id)


def calls_for_control_samples(board: Board, cartridge: Cartridge) -> bool:
    """Say whether `cartridge`, now invalid, makes it one too many for its person."""
    subject, assay = cartridge.labelled.subject, cartridge.assay.id
    known = [board.cartridge(each) for each in board.history.get(subject, ())]
    return _is_read_invalid(cartridge) and _too_many(
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


def _warnings(earlier: list[Cartridge], day_began: Instant | None) -> tuple[str, ...]:
    too_many = (TWO_INVALIDS,) if _too_many(earlier) else ()
    # A repeat is no second test: of those nothing came.
    again = day_began is not None and any(
        each.labelled.at >= day_began and not asks_for_repeat(each) for each in earlier
    )
    return (*too_many, TESTED_TODAY) if again else too_many


def _too_many(cartridges: Iterable[Cartridge]) -> bool:
    return sum(map(_is_read_invalid, cartridges)) >= INVALIDS_BEFORE_WARNING


def _is_read_invalid(cartridge: Cartridge) -> bool:
    """Say whether somebody saw that it had not run: of one that lapsed nobody knows."""
    return cartridge.outcome is Outcome.INVALID and cartridge.reading is not None

"""Control materials come in; what is read of a sample is held against what it had to show."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from readbell.core.board.events import Mode
from readbell.core.board.subjects import is_patients, labelled_since, material_of
from readbell.core.cartridge.events import CartridgeRead, ReadingCorrected, ResultAmended
from readbell.core.cartridge.stage import LIFE
from readbell.core.controls.acts import OpenMaterial, ReceiveMaterial
from readbell.core.controls.events import MaterialOpened, MaterialReceived, SampleJudged
from readbell.core.controls.material import SampleKind, expected_of
from readbell.core.controls.verdict import Verdict, judge_sample
from readbell.core.instant import Span, later
from readbell.core.reading.interpretation import LineOutcome, Outcome
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import HoldReason

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from readbell.core.assay.assay import Assay
    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.controls.acts import SampleAct
    from readbell.core.controls.material import Material
    from readbell.core.instant import Instant

_EXPECTABLE = (Outcome.POSITIVE, Outcome.NEGATIVE)


def decide_sample(
    board: Board, act: SampleAct, now: Instant
) -> tuple[MaterialReceived | MaterialOpened, ...] | Refusal:
    """Judge an act on a control material."""
    match act:
        case ReceiveMaterial():
            return _receive(board, act, now)
        case OpenMaterial():
            by = board.operators.get(act.by)
            if by is None:
                return Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=act.by)
            material = board.samples.materials.get(act.number)
            if material is None:
                return Refusal(code=RefusalCode.UNKNOWN_SAMPLE, subject=act.number)
            if act.today > material.expires:
                return Refusal(code=RefusalCode.SAMPLE_EXPIRED, subject=_dated(material))
            return (MaterialOpened(at=now, by=by, number=act.number, on=act.today),)
        case _:
            assert_never(act)


def refuse_material(material: Material, today: date, assay: str) -> Refusal | None:
    """Say why no sample of `material` may be run with a kit of `assay` today."""
    if material.assay != assay:
        subject = f"{material.assay}, {assay}"
        return Refusal(code=RefusalCode.BOX_OF_ANOTHER_ASSAY, subject=subject)
    if today > material.good_until:
        return Refusal(code=RefusalCode.SAMPLE_EXPIRED, subject=_dated(material))
    return None


def with_verdict(
    board: Board, cartridge: Cartridge, decided: tuple[Event, ...] | Refusal
) -> tuple[Event, ...] | Refusal:
    """Return what comes of a reading, with what follows for the lot if it is of a control sample.

    After a sample that failed nobody can say which results since the last one that
    passed are right, so a supervisor looks at each of them.
    """
    material = material_of(board, cartridge)
    if material is None or isinstance(decided, Refusal):
        return decided
    (event,) = decided
    assert isinstance(event, (CartridgeRead, ReadingCorrected, ResultAmended))  # noqa: S101  # nothing else comes of one
    verdict = judge_sample(material, event.outcomes)
    lot = cartridge.labelled.lot
    failed = verdict is Verdict.FAILED
    concerned = tuple(since_last_pass(board, lot, material.kind)) if failed else ()
    judged = SampleJudged(
        at=event.at,
        by=event.by,
        cartridge=cartridge.id,
        material=material.number,
        lot=lot,
        verdict=verdict,
        concerned=tuple(each.id for each in concerned),
    )
    held = held_for(concerned, HoldReason.CONTROL_FAILED, event.by, event.at)
    return event, judged, *held


def held_for(
    cartridges: tuple[Cartridge, ...], reason: HoldReason, by: str, now: Instant
) -> Iterator[ReadingHeld]:
    """Yield the mark on each of `cartridges` that may have a result and is not so marked yet."""
    for each in cartridges:
        # Void is as well what was taken back after a positive seen early, while it ran.
        if ReadingHeld in LIFE[each.stage] and reason not in each.held:
            yield ReadingHeld(at=now, by=by, cartridge=each.id, reasons=(reason,))


def since_last_pass(board: Board, lot: str, kind: SampleKind) -> Iterator[Cartridge]:
    """Yield the patients' cartridges of a lot that no sample of this kind has passed after."""
    proof = board.samples.record(lot).proof(kind)
    # Before the lot came in nothing was run on it.
    since = board.lots[lot].deliveries[0].at if proof is None else later(proof.at, Span(1))
    for each in reversed([*labelled_since(board, since)]):
        if each.labelled.lot == lot and is_patients(each) and each.voided is None:
            yield each


def _receive(board: Board, act: ReceiveMaterial, now: Instant) -> tuple[MaterialReceived] | Refusal:
    rehearsal = board.founded is not None and board.founded.mode is Mode.REHEARSAL
    by = None if act.by is None else board.operators.get(act.by)
    if by is None and not (act.by is None and rehearsal):
        return Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=act.by or "")
    taken = (
        board.samples.materials,
        board.persons,
        board.operators,
        board.lots,
        board.labels,
    )
    if any(act.number in each for each in taken):
        return Refusal(code=RefusalCode.ALREADY_KNOWN, subject="number")
    adopted = board.assay_called(act.assay)
    if adopted is None:
        return Refusal(code=RefusalCode.NOT_ADOPTED, subject=act.assay)
    expected = _expected(act, adopted.assay)
    if expected is None:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject="expected lines")
    return (
        MaterialReceived(
            at=now,
            by=by,
            number=act.number,
            kind=act.kind,
            assay_id=act.assay,
            expires=act.expires,
            expected=expected,
            good_after_opening=act.good_after_opening,
        ),
    )


def _expected(act: ReceiveMaterial, assay: Assay) -> tuple[LineOutcome, ...] | None:
    """Return what each line has to come to, in the device's order; None if that cannot be so."""
    if not act.expected:
        return expected_of(act.kind, assay.line_keys)
    if act.kind is SampleKind.BLIND:
        return None
    said: dict[str, Outcome] = {}
    for each in act.expected:
        line = assay.line(each.line)
        if line is None or line.key in said or each.outcome not in _EXPECTABLE:
            return None
        said[line.key] = each.outcome
    any_positive = Outcome.POSITIVE in said.values()
    if set(said) != set(assay.line_keys) or any_positive is not (act.kind is SampleKind.POSITIVE):
        return None
    return tuple(LineOutcome(line=key, outcome=said[key]) for key in assay.line_keys)


def _dated(material: Material) -> str:
    return f"{material.number} ({material.good_until})"

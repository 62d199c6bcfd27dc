"""What stands against a start, told before a pouch is opened for it: afterwards it is one lost."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.competence import ASKS_WITNESS, wants_supervisor
from readbell.core.board.label import refuse_one_more
from readbell.core.board.samples import refuse_material
from readbell.core.board.shifts import refuse_outside_shift
from readbell.core.board.start_checks import stands_against
from readbell.core.refusal import Refusal
from readbell.core.stock.lot import refuse_lot
from readbell.phrases.refusals import Tried, say_refusal
from readbell.phrases.stock_words import say_warnings

if TYPE_CHECKING:
    from readbell.hand.hand import Hand
    from readbell.hand.scene import Scene

SHUT = "Open no pouch."


def in_the_way(
    hand: Hand, scene: Scene, box: str | None, *, person: str, is_sample: bool = False
) -> str | None:
    """Say why the label of a device from a box would be refused now, or None.

    Nothing was tried yet, so nothing is recorded; the bay itself judges once more at the label.

    Args:
        hand: who is at work.
        scene: the bay.
        box: number of its lot; None: none is open yet.
        person: ID of the person it is for, or number of the control material.
        is_sample: whether it is for a control sample.
    """
    found: Refusal | tuple[str, ...] | None = _found(hand, scene, box, is_sample=is_sample)
    if not isinstance(found, Refusal):
        asks = _of_material if is_sample else _no_more
        found = asks(person, box, scene)
    if not isinstance(found, Refusal):
        found = _of_supervisor(hand, scene, box, is_sample=is_sample)
    if not isinstance(found, Refusal) or found.subject in ASKS_WITNESS:
        return None
    said = say_refusal(found, Tried(cartridge="", now=scene.now), scene.face)
    return f"{SHUT} {said}"


def witness_wanted(
    hand: Hand, scene: Scene, box: str | None, *, is_sample: bool = False
) -> str | None:
    """Say why a supervisor has to stand by when a device from a box is labelled, or None."""
    found = _of_supervisor(hand, scene, box, is_sample=is_sample)
    if found is None or found.subject not in ASKS_WITNESS:
        return None
    return say_refusal(found, Tried(cartridge="", now=scene.now), scene.face)


def warned_of(hand: Hand, scene: Scene, box: str | None, *, is_sample: bool = False) -> str:
    """Return what the start would be warned of and is allowed all the same, each a sentence."""
    found = _found(hand, scene, box, is_sample=is_sample)
    return "" if isinstance(found, Refusal) else say_warnings(found).strip()


def _no_more(person: str, box: str | None, scene: Scene) -> Refusal | None:
    """Say why this person gets no further test from a box, or None."""
    board = scene.board
    subject, lot = board.persons.get(person), board.lots.get(box or "")
    if subject is None or lot is None:
        return None
    return refuse_one_more(board, subject, board.assays[lot.assay].assay.id, scene.now)


def _of_material(number: str, box: str | None, scene: Scene) -> Refusal | None:
    """Say why no sample of this control material is run from a box, or None."""
    board, today = scene.board, scene.face.local(scene.now).date()
    material, lot = board.samples.materials.get(number), board.lots.get(box or "")
    if material is None or lot is None:
        return None
    return refuse_material(material, today, board.assays[lot.assay].assay.id)


def _found(
    hand: Hand, scene: Scene, box: str | None, *, is_sample: bool
) -> Refusal | tuple[str, ...]:
    board, today = scene.board, scene.face.local(scene.now).date()
    outside = refuse_outside_shift(board)
    if outside is not None:
        return outside
    lot, operator = board.lots.get(box or ""), board.operators.get(hand.operator or "")
    if lot is None or operator is None:
        return ()  # what is missing is said in words of its own
    refused = refuse_lot(lot, today)
    if refused is not None:
        return refused
    return stands_against(
        board, lot, operator, for_patient=not is_sample, today=today, now=scene.now
    )


def _of_supervisor(hand: Hand, scene: Scene, box: str | None, *, is_sample: bool) -> Refusal | None:
    board, today = scene.board, scene.face.local(scene.now).date()
    lot, operator = board.lots.get(box or ""), board.operators.get(hand.operator or "")
    if lot is None or operator is None:
        return None
    return wants_supervisor(board, lot, operator, today, for_patient=not is_sample)

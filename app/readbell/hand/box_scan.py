"""The barcode of a box was scanned: a lot that is known stands for it, a new one begins a form."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.barcodes.gs1 import BoxCode, BoxFault, is_box_code, read_box
from readbell.hand import lot_correction_form
from readbell.hand.code_of_box import CODE, CODED, as_scanned
from readbell.hand.doing import Filling, Labelling, Paper, Visiting, Watching
from readbell.hand.finding import Thing, find
from readbell.hand.given import Given, Scanned
from readbell.hand.hand import Hand, Turn, only

if TYPE_CHECKING:
    from readbell.hand.scene import Scene


def as_box(hand: Hand, given: Given, scene: Scene) -> Given | Turn:
    """Return `given` as it is, or what the code of a box stands for.

    What is somebody's ID here is never taken for a box, whatever its form.
    """
    if not isinstance(given, Scanned) or not is_box_code(given.text):
        return given
    if find(scene.board, given.text).thing not in (Thing.UNKNOWN, Thing.TWO_IN_ONE):
        return given
    code = read_box(given.text, scene.face.local(scene.now).year)
    if isinstance(code, BoxFault):
        return only(hand.saying(code.why, fine=False))
    lot = lot_correction_form.lot_in_hand(hand.doing, scene)
    if lot is not None and isinstance(hand.doing, Filling):
        return lot_correction_form.scanned(hand, hand.doing, lot, given.text, code)
    return _known(hand, given, code, scene) or only(_new(hand, given.text, code, scene))


def _known(hand: Hand, given: Scanned, code: BoxCode, scene: Scene) -> Given | Turn | None:
    """Return the number of the lot, if it is known here and the code says the same of it."""
    lot = scene.board.lots.get(code.lot or "")
    if lot is None:
        return None
    if code.expires not in (None, lot.expires):
        words = (
            f"Lot {lot.number} is good to {lot.expires} on record, and to {code.expires} by this "
            "code: a lot has one last day. Nothing was done. Look at the box. "
            "If the record is wrong: F9, Lots, F6 corrects it."
        )
        return only(hand.saying(words, fine=False))
    return Scanned(lot.number, given.how)


def _new(hand: Hand, text: str, code: BoxCode, scene: Scene) -> Hand:
    """Return the hand with the form of a new box that has what its code says."""
    doing = hand.doing
    if isinstance(doing, Filling) and doing.paper is Paper.LOT:
        before = {key: each for key, each in doing.answers if key not in (CODE, CODED)}
    elif isinstance(doing, (Watching, Visiting)):
        before = {}
    else:
        words = f"Lot {code.lot or ''} was never received here. "
        tail = (
            "Label from the box that is open, or Esc and then F9 takes it in."
            if isinstance(doing, Labelling)
            else "Finish this first; then F9 takes it in."
        )
        return hand.saying(f"{words}{tail}", fine=False)
    if not scene.board.assays:
        return hand.saying(
            "No assay is adopted yet. Adopt one first, in the rooms: F9.", fine=False
        )
    if code.expires is not None and code.expires < scene.face.local(scene.now).date():
        return hand.saying(f"{_past(code)} Nothing was taken in. Put this box away.", fine=False)
    return _filled(hand, {**before, **_answers(code, scene), **as_scanned(text, code)})


def _past(code: BoxCode) -> str:
    lot = f"Lot {code.lot}" if code.lot else "This box"
    return f"{lot} was good to {code.expires}: it is past its last day."


def _answers(code: BoxCode, scene: Scene) -> dict[str, str]:
    ids = list(dict.fromkeys(each.assay.id for each in scene.board.assays.values()))
    tied = scene.board.stock_room.gtins.get(code.gtin or "")
    found = {
        "number": code.lot,
        "expires": None if code.expires is None else code.expires.isoformat(),
        "gtin": code.gtin,
        # Tied by somebody before, or with one assay adopted nothing to choose.
        "assay": tied or (ids[0] if len(ids) == 1 else None),
    }
    return {key: value for key, value in found.items() if value is not None}


def _filled(hand: Hand, answers: dict[str, str]) -> Hand:
    keys = ("number", "assay", "expires", "units")
    cursor = next((place for place, key in enumerate(keys) if key not in answers), len(keys) - 1)
    doing = Filling(paper=Paper.LOT, answers=tuple(answers.items()), cursor=cursor)
    words = f"A new box, lot {answers['number']}" if "number" in answers else "A new box"
    day = f", good to {answers['expires']}" if "expires" in answers else ""
    return hand.now_doing(doing).saying(f"{words}{day}. Hold it against the box, then F2.")

"""Which of the open boxes a start takes from: of each assay one may stand open.

The box in front, whose code was scanned last, gives the next cartridge, unless something says by
which assay it has to be: a control material is of one assay, a repeat is by the assay that it
repeats, and consent may have been given for some assays alone. Nothing else is guessed, and of
two boxes that would do it is the one in front.
"""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.board.patients import file_of
from readbell.core.board.repeats import gets_no_repeat
from readbell.core.made_later import dataclass
from readbell.core.people.events import ConsentNoted

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant


class Why(StrEnum):
    """What says that it is this box, and no other."""

    IN_FRONT = "in-front"
    """Nothing else does."""
    MATERIAL = "material"
    """A control material is of its assay."""
    REPEAT = "repeat"
    """A cartridge of its assay is to be repeated."""
    CONSENT = "consent"
    """Consent was given for its assay, and not for that of the box in front."""
    NO_REPEAT = "no-repeat"
    """Nothing does: of the assay that is to be repeated no box stands open."""


@dataclass(frozen=True, slots=True)
class WhichBox:
    """The box of a start."""

    lot: str | None
    """Number of its lot; None: no box stands open that would do."""
    why: Why = Why.IN_FRONT
    repeats: str = ""
    """Label of the cartridge that is to be repeated, where that is said of it."""


def is_open(board: Board, lot: str) -> bool:
    """Say whether a box of this lot stands open."""
    return lot in board.open_boxes.values()


def assay_of(board: Board, lot: str | None) -> str | None:
    """Return the id of the assay that a lot is for; None: there is no such lot."""
    found = None if lot is None else board.lots.get(lot)
    return None if found is None else board.assays[found.assay].assay.id


def box_for_sample(board: Board, material: str) -> WhichBox:
    """Return the box that a sample of this control material is run from: one of its own assay."""
    known = board.samples.materials.get(material)
    if known is None:
        return WhichBox(board.open_lot)
    return WhichBox(_open_of(board, (known.assay,)), Why.MATERIAL)


def box_for_person(
    board: Board, person: str | None, *, since: Instant, day_began: Instant
) -> WhichBox:
    """Return the box that the next cartridge of a person is taken from.

    Args:
        board: the bay.
        person: the person's key; None: they are not known yet.
        since: from when on a cartridge is one of this visit.
        day_began: when the day began on which consent has to be given.
    """
    if person is None:
        return WhichBox(board.open_lot)
    agreed = _agreed(board, person, day_began)
    owed = {
        each.assay.id: each.label
        for each in _owed(board, person, since)
        if not agreed or each.assay.id in agreed
    }
    lot = _open_of(board, owed)
    if lot is not None:
        repeated = owed[assay_of(board, lot) or ""]
        return WhichBox(lot) if lot == board.open_lot else WhichBox(lot, Why.REPEAT, repeated)
    lot = _open_of(board, agreed) or board.open_lot
    if owed and lot is not None:
        return WhichBox(lot, Why.NO_REPEAT, [*owed.values()][-1])
    return WhichBox(lot, Why.IN_FRONT if lot == board.open_lot else Why.CONSENT)


def _open_of(board: Board, assays: Collection[str]) -> str | None:
    """Return the lot of the open box of one of `assays`: in front if it can be, else opened last."""
    if assay_of(board, board.open_lot) in assays:
        return board.open_lot
    lots = [lot for assay, lot in board.open_boxes.items() if assay in assays]
    return lots[-1] if lots else None


def _agreed(board: Board, person: str, day_began: Instant) -> tuple[str, ...]:
    """Return the ids of the assays that consent of today names; none: it names no assay."""
    consent = file_of(board, person).consent
    if not isinstance(consent, ConsentNoted) or consent.at < day_began:
        return ()
    return consent.assays


def _owed(board: Board, person: str, since: Instant) -> Iterator[Cartridge]:
    """Yield the cartridges of this visit that are owed a repeat which the person still gets."""
    for each in board.history.get(person, ()):
        found = board.ended[each] if each in board.owed else None
        if found is not None and found.labelled.at >= since and not gets_no_repeat(board, found):
            yield found

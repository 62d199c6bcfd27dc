"""From which box the pouch of a turn comes, and which others stand open beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.which_box import (
    WhichBox,
    Why,
    assay_of,
    box_for_person,
    box_for_sample,
    is_open,
)
from readbell.core.instant import MINUTE, Span, earlier

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.hand.doing import Labelling
    from readbell.hand.scene import Scene

ONE_VISIT = Span(12 * 60 * MINUTE)
"""A person who comes again later is somebody new to the bench (our own choice)."""
SCAN_FIRST = "Scan the lot of the box first."


def first_box(person: str, scene: Scene, *, is_sample: bool) -> WhichBox:
    """Return the box that is offered for a person, or for a control material, as things stand."""
    board = scene.board
    if is_sample:
        return box_for_sample(board, person)
    since = earlier(scene.now, ONE_VISIT)
    key = board.persons.get(person)
    return box_for_person(board, key, since=since, day_began=scene.day_began)


def box_in_hand(doing: Labelling, scene: Scene) -> str | None:
    """Return the lot that the label of this turn names; None: a box is to be scanned first.

    What was said at the beginning of the turn stays, whatever is scanned at another station
    meanwhile: the pouch may be open.
    """
    said = None if doing.box is None else doing.box.lot
    if said is None:
        return first_box(doing.person, scene, is_sample=doing.is_sample).lot
    return said if is_open(scene.board, said) else None


def other_boxes(doing: Labelling, scene: Scene) -> tuple[str, ...]:
    """Return the other lots that stand open and would do, those behind the one in hand first."""
    board, lot = scene.board, box_in_hand(doing, scene)
    would_do = [
        each for each in board.open_boxes.values() if not _is_of_another(each, doing, board)
    ]
    place = would_do.index(lot) if lot in would_do else -1
    return (*would_do[place + 1 :], *would_do[: max(place, 0)])


def _is_of_another(lot: str, doing: Labelling, board: Board) -> bool:
    """Say whether a control material is in hand that is of another assay than `lot`."""
    material = board.samples.materials.get(doing.person) if doing.is_sample else None
    return material is not None and material.assay != assay_of(board, lot)


def title_of(board: Board, lot: str | None) -> str:
    """Return what a lot tests for; nothing if there is none.

    Two kinds of kit stand on many benches, and a lot number says to nobody which of them it is.
    """
    known = None if lot is None else board.lots.get(lot)
    adopted = None if known is None else board.assays.get(known.assay)
    return "" if adopted is None else adopted.assay.title


def say_why(doing: Labelling) -> str:
    """Return what says that it is this box, as a sentence, or that it is not the one to be expected."""
    box = WhichBox(None) if doing.box is None else doing.box
    match box.why:
        case Why.REPEAT:
            return f"{box.repeats} is to be repeated."
        case Why.NO_REPEAT:
            return f"{box.repeats} is to be repeated, and this box is for another test."
        case Why.CONSENT:
            return "Consent was given for this test alone."
        case _:
            return ""


def say_no_box(doing: Labelling, scene: Scene) -> str:
    """Return what is to be scanned before a pouch is opened, where no box in hand stands open."""
    board = scene.board
    if doing.box is not None and doing.box.lot is not None:
        return f"The box of lot {doing.box.lot} stands open no more. {SCAN_FIRST}"
    material = board.samples.materials.get(doing.person) if doing.is_sample else None
    adopted = None if material is None else board.assay_called(material.assay)
    if adopted is not None and len(board.assays) > 1:
        return f"No box is open of {adopted.assay.title}. {SCAN_FIRST}"
    others = other_boxes(doing, scene)
    if others:
        return f"No box is in front. {SCAN_FIRST} {say_others(others, board)}"
    return f"No box is open. {SCAN_FIRST}"


def say_others(lots: tuple[str, ...], board: Board) -> str:
    """Return what else stands open, and what each of them tests for; nothing if nothing does."""
    said = "; ".join(f"lot {each}, {title_of(board, each)}" for each in lots)
    return f"Also open: {said}." if said else ""

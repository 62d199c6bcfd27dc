"""Whom or what a cartridge is run for, by what was scanned: a person, or a control material."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.layered import backwards
from readbell.core.cartridge.events import SubjectKind
from readbell.core.instant import earlier

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.controls.material import Material
    from readbell.core.instant import Instant


def is_patients(cartridge: Cartridge) -> bool:
    """Say whether what is read of `cartridge` is a patient's; of nothing else is it told as one."""
    return cartridge.labelled.subject_kind is SubjectKind.PATIENT


def material_of(board: Board, cartridge: Cartridge) -> Material | None:
    """Return the control material that `cartridge` is run for; None: it is a patient's."""
    if is_patients(cartridge):
        return None
    subject = cartridge.labelled.subject
    return next((each for each in board.samples.materials.values() if each.key == subject), None)


def labelled_since(board: Board, since: Instant | None) -> Iterator[Cartridge]:
    """Yield the cartridges labelled at `since` or later, the newest first; None: all.

    What is older is not looked at: after years there is very much of it.
    """
    for cartridge_id in backwards(board.order):
        found = board.cartridge(cartridge_id)
        if found is None or (since is not None and is_behind(board, found.labelled.at, since)):
            return
        if since is None or found.labelled.at >= since:
            yield found


def is_behind(board: Board, at: Instant, since: Instant) -> bool:
    """Say whether nothing recorded before what was at `at` can have been at `since` or later.

    Whoever walks back from the newest stops there. What only lies before `since` stops nobody:
    a station that was alone may have done it, and others worked meanwhile.
    """
    return at < earlier(since, board.out_of_order)


def is_subject(board: Board, cartridge: Cartridge, read_back: str) -> bool:
    """Say whether what was read back names the one that `cartridge` is run for."""
    if is_patients(cartridge):
        return board.persons.get(read_back) == cartridge.labelled.subject
    material = board.samples.materials.get(read_back)
    return material is not None and material.key == cartridge.labelled.subject

"""Whose turn is next: who came in a party and has no cartridge yet.

A party is registered at once, yet each pouch is opened only at its person's
turn, so that no device stands open or labelled ahead.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.people.party import Party


def to_start(board: Board) -> tuple[str, ...]:
    """Return the keys of those still to be started, the first party's first, in its order.

    Whoever came again with a later party waits with that one alone.
    """
    return tuple(
        person
        for party in board.parties.values()
        for person in party.persons
        if board.came_with.get(person) == party.key and not _has_started(board, person, party)
    )


def _has_started(board: Board, person: str, party: Party) -> bool:
    """Say whether `person` was given a cartridge after `party` was registered."""
    known = (board.cartridge(each) for each in board.history.get(person, ()))
    return any(each is not None and each.ordinal > party.cartridges_before for each in known)

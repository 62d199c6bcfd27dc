"""The rooms of those who work here and of what is held for review, as tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.review import awaiting_review
from readbell.phrases.apart_words import say_both_sides
from readbell.phrases.of_cartridges import OUTCOMES
from readbell.phrases.review_words import (
    say_holds,
    say_new_specimens,
    say_otherwise,
    say_read_by,
    say_readings,
)
from readbell.phrases.staff_words import say_cleared, say_roles, state_of
from readbell.ui.form import Painted
from readbell.ui.ink import Piece, Token, line
from readbell.ui.table import table
from readbell.ui.wrapped import PROSE, wrapped

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.hand.doing import Visiting
    from readbell.hand.scene import Scene
    from readbell.ui.ink import Line
    from readbell.ui.table import Row

WIDE_FROM = 140
NOBODY = "Nobody is registered yet. F2 registers the first."
NOTHING_HELD = (
    "Nothing is held for review. F6 says anew what was on a strip, F12 takes a result back."
)
HIDDEN = "hidden"
BELOW = 8
"""Rows that the chosen one's particulars take at most."""


def people_room(doing: Visiting, scene: Scene, width: int, height: int) -> Painted:
    """Return who works here: state and roles; below the table what the chosen one is cleared for."""
    board = scene.board
    if not board.operators:
        return _said(NOBODY, width)
    at = (3, 22, 40, 70) if width >= WIDE_FROM else (3, 20, 35, width)
    heads = ("operator", "state", "roles", "cleared for")
    head: Row = ("", tuple(zip(at, heads, strict=True))[: 4 if width >= WIDE_FROM else 3])
    rows: list[Row] = []
    for name, key in board.operators.items():
        words = (name, state_of(board, key), say_roles(board.roster.roles_of(key)))
        cleared = "; ".join(say_cleared(each) for each in board.roster.standing(key).cleared)
        said = (*words, cleared) if width >= WIDE_FROM else words
        rows.append((name, tuple(zip(at, said, strict=False))))
    below = _cleared(board, rows[min(doing.cursor, len(rows) - 1)][0], width)
    shown = below[: max(0, min(BELOW, height - 2))]
    made = table(head, rows, doing.cursor, width, max(2, height - len(shown)))
    return made.then(Painted(tuple(shown)))


def review_room(doing: Visiting, scene: Scene, width: int, height: int, *, masked: bool) -> Painted:
    """Return what waits for a supervisor; below the table why the chosen one does."""
    held = awaiting_review(scene.board)
    wanted = [] if masked else _told(say_new_specimens(scene.board), width)
    if not held:
        return _said(NOTHING_HELD, width).then(Painted(tuple(wanted)))
    at = (3, 12, 28, 42)
    head: Row = ("", tuple(zip(at, ("cart.", "patient", "seen", "read by"), strict=True)))
    rows: list[Row] = [
        (each.id, tuple(zip(at, _of(each, scene, masked), strict=True))) for each in held
    ]
    chosen = held[min(doing.cursor, len(held) - 1)]
    why = (
        f"{chosen.label} is held: {say_holds(chosen.held)}. F3 releases it, F6 says anew what "
        "was on it, F12 takes it back."
    )
    known = (chosen, scene.board, scene.face)
    seen = [] if masked else [*say_readings(*known), *say_both_sides(*known)]
    seen += say_otherwise(chosen, scene.board)
    below = [line(), *(part for each in (why, *seen) for part in _told(each, width)), *wanted]
    shown = below[: max(0, min(BELOW, height - 2))]
    made = table(head, rows, doing.cursor, width, max(2, height - len(shown)))
    return made.then(Painted(tuple(shown)))


def _of(cartridge: Cartridge, scene: Scene, masked: bool) -> tuple[str, ...]:
    outcome = "" if cartridge.outcome is None else OUTCOMES[cartridge.outcome]
    return (
        cartridge.label,
        HIDDEN if masked else scene.person_of(cartridge),
        HIDDEN if masked else outcome,
        say_read_by(cartridge, scene.board, scene.face),
    )


def _cleared(board: Board, name: str, width: int) -> list[Line]:
    """Return what the chosen one is cleared for, where the table has no column for it."""
    if width >= WIDE_FROM:
        return []
    cleared = board.roster.standing(board.operators[name]).cleared
    if not cleared:
        return []
    said = f"{name} is cleared for: {'; '.join(say_cleared(each) for each in cleared)}."
    told = [
        line("  ", Piece(each, Token.SOFT)) for each in wrapped(said, max(1, min(width - 4, PROSE)))
    ]
    return [line(), *told]


def _told(words: str, width: int) -> list[Line]:
    """Return `words` in lines below a table; nothing of nothing."""
    if not words:
        return []
    return [
        line("  ", Piece(each, Token.TEXT))
        for each in wrapped(words, max(1, min(width - 4, PROSE)))
    ]


def _said(words: str, width: int) -> Painted:
    told = wrapped(words, max(1, min(width - 4, PROSE)))
    return Painted(tuple(line("  ", Piece(each, Token.SOFT)) for each in told))

"""The room of the shift: what is checked before it, and what it would end with."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.closing_checks import left_undone
from readbell.core.board.opening_checks import opening_checks
from readbell.core.board.review import own_reviews
from readbell.core.policy.shifts import Shifts
from readbell.core.shift.checks import CheckState, Facts
from readbell.hand.shift_room import advice
from readbell.phrases.day_sheet_words import OWN_REVIEWS, say_own_reviews
from readbell.phrases.shift_words import (
    NOT_ALLOWED,
    SIGNS,
    say_check,
    say_closed,
    say_left,
)
from readbell.ui.ink import Line, Piece, Token, line
from readbell.ui.wrapped import wrapped

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.shift.checks import Check
    from readbell.hand.doing import Visiting
    from readbell.hand.scene import Scene

LOOKED_AT_THEN = "Files, disk, record, clock and settings are looked at when F2 opens the shift."
CLEAN = "Nothing is left undone: the shift can be closed clean."

_TOKENS = {
    CheckState.FINE: Token.SOFT,
    CheckState.DUE: Token.TEXT,
    CheckState.FAULT: Token.HANDS,
    CheckState.UNKNOWN: Token.SOFT,
}
_Said = tuple[str, Token, bool]


def shift_room(doing: Visiting, scene: Scene, width: int, height: int) -> tuple[Line, ...]:
    """Return what the room says, cut to `height` lines; what was signed last goes first."""
    lines = [
        # What goes on in a further row is set in: each sign stands for one thing.
        line("    " if number else "  ", Piece(each, token, bold=bold))
        for said, token, bold in _told(doing, scene)
        for number, each in enumerate(wrapped(said, max(1, width - 6)))
    ]
    if len(lines) > height:
        lines = [
            *lines[: max(0, height - 1)],
            line("  ", Piece(f"and {len(lines) - height + 1} more lines", Token.SOFT)),
        ]
    return tuple(lines[:height])


def _told(doing: Visiting, scene: Scene) -> Iterator[_Said]:
    board, face, book = scene.board, scene.face, scene.board.shift_book
    running = book.running
    today = face.local(scene.now).date()
    if running is None and board.policy.shifts is Shifts.OFF:
        yield NOT_ALLOWED["shifts off"], Token.SOFT, False
        return
    if running is None:
        yield "Before a shift", Token.TEXT, True
        checks = opening_checks(board, Facts(), scene.now, today, light=doing.light)
        yield from _list(each for each in checks if each.state is not CheckState.UNKNOWN)
        yield LOOKED_AT_THEN, Token.SOFT, False
        yield from _advice(scene)
    else:
        opened = f"{face.local(running.opened.at):%d %b} {face.time(running.opened.at)}"
        who = board.name(running.opened.by) or "erased"
        yield f"Shift {running.number} is open since {opened}, by {who}.", Token.TEXT, True
        left = left_undone(board, running.opened.at, scene.now, today)
        yield from ((f"! {say_left(each)}", Token.TEXT, False) for each in left)
        if not left:
            yield f"{SIGNS[CheckState.FINE]} {CLEAN}", Token.SOFT, False
        yield from _advice(scene)
        reviews = own_reviews(board, running.opened.at)
        if reviews:
            yield f"{OWN_REVIEWS}:", Token.TEXT, False
        for each in say_own_reviews(reviews, board, face):
            yield f"  {each}", Token.SOFT, False
        yield "As it was opened", Token.TEXT, True
        yield from _list(each for each in running.opened.checks)
    for shift in book.unsigned:
        ended = "" if shift.closed is None else say_closed(shift.closed.left)
        words = f"Day sheet of shift {shift.number} is NOT SIGNED; {ended}."
        yield words, Token.HANDS, True


def _advice(scene: Scene) -> Iterator[_Said]:
    """Yield what is proposed; it stands apart from the checks, as nothing hangs on it."""
    yield from ((f"* {each}", Token.TEXT, False) for each in advice(scene))


def _list(checks: Iterator[Check]) -> Iterator[_Said]:
    """Yield the checks, what asks for something first."""
    order = (CheckState.FAULT, CheckState.DUE, CheckState.UNKNOWN, CheckState.FINE)
    for each in sorted(checks, key=lambda check: order.index(check.state)):
        yield say_check(each), _TOKENS[each.state], each.state is CheckState.FAULT

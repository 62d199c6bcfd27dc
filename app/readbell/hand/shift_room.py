"""The room of the shift: opened with its checks, closed with what is left, signed for."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.board.closing_checks import left_undone
from readbell.core.board.opening_checks import opening_checks
from readbell.core.board.review import own_reviews
from readbell.core.board.shifts import SHIFTS_OFF
from readbell.core.board.stock import lots_on_hold
from readbell.core.policy.shifts import Shifts
from readbell.core.shift.checks import CheckState, Facts, LeftKind
from readbell.hand.asking import NOBODY, asked, stay, told
from readbell.hand.doing import Filling, Paper
from readbell.hand.given import Key
from readbell.hand.hand import Hand, Turn, only
from readbell.phrases.day_sheet_words import OWN_REVIEWS, say_own_reviews
from readbell.phrases.shift_words import LEFT, NOT_ALLOWED, say_check, say_left
from readbell.phrases.week_words import say_advice
from readbell.scenarios.shift_lines import CloseShiftLine, OpenShiftLine, SignSheetLine

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from readbell.bay.news import Answer
    from readbell.hand.asking import Then
    from readbell.hand.doing import Visiting
    from readbell.hand.question import Option
    from readbell.hand.scene import Scene

ASKED: tuple[tuple[str, str, tuple[Option, ...]], ...] = (
    ("why", f"Cartridges are {LEFT[LeftKind.UNFINISHED]}. Why the shift ends all the same", ()),
)
"""The one line of the form on which a shift is closed over what runs."""
NOT_OPEN = "No shift is open. F2 opens one."
IS_OPEN = "F6 closes the shift; once it is closed a supervisor signs its day sheet with F5."


def in_shift(hand: Hand, doing: Visiting, key: Key, scene: Scene) -> Turn:
    """Return what a key does in the room."""
    runs = scene.board.shift_book.running is not None
    by = hand.operator
    match key:
        case Key.DONE if not runs:
            said = "Said: strips are well lit here." if not doing.light else "Taken back."
            return only(hand.now_doing(replace(doing, light=not doing.light)).saying(said))
        case Key.START | Key.SECOND | Key.READ if by is None:
            return only(hand.saying(NOBODY, fine=False))
        case Key.START if by is not None and not runs:
            line = OpenShiftLine(do="open-shift", by=by, light=doing.light)
            return asked(hand, line, _opened(doing))
        case Key.READ if by is not None and scene.board.shift_book.unsigned:
            return asked(hand, SignSheetLine(do="sign-day-sheet", by=by), stay())
        case Key.SECOND if runs and scene.board.running:
            return only(hand.now_doing(Filling(paper=Paper.CLOSING)))
        case Key.SECOND if by is not None and runs:
            return asked(hand, CloseShiftLine(do="close-shift", by=by), stay())
        case _ if not runs and scene.board.policy.shifts is Shifts.OFF:
            return only(hand.saying(NOT_ALLOWED[SHIFTS_OFF]))
        case _:
            return only(hand.saying(IS_OPEN if runs else NOT_OPEN))


def _opened(doing: Visiting) -> Then:
    """Return how to go on once a shift is open: the next one asks for its light anew."""

    def then(hand: Hand, answer: Answer, scene: Scene) -> Hand:
        said = told(answer, scene)
        if not answer.accepted:
            return replace(hand, said=said)
        return hand.now_doing(replace(doing, light=False), said)

    return then


def line_of(said: Mapping[str, str], by: str) -> CloseShiftLine:
    """Return what the form asks of the bay."""
    return CloseShiftLine(do="close-shift", by=by, why=said["why"])


def advice(scene: Scene) -> tuple[str, ...]:
    """Return what is proposed of lots out of the ordinary: for people to decide, and no check.

    Nothing before it is counted, and where a site does not work in shifts.
    """
    if scene.week is None or scene.board.policy.shifts is Shifts.OFF:
        return ()
    return tuple(say_advice(scene.week, lots_on_hold(scene.board)))


def shift_aloud(scene: Scene) -> Iterator[str]:
    """Yield what the room shows, a line each: what is to be checked, or what is left undone."""
    board, since = scene.board, scene.board.shift_book.since
    today = scene.face.local(scene.now).date()
    if since is not None:
        yield from map(say_left, left_undone(board, since, scene.now, today))
        own = tuple(say_own_reviews(own_reviews(board, since), board, scene.face))
        yield from (f"{OWN_REVIEWS}: {each}" for each in own)
    elif board.policy.shifts is Shifts.ON:
        checks = opening_checks(board, Facts(), scene.now, today)
        yield from (say_check(each) for each in checks if each.state is not CheckState.UNKNOWN)
    yield from advice(scene)

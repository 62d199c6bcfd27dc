"""The call: what is most urgent in large digits, and beside it what comes next.

It has rows of its own that nothing else uses, so it neither covers nor moves
anything. Many at once are told as one, and none is left out of the count.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.attention import last_moment
from readbell.phrases.board_words import CALLS, Standing, Where, say_nothing_runs
from readbell.ui.at_rest import at_rest
from readbell.ui.beside import beside
from readbell.ui.call_digits import call_digits
from readbell.ui.ink import Line, Piece, Token, at_columns, line
from readbell.ui.row import ink_of, kept_to, patient_shown
from readbell.ui.standings import At, standings
from readbell.ui.wrapped import wrapped

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.phrases.clock_time import ClockFace
    from readbell.ui.glyphs import Glyphs
    from readbell.ui.measures import Measures

NOTHING_DUE = "Nothing due"
FEW_ROWS = 3
"""Up to so many rows only the most needed words are said."""
_TO_READ = (Where.CLOSING, Where.READ_NOW)
_QUIET = (Where.WAITING, Where.DEVELOPING, Where.EARLY_LOOK, Where.DO_WITHIN)


def call(
    board: Board,
    now: Instant,
    layout: Measures,
    glyphs: Glyphs,
    *,
    face: ClockFace,
    masked: bool = False,
    flash: bool = False,
) -> tuple[Line, ...]:
    """Return the call in `layout.rows.call_rows` lines, each as wide as the screen."""
    found = standings(board, now)
    top = most_urgent(found) or next_due(found)
    if top is None:
        return _nothing_due(board, found, now, layout, face)
    person = patient_shown(top.cartridge, board, glyphs, masked=masked)
    head = _head(top.stands, flash=flash)
    if layout.digit_rows == 1:
        return _in_two_lines(head, top, found, person, now, layout)
    left = _words(head, top, found, person, layout)
    digits = call_digits(top, now, layout, glyphs)
    return _put_together(left, digits, _right(board, found, now, layout, top), layout)


def most_urgent(found: Sequence[At]) -> At | None:
    """Return what calls loudest: a window that is closing, else what is lost first."""
    calling = [each for each in found if each.stands.where in CALLS]
    return min(calling, key=_urgency, default=None)


def next_due(found: Sequence[At]) -> At | None:
    """Return what falls due first of what does not call yet."""
    return min(
        (each for each in found if each.stands.where in _QUIET and each.stands.due is not None),
        key=lambda each: (each.stands.due or 0, each.cartridge.ordinal),
        default=None,
    )


def _urgency(each: At) -> tuple[bool, int, int]:
    is_closing = each.stands.where is Where.CLOSING
    return (not is_closing, last_moment(each.cartridge), each.cartridge.ordinal)


def _head(stands: Standing, *, flash: bool) -> Line:
    if stands.where not in CALLS:
        return line(Piece(NOTHING_DUE, Token.TEXT, bold=True))
    ink = ink_of(stands.where, flash=flash)
    return line(Piece(f" {stands.sign} {stands.word} ", ink.words, bold=True))


def _words(head: Line, top: At, found: Sequence[At], person: str, layout: Measures) -> list[Line]:
    """Return word, whose it is, what to do, and how many more, spread over the rows."""
    width, rows = layout.call_words.width, layout.rows.call_rows
    is_small = rows <= FEW_ROWS
    named = kept_to(person, width) if is_small else f"{top.cartridge.label}  {person}"
    where = top.stands.where
    if where not in CALLS:
        said, token = [f"next {named}", _promise(top.stands)], Token.SOFT
    elif where in _TO_READ:
        said, token = [named if is_small else f"Read {named}"], Token.TEXT
    else:
        said, token = [named, _following(top.cartridge)], Token.TEXT
    more = _then(found, top, is_small=is_small) if where in CALLS else ""
    tail = [line(Piece(more, Token.SOFT))] if more else []
    lines = [each for words in said for each in wrapped(words, width)]
    body = [
        line(Piece(each, token, bold=token is Token.TEXT and place == 0))
        for place, each in enumerate(lines[: max(0, rows - 1 - len(tail))])
    ]
    return _spread(head, body, tail, rows)


def _spread(head: Line, body: list[Line], tail: list[Line], rows: int) -> list[Line]:
    """Put the parts into the rows, blank ones between them where there is room."""
    spare = rows - 1 - len(body) - len(tail)
    above = min(1, spare)
    return [head, *([Line()] * above), *body, *([Line()] * (spare - above)), *tail]


def _then(found: Sequence[At], top: At, *, is_small: bool) -> str:
    """Say how many more call for the same; the other calls stand beside."""
    same = _TO_READ if top.stands.where in _TO_READ else (top.stands.where,)
    more = sum(each.stands.where in same for each in found) - 1
    if more <= 0:
        return ""
    return f"then {more} more to read" if same is _TO_READ and not is_small else f"then {more} more"


def _promise(stands: Standing) -> str:
    match stands.where:
        case Where.WAITING:
            return f"{stands.word}: over in"
        case Where.DO_WITHIN:
            return "to be done within"
        case _:
            return "opens in"


def _following(cartridge: Cartridge) -> str:
    step = cartridge.next_step
    return "" if step is None else step.title


def _in_two_lines(
    head: Line, top: At, found: Sequence[At], person: str, now: Instant, layout: Measures
) -> tuple[Line, ...]:
    """Return the call without large digits, where the screen is too small for them."""
    stands = top.stands
    calls = stands.where in CALLS
    more = _then(found, top, is_small=True) if calls else ""
    first = head + line(Piece(f"  {more}", Token.SOFT))
    said = f"{top.cartridge.label}  {stands.figure(now)}"
    rest = "" if calls else f"  {_promise(stands)}"
    token = ink_of(stands.where, flash=True).words if calls else Token.RAIL
    second = line(Piece(said, token, bold=True), Piece(f"  {person}{rest}", Token.SOFT))
    blank = [Line()] * (layout.rows.call_rows - 2)
    column = layout.call_words.column
    return tuple(at_columns((column, each), width=layout.width) for each in (first, second, *blank))


def _nothing_due(
    board: Board, found: Sequence[At], now: Instant, layout: Measures, face: ClockFace
) -> tuple[Line, ...]:
    words = NOTHING_DUE
    if not board.running:
        words = say_nothing_runs(at_rest(board).readings, now, face)
    following = layout.call_next
    room = layout.width if following is None else following.column
    lines = wrapped(words, room - layout.call_words.column - 1)[: layout.rows.call_rows]
    left = [line(Piece(each, Token.TEXT, bold=True)) for each in lines]
    left += [Line()] * (layout.rows.call_rows - len(left))
    return _put_together(left, (), _right(board, found, now, layout, None), layout)


def _right(
    board: Board, found: Sequence[At], now: Instant, layout: Measures, top: At | None
) -> list[Line]:
    following = layout.call_next
    if following is None:
        return []
    return beside(board, found, now, layout.rows.call_rows, following.width, top)


def _put_together(
    left: Sequence[Line], digits: Sequence[Line], right: Sequence[Line], layout: Measures
) -> tuple[Line, ...]:
    lines = []
    for place, words in enumerate(left):
        parts = [(layout.call_words.column, words)]
        if place < len(digits):
            parts.append((layout.call_digits.column, digits[place]))
        if layout.call_next is not None and place < len(right):
            parts.append((layout.call_next.column, right[place]))
        lines.append(at_columns(*parts, width=layout.width))
    return tuple(lines)

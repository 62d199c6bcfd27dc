"""The call: what is most urgent in large digits, and beside it what comes next.

It has rows of its own that nothing else uses, so it neither covers nor moves
anything. Many at once are told as one, and none is left out of the count.

What is large, the first of these that there is:

1. a window that is closing, or that closes within two minutes unannounced;
2. a wait in its first minute past its limit: news, which somebody must see once;
3. a window that is open, or a wait that is over and may still be ended in time:
   by the last instant at which it can be, the soonest first;
4. a wait past its limit: it is late whatever is done, so it hides nothing that
   can still be lost, and stands beside the call until there is nothing else;
5. a wait that is over and has no limit.

Where nothing calls, the same place says quietly what the hands may go on with.
At a station that is alone only what it holds is meant by that, as long as there is any (`called`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.repeats import gets_no_repeat
from readbell.phrases.board_words import CALLS, Standing, Where, say_nothing_runs
from readbell.ui.at_rest import at_rest
from readbell.ui.beside import TO_READ, beside
from readbell.ui.call_digits import call_digits
from readbell.ui.call_words import FEW_ROWS, NOTHING_DUE, body, said_of, say_where
from readbell.ui.called import called
from readbell.ui.ink import Line, Piece, Token, at_columns, line
from readbell.ui.row import ink_of, patient_shown
from readbell.ui.wrapped import wrapped

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.board.board import Board
    from readbell.core.board.stations import Here
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.phrases.clock_time import ClockFace
    from readbell.ui.called import Called
    from readbell.ui.glyphs import Glyphs
    from readbell.ui.measures import Measures
    from readbell.ui.standings import AllStanding, At

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
    here: Here | None = None,
) -> tuple[Line, ...]:
    """Return the call in `layout.rows.call_rows` lines, each as wide as the screen.

    Args:
        board: the board.
        now: the instant.
        layout: where things stand.
        glyphs: the signs that the terminal can show.
        face: the site's clock.
        masked: whether nobody is named.
        flash: whether something is new.
        here: where this is in a shared bay, and whom it cannot reach; None: nobody shares it.
    """
    found = called(board, now, here)
    owed = tuple(_owed(each, board, glyphs, masked=masked) for each in at_rest(board).owed)
    top = found.top
    right: list[Line] = []
    if layout.call_next is not None:
        shown = owed if board.running else ()
        rows, width = layout.rows.call_rows, layout.call_next.width
        right = beside(
            board, found.among, now, rows, width, top, owed=shown, elsewhere=found.calls_elsewhere
        )
    if top is None:
        return _put_together(_nothing_due(board, owed, now, layout, face), (), right, layout)
    person = patient_shown(top.cartridge, board, glyphs, masked=masked)
    head = _head(top.stands, found.among, len(owed), flash=flash)
    if layout.digit_rows == 1:
        return _in_two_lines(head, top, found, person, now, layout, face)
    left = _words(head, top, found, person, len(owed), layout, face)
    return _put_together(left, call_digits(top, now, layout, glyphs), right, layout)


def _owed(cartridge: Cartridge, board: Board, glyphs: Glyphs, *, masked: bool) -> str:
    """Return whose a cartridge is that gave nothing, and whether they get no further repeat.

    Nothing where nobody is named: a row of masked IDs would tell nobody anything.
    """
    if masked:
        return ""
    shown = patient_shown(cartridge, board, glyphs, masked=masked)
    return f"{shown} (refer)" if gets_no_repeat(board, cartridge) else shown


def left_out(board: Board, now: Instant, layout: Measures, here: Here | None = None) -> str:
    """Return what is to be done in whole words, where the call has no room for them."""
    if layout.digit_rows == 1 or layout.rows.call_rows > FEW_ROWS:
        # With so many rows it is whole in the call, with so few columns in the row itself.
        return ""
    found = called(board, now, here)
    top = found.top
    step = None if top is None or found.mark else top.cartridge.next_step
    if top is None or step is None or top.stands.where in _QUIET:
        return ""
    is_whole = len(wrapped(step.title, layout.call_words.width)) == 1
    return "" if is_whole else f"{top.cartridge.label}: {step.title}"


def _head(stands: Standing, found: AllStanding, owed: int, *, flash: bool) -> Line:
    if stands.where in CALLS:
        ink = ink_of(stands.where, flash=flash)
        return line(Piece(f" {stands.sign} {stands.word} ", ink.words, bold=True))
    if stands.where is Where.STEP_DUE:
        return line(Piece(f" {stands.sign} {stands.word}", Token.HANDS))
    hands = found.for_hands
    said = f"{hands} to work on" if hands else f"{owed} to repeat" if owed else NOTHING_DUE
    return line(Piece(said, Token.TEXT, bold=True))


def _words(
    head: Line,
    top: At,
    found: Called,
    person: str,
    owed: int,
    layout: Measures,
    face: ClockFace,
) -> list[Line]:
    """Return word, whose it is, what to do and until when, and how many more, over the rows."""
    width, rows = layout.call_words.width, layout.rows.call_rows
    is_small = rows <= FEW_ROWS
    calls = top.stands.where in CALLS
    more = ""
    if calls:
        # On a small screen what stands beside counts them, where anything does.
        is_counted = is_small and layout.call_next is not None
        more = "" if is_counted else _then(found.among, top, is_small=is_small)
    elif owed and layout.call_next is None and not is_small and "to repeat" not in head.text:
        more = f"{owed} to repeat"
    more = _with_elsewhere(more, found, layout)
    tail = [line(Piece(more, Token.SOFT))] if more else []
    said = said_of(top, person, face, width, is_small=is_small)
    said = say_where(said, found.mark, found.held_at, width)
    token = Token.TEXT if calls or top.stands.where is Where.STEP_DUE else Token.SOFT
    shown = [
        line(Piece(each, token, bold=calls and place == 0))
        for place, each in enumerate(body(said, width, max(0, rows - 1 - len(tail))))
    ]
    return _spread(head, shown, tail, rows)


def _spread(head: Line, body: list[Line], tail: list[Line], rows: int) -> list[Line]:
    """Put the parts into the rows, blank ones between them where there is room."""
    spare = rows - 1 - len(body) - len(tail)
    above = min(1, spare)
    return [head, *([Line()] * above), *body, *([Line()] * (spare - above)), *tail]


def _then(found: AllStanding, top: At, *, is_small: bool) -> str:
    """Say how many more call for the same; the other calls stand beside."""
    same = TO_READ if top.stands.where in TO_READ else (top.stands.where,)
    more = len(found.of(*same)) - 1
    if more <= 0:
        return ""
    return f"then {more} more to read" if same is TO_READ and not is_small else f"then {more} more"


def _with_elsewhere(more: str, found: Called, layout: Measures) -> str:
    """Return `more` with how many call where nobody here can go on with them, if no line beside says it."""
    many = len(found.calls_elsewhere)
    if not many or layout.call_next is not None:
        return more
    return f"{more}, {many} elsewhere" if more else f"{many} elsewhere"


def _in_two_lines(
    head: Line,
    top: At,
    found: Called,
    person: str,
    now: Instant,
    layout: Measures,
    face: ClockFace,
) -> tuple[Line, ...]:
    """Return the call without large digits, where the screen is too small for them."""
    stands = top.stands
    calls = stands.where in CALLS
    more = _then(found.among, top, is_small=True) if calls else ""
    more = _with_elsewhere(more, found, layout)
    first = head + line(Piece(f"  {more}", Token.SOFT))
    room = layout.width - layout.call_words.column
    said = f"{top.cartridge.label}  {stands.figure(now)}"
    _, *rest = said_of(top, person, face, room, is_small=True)
    beside_it = f"  {found.mark} {person}" if found.mark else f"  {person}"
    if rest and len(said) + len(beside_it) + 2 + len(rest[0]) <= room:
        beside_it += f"  {rest[0]}"
    token = ink_of(stands.where, flash=True).words if calls else Token.RAIL
    second = line(Piece(said, token, bold=True), Piece(beside_it, Token.SOFT))
    blank = [Line()] * (layout.rows.call_rows - 2)
    column = layout.call_words.column
    return tuple(at_columns((column, each), width=layout.width) for each in (first, second, *blank))


def _nothing_due(
    board: Board, owed: Sequence[str], now: Instant, layout: Measures, face: ClockFace
) -> list[Line]:
    words = NOTHING_DUE
    if not board.running:
        words = say_nothing_runs(
            at_rest(board).readings, owed, now, face, len(at_rest(board).waiting)
        )
    following = layout.call_next
    end = layout.width if following is None else following.column
    shown = body([words], end - layout.call_words.column - 1, layout.rows.call_rows)
    left = [line(Piece(each, Token.TEXT, bold=True)) for each in shown]
    return left + [Line()] * (layout.rows.call_rows - len(left))


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

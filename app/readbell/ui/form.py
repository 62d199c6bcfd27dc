"""A form's questions as lines, and where on them each answer can be picked with the mouse."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from rich.cells import cell_len

from readbell.core.made_later import dataclass
from readbell.ui.ink import Line, Piece, Token, at_columns, line
from readbell.ui.wrapped import shortened, wrapped

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.hand.question import Option, Question

MARGIN = 3
INDENT = 5
"""Where answers begin that stand below their question."""
BETWEEN = 2
WIDEST_QUESTION = 44
"""A question longer than this does not push the answers of all others to the right."""
OPEN = "not answered"


@dataclass(frozen=True, slots=True)
class Spot:
    """A piece of a line that answers a question when it is clicked."""

    row: int
    begins: int
    ends: int
    """The first cell after it."""
    question: str
    answer: str


@dataclass(frozen=True, slots=True)
class Painted:
    """Lines, and the spots on them."""

    lines: tuple[Line, ...]
    spots: tuple[Spot, ...] = ()

    def then(self, below: Painted) -> Painted:
        """Return the two, one under the other."""
        moved = (replace(each, row=each.row + len(self.lines)) for each in below.spots)
        return Painted((*self.lines, *below.lines), (*self.spots, *moved))

    def rows(self, begin: int, end: int) -> Painted:
        """Return the rows from `begin` on, before `end`."""
        spots = (replace(each, row=each.row - begin) for each in self.spots)
        lines = self.lines[begin:end]
        return Painted(lines, tuple(each for each in spots if 0 <= each.row < len(lines)))

    def fitted(self, width: int) -> Painted:
        """Return it with every line as wide as `width`."""
        return Painted(tuple(each.fitted(width) for each in self.lines), self.spots)


def paint_form(
    questions: Sequence[Question], cursor: int, width: int, height: int | None = None
) -> Painted:
    """Return the form with the question at `cursor` in hand, in at most `height` rows.

    Where the rows do not suffice, lists that are not in hand fold into a row,
    then the list in hand shows what stands around its answer, and then the
    questions around the one in hand.
    """
    column = _column(questions, width)
    whole = [_block(each, place == cursor, width, column) for place, each in enumerate(questions)]
    if height is None or _rows(whole) <= height:
        return _joined(whole)
    folded = [
        block if place == cursor or not each.is_list else _in_a_row(each, False, width, column)
        for place, (each, block) in enumerate(zip(questions, whole, strict=True))
    ]
    if _rows(folded) <= height:
        return _joined(folded)
    if 0 <= cursor < len(questions) and questions[cursor].is_list:
        others = _rows(folded) - len(folded[cursor].lines)
        # Of what is to be chosen from more is shown than of what was answered already.
        room = max(height - others, min(height, max(2, height // 2)))
        folded[cursor] = _around_answer(folded[cursor], questions[cursor], room, width)
    before = _rows(folded[: max(cursor, 0)])
    in_hand = len(folded[max(cursor, 0)].lines)
    # What comes after the question in hand is next: as much above it as is left over.
    begin = min(max(before + in_hand - height, 0), before)
    begin = min(max(begin, before - 1), max(_rows(folded) - height, 0))
    return _joined(folded).rows(begin, begin + height)


def _rows(blocks: Sequence[Painted]) -> int:
    return sum(len(each.lines) for each in blocks)


def _joined(blocks: Sequence[Painted]) -> Painted:
    made = Painted(())
    for each in blocks:
        made = made.then(each)
    return made


def _column(questions: Sequence[Question], width: int) -> int:
    """Return where the answers begin, so that they stand below one another."""
    asked = [cell_len(each.asks) for each in questions if not (each.is_list and each.options)]
    most = min(WIDEST_QUESTION, width // 2)
    return MARGIN + max((each for each in asked if each <= most), default=0) + BETWEEN


def _block(question: Question, in_hand: bool, width: int, column: int) -> Painted:
    if question.is_list and question.options:
        return _list(question, in_hand, width)
    return _in_a_row(question, in_hand, width, column)


def _asked(question: Question, in_hand: bool, width: int) -> list[Line]:
    token = Token.TEXT if in_hand else Token.SOFT
    mark = line(" ", Piece("> " if in_hand else "  ", Token.TEXT, bold=True))
    words = wrapped(question.asks, max(1, width - MARGIN)) or [""]
    return [
        (mark if place == 0 else line(" " * MARGIN)) + line(Piece(each, token, bold=in_hand))
        for place, each in enumerate(words)
    ]


def _in_a_row(question: Question, in_hand: bool, width: int, column: int) -> Painted:
    """Return the question with its answer, or the answers to choose from, behind it."""
    asked = _asked(question, in_hand, width)
    shows_choices = bool(question.options) and not question.is_list
    parts = _choices(question) if shows_choices else [_answer(question, width)]
    begin = column
    if len(asked) > 1 or asked[0].width + BETWEEN > column:
        begin = asked[0].width + BETWEEN
    needed = sum(part.width for _, part in parts) + BETWEEN * (len(parts) - 1)
    if len(asked) == 1 and begin + needed <= width:
        made, spots = _side_by_side(question, parts, begin, width)
        return Painted((at_columns((0, asked[0]), (begin, made), width=width),), tuple(spots))
    painted = Painted(tuple(asked))
    row: list[tuple[Option | None, Line]] = []
    for part in parts:
        if row and INDENT + sum(each.width + BETWEEN for _, each in (*row, part)) > width:
            painted = painted.then(_indented(question, row, width))
            row = []
        row.append(part)
    return painted.then(_indented(question, row, width))


def _indented(
    question: Question, parts: Sequence[tuple[Option | None, Line]], width: int
) -> Painted:
    made, spots = _side_by_side(question, parts, INDENT, width)
    return Painted((at_columns((INDENT, made), width=width),), tuple(spots))


def _side_by_side(
    question: Question, parts: Sequence[tuple[Option | None, Line]], begin: int, width: int
) -> tuple[Line, list[Spot]]:
    made, spots, at = line(), [], begin
    for option, part in parts:
        if option is not None:
            spots.append(Spot(0, at, at + part.width, question.key, option.value))
        made = made + part + line(" " * BETWEEN)
        at += part.width + BETWEEN
    if question.is_open and parts[0][0] is not None and at + len(OPEN) <= width:
        made = made + line(Piece(OPEN, Token.RAIL))
    return made, spots


def _answer(question: Question, width: int) -> tuple[Option | None, Line]:
    shown = question.words()
    if not shown:
        return None, line(Piece(OPEN, Token.RAIL))
    # An answer that is longer than a row keeps its beginning and says that there is more.
    kept = shortened(shown, max(1, width - INDENT)) or shown
    return None, line(Piece(kept, Token.TEXT, bold=True))


def _choices(question: Question) -> list[tuple[Option | None, Line]]:
    return [(each, _choice(question, each, Token.EYES_FILL)) for each in question.options]


def _choice(question: Question, option: Option, fill: Token) -> Line:
    picked = option.value == question.answer
    text = f"[{option.words}]" if picked else f" {option.words} "
    return line(Piece(text, fill if picked else Token.TEXT, bold=picked))


def _list(question: Question, in_hand: bool, width: int) -> Painted:
    painted = Painted(tuple(_asked(question, in_hand, width)))
    for option in question.options:
        shown = replace(option, words=shortened(option.words, width - INDENT - 2) or option.words)
        made = at_columns((INDENT, _choice(question, shown, Token.TEXT)), width=width)
        spot = Spot(0, INDENT, width, question.key, option.value)
        painted = painted.then(Painted((made,), (spot,)))
    return painted


def _around_answer(block: Painted, question: Question, room: int, width: int) -> Painted:
    """Return the list with its question and so many options that the answer is in sight.

    That there are others is said beside the question: nobody looks for what they do not know of.
    """
    head = len(block.lines) - len(question.options)
    values = [each.value for each in question.options]
    chosen = values.index(question.answer) if question.answer in values else 0
    head_rows = min(head, max(0, room - 1))
    fits = room - head_rows
    begin = min(max(chosen - fits // 2, 0), max(len(values) - fits, 0))
    asked = block.rows(0, head_rows)
    if asked.lines and fits < len(values):
        cut = Piece(f"   {begin + 1} to {begin + fits} of {len(values)}", Token.SOFT)
        last = (asked.lines[-1] + line(cut)).fitted(width)
        asked = replace(asked, lines=(*asked.lines[:-1], last))
    return asked.then(block.rows(head + begin, head + begin + fits))

"""A form's questions as lines, and where on them each answer can be picked with the mouse."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readbell.ui.ink import Line, Piece, Token, at_columns, line

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.hand.question import Question

MARGIN = 3
ANSWERS_AT = 30
NARROW_ANSWERS_AT = 24
NARROW = 90
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


def paint_form(questions: Sequence[Question], cursor: int, width: int) -> Painted:
    """Return the form with the question at `cursor` in hand."""
    lines: list[Line] = []
    spots: list[Spot] = []
    for place, question in enumerate(questions):
        in_hand = place == cursor
        if question.is_list and question.options:
            lines.append(_asked(question, width, in_hand=in_hand))
            for made, spot in _list(question, len(lines), width, in_hand=in_hand):
                lines.append(made)
                spots.append(spot)
        else:
            made, found = _in_a_row(question, len(lines), width, in_hand=in_hand)
            lines.append(made)
            spots.extend(found)
    return Painted(tuple(lines), tuple(spots))


def column_of_answers(width: int) -> int:
    """Return where the answers begin."""
    return NARROW_ANSWERS_AT if width < NARROW else ANSWERS_AT


def _asked(
    question: Question,
    width: int,
    *,
    in_hand: bool,
    answer: Line | None = None,
    at: int | None = None,
) -> Line:
    token = Token.TEXT if in_hand else Token.SOFT
    return at_columns(
        (1, line(Piece(">" if in_hand else " ", Token.TEXT, bold=True))),
        (MARGIN, line(Piece(question.asks, token, bold=in_hand))),
        (at or column_of_answers(width), answer or line()),
        width=width,
    )


def _in_a_row(
    question: Question, row: int, width: int, *, in_hand: bool
) -> tuple[Line, list[Spot]]:
    if not question.options:
        shown = question.words()
        piece = Piece(shown, Token.TEXT, bold=True) if shown else Piece(OPEN, Token.RAIL)
        answer = line(Piece("  "), piece)
        # A question longer than its column stands on its own and the answer follows it.
        made = _asked(question, width, in_hand=in_hand, answer=answer)
        if len(question.asks) + MARGIN >= column_of_answers(width):
            token = Token.TEXT if in_hand else Token.SOFT
            made = line(
                " ",
                Piece(">" if in_hand else " ", Token.TEXT, bold=True),
                " ",
                Piece(question.asks, token, bold=in_hand),
                answer,
            ).fitted(width)
        return made, []
    pieces: list[Piece] = []
    spots: list[Spot] = []
    # A question longer than its column stands on its own, and the answers follow it.
    at = max(column_of_answers(width), MARGIN + len(question.asks) + 2)
    for option in question.options:
        picked = option.value == question.answer
        text = f"[{option.words}]" if picked else f" {option.words} "
        spots.append(Spot(row, at, at + len(text), question.key, option.value))
        pieces.append(Piece(text, Token.EYES_FILL if picked else Token.TEXT, bold=picked))
        pieces.append(Piece("  "))
        at += len(text) + 2
    if question.is_open:
        pieces.append(Piece(OPEN, Token.RAIL))
    return _asked(question, width, in_hand=in_hand, answer=line(*pieces), at=at), spots


def _list(
    question: Question, row: int, width: int, *, in_hand: bool
) -> Iterator[tuple[Line, Spot]]:
    for place, option in enumerate(question.options):
        picked = option.value == question.answer
        text = f"[{option.words}]" if picked else f" {option.words} "
        token = Token.TEXT if in_hand or picked else Token.SOFT
        made = at_columns((MARGIN + 2, line(Piece(text, token, bold=picked))), width=width)
        yield made, Spot(row + place, MARGIN + 2, width, question.key, option.value)

"""What a form asks, one thing at a time; painted on the screen, read out in plain lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass
from readbell.hand.given import Key

if TYPE_CHECKING:
    from collections.abc import Sequence


@dataclass(frozen=True, slots=True)
class Option:
    """One answer that may be picked."""

    value: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One thing to be answered: by picking an option, or by a scan or typing where there is none."""

    key: str
    asks: str
    options: tuple[Option, ...] = ()
    answer: str | None = None
    """None until somebody has answered: nothing is ever chosen beforehand that a person checks."""
    shown: str = ""
    """What was scanned or typed, as it is shown back."""
    is_list: bool = False
    """Options stand below one another, the first on top; else the weakest is lowest."""

    @property
    def is_open(self) -> bool:
        """Whether nobody has answered it."""
        return self.answer is None

    def words(self) -> str:
        """Return the answer as it is shown, empty while it is open."""
        if self.shown or self.answer is None:
            return self.shown
        return next((each.words for each in self.options if each.value == self.answer), self.answer)


def moved(question: Question, key: Key) -> str | None:
    """Return the answer that an arrow leads to; `question` must have options.

    On a list the arrows go through it. Elsewhere up is stronger: a first Down
    says the weakest, a first Up the one above it.
    """
    values = [each.value for each in question.options]
    down = key is Key.DOWN
    if question.answer not in values:
        return values[0] if down or question.is_list or len(values) == 1 else values[1]
    step = 1 if down is question.is_list else -1
    place = values.index(question.answer) + step
    return values[min(max(place, 0), len(values) - 1)]


def next_open(questions: Sequence[Question], cursor: int) -> int:
    """Return the place of the next question with options that is open, or `cursor` if none is."""
    places = [*range(cursor + 1, len(questions)), *range(cursor)]
    return next(
        (place for place in places if questions[place].is_open and questions[place].options), cursor
    )

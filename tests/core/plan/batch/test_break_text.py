"""A break is typed the same way on the command line and on the board."""

from __future__ import annotations

import pytest

from builders import span
from readbell.core.plan.batch.break_text import overlapping, read_break
from readbell.core.plan.batch.job import Break


def away(operator: int, begins: str, ends: str) -> Break:
    """Return a break."""
    return Break(operator=operator, begins=span(begins), ends=span(ends))


def test_operator_and_stretch_are_read() -> None:
    """Operators count from 1 in words, and from 0 in a batch."""
    assert read_break("2:30:00-40:00") == away(1, "30:00", "40:00")
    assert read_break("1:0:00-24:00:00") == away(0, "0:00", "24:00:00")


@pytest.mark.parametrize(
    "text",
    [
        "",
        "lunch",
        "1:40:00-30:00",
        "1:30:00-30:00",
        "1:30:00-24:00:01",
        "0:30:00-40:00",
        ":30:00-40:00",
        "one:30:00-40:00",
        "\u0661:30:00-40:00",
        "1000:30:00-40:00",
        "-1:30:00-40:00",
        "1:30:00",
    ],
)
def test_anything_else_is_no_break(text: str) -> None:
    """Nothing is guessed."""
    assert read_break(text) is None


def test_two_breaks_of_one_operator_that_overlap_are_found() -> None:
    """Those that touch do not, nor do those of two operators."""
    one = away(0, "30:00", "40:00")
    assert overlapping([one, away(0, "40:00", "50:00"), away(1, "30:00", "40:00")]) is None
    assert overlapping([one, away(0, "20:00", "30:00")]) is None
    assert overlapping([one, away(0, "39:59", "50:00")]) == away(0, "39:59", "50:00")

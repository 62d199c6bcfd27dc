"""The running sum of a lot as a picture: where it flags, and that no flag is lost in drawing."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from readbell.reports.course_picture import (
    BOTTOM,
    LEFT,
    MOST_POINTS,
    RIGHT,
    TOP,
    course_picture,
)
from readbell.reports.drawing import Drawing, Stroke, Words, svg


def drawn(steps: list[int], flagged: int | None = None, limit: int = 131) -> Drawing:
    """The picture of a made-up lot."""
    return course_picture(
        "Running sum of L-1",
        "how to read it",
        steps,
        limit=limit,
        limit_called="it flags here",
        flagged=flagged,
    )


def line_of(picture: Drawing) -> Stroke:
    """The sum itself: the line with the most points."""
    strokes = [each for each in picture.marks if isinstance(each, Stroke)]
    return max(strokes, key=lambda each: (len(each.points), each.wide == 1.4))


@settings(deadline=None)
@given(st.lists(st.integers(0, 900), min_size=1, max_size=2_500))
def test_everything_stays_inside_and_the_highest_is_never_left_out(steps: list[int]) -> None:
    """Of thousands of strips not each has a dot of its own."""
    points = line_of(drawn(steps)).points

    assert len(points) <= MOST_POINTS + 1
    assert all(LEFT - 0.1 <= x <= RIGHT + 0.1 and TOP - 0.1 <= y <= BOTTOM + 0.1 for x, y in points)
    top = 1.05 * max(131, *steps)
    assert min(y for _, y in points) == pytest.approx(BOTTOM - (BOTTOM - TOP) * max(steps) / top)


def test_the_limit_is_named_and_the_flag_is_a_diamond() -> None:
    """Told apart without a colour."""
    steps = [0, 19, 38, 57, 131, 130]
    plain, flagged = drawn(steps), drawn(steps, 5)
    words = [each.text for each in flagged.marks if isinstance(each, Words)]

    assert {"it flags here", "131", "6"} <= set(words)
    assert len(flagged.marks) == len(plain.marks) + 1
    assert "<title>Running sum of L-1</title>" in svg(flagged)


def test_a_single_strip_is_a_course_too() -> None:
    """The first of a lot."""
    assert line_of(drawn([0], limit=1)).points[-1] == (RIGHT, BOTTOM)

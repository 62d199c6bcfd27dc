"""Shares as dots: told apart without colour, each inside the picture, nothing written over another."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readbell.reports.columns_picture import columns_picture
from readbell.reports.dots_picture import MOST_LABELS, Dot, dots_picture
from readbell.reports.drawing import Drawing, Stroke, Words, svg


def dot(label: str, value: float = 0.02, *, is_flagged: bool = False) -> Dot:
    """A dot that usually lies from 0 to 4 %."""
    return Dot(label=label, value=value, low=0.0, high=0.04, is_flagged=is_flagged)


def words_of(drawing: Drawing) -> list[str]:
    """What is written in it."""
    return [each.text for each in drawing.marks if isinstance(each, Words)]


def is_inside(drawing: Drawing) -> bool:
    """Whether every point and every word begins or ends on the page."""
    points = [point for each in drawing.marks if isinstance(each, Stroke) for point in each.points]
    points += [(each.x, each.y) for each in drawing.marks if isinstance(each, Words)]
    return all(0 <= x <= drawing.wide and 0 <= y <= drawing.high for x, y in points)


def test_what_is_flagged_has_a_shape_of_its_own_and_a_bold_label() -> None:
    """A colour alone would be lost on a copy."""
    found = dots_picture(
        "T", ["a", "b"], [dot("L-1"), dot("L-2", 0.12, is_flagged=True)], middle=0.03
    )

    shapes = [each for each in found.marks if isinstance(each, Stroke) and len(each.points) == 5]
    assert len(shapes) == 1
    bold = [each.text for each in found.marks if isinstance(each, Words) and each.bold]
    assert bold == ["T", "L-2"]
    assert {each.colour for each in found.marks if isinstance(each, Stroke)} == {
        "#1b1b1b",
        "#9a9a9a",
    }


def test_the_share_that_all_are_held_against_is_dashed() -> None:
    """And is left out where there is none."""
    for middle, many in ((0.03, 1), (None, 0)):
        found = dots_picture("T", [], [dot("L-1")], middle=middle)
        dashed = [each for each in found.marks if isinstance(each, Stroke) and each.dashes]
        assert len(dashed) == many


def test_of_many_labels_some_are_left_out_and_none_of_a_flagged_one() -> None:
    """Fifty lots do not fit side by side; the bad one is named."""
    dots = [dot(f"L-{each:02}", is_flagged=each == 33) for each in range(50)]
    found = [each for each in words_of(dots_picture("T", [], dots, middle=None)) if each[0] == "L"]

    assert "L-33" in found
    assert len(found) <= MOST_LABELS + 1


@given(
    st.lists(
        st.tuples(st.floats(0, 1), st.floats(0, 1), st.floats(0, 1), st.booleans()), max_size=60
    )
)
def test_every_share_lies_inside_its_picture(
    shares: list[tuple[float, float, float, bool]],
) -> None:
    """From none to all, and with nothing to draw."""
    dots = [
        Dot(
            label=f"L-{place}",
            value=value,
            low=min(one, other),
            high=max(one, other),
            is_flagged=bad,
        )
        for place, (value, one, other, bad) in enumerate(shares)
    ]
    found = dots_picture("T", ["a", "b"], dots, middle=0.5)

    assert is_inside(found)
    assert svg(found).startswith("<svg")


def test_a_higher_share_is_drawn_higher() -> None:
    """On one scale."""
    found = dots_picture("T", [], [dot("L-1", 0.01), dot("L-2", 0.02)], middle=None)
    (one, other) = (
        each.points[0][1] for each in found.marks if isinstance(each, Stroke) and each.wide > 6
    )

    assert one > other


@given(st.lists(st.integers(0, 10_000), max_size=48))
def test_every_column_lies_inside_its_picture(counts: list[int]) -> None:
    """However many, and with none at all; of nothing no column is drawn."""
    found = columns_picture("T", "above", [(f"{place}", each) for place, each in enumerate(counts)])
    columns = [each for each in found.marks if isinstance(each, Stroke) and each.wide > 1.5]

    assert is_inside(found)
    assert len(columns) == sum(each > 0 for each in counts)
    if columns:
        assert max(each.points[0][1] - each.points[1][1] for each in columns) == pytest.approx(144)


def test_a_column_twice_as_many_is_twice_as_high() -> None:
    """And the most is written beside it."""
    found = columns_picture("T", "above", [("08", 600), ("09", 1_200)])
    heights = [
        each.points[0][1] - each.points[1][1]
        for each in found.marks
        if isinstance(each, Stroke) and each.wide > 1.5
    ]

    assert heights[1] == 2 * heights[0]
    assert "1,200" in words_of(found)

"""The board finds its layout on any screen, and nothing in it covers anything else."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readbell.ui.glyphs import ASCII, UNICODE
from readbell.ui.large_digits import large_width
from readbell.ui.measures import Axis, Measures, Span, measures

WIDTHS = st.integers(20, 400)
HEIGHTS = st.integers(8, 120)


def columns_of_a_row(laid: Measures) -> list[Span]:
    """What stands in one row of the list, from left to right."""
    columns, axis = laid.columns, laid.axis
    spans = [columns.sign, columns.tag, columns.patient, columns.state, columns.time, columns.note]
    spans.append(None if axis is None else Span(axis.column, axis.columns))
    return [span for span in spans if span is not None]


def rows_taken(laid: Measures) -> list[int]:
    """Every row that is spoken for, as often as it is; a notice may cover the header."""
    rows = laid.rows
    single = [rows.header, rows.head, rows.hint, rows.load, rows.slot, rows.answer]
    single += [rows.scan, rows.keys, rows.notice or None]
    taken = [row for row in single if row is not None]
    taken += range(rows.call, rows.call + rows.call_rows)
    taken += range(rows.list_top, rows.list_top + rows.list_rows)
    if laid.detail is not None and laid.detail.column == 0:
        taken += range(laid.detail.row, laid.detail.row + laid.detail.height)
    return taken


@given(width=WIDTHS, height=HEIGHTS, opened=st.booleans())
def test_no_row_is_given_twice(width: int, height: int, opened: bool) -> None:
    """What is drawn last would hide what is due."""
    laid = measures(width, height, opened=opened)
    taken = rows_taken(laid)

    assert len(set(taken)) == len(taken)
    assert all(0 <= row < height for row in taken)
    assert laid.rows.keys == height - 1
    assert laid.rows.list_rows >= 1
    assert laid.rows.digits + laid.digit_rows <= laid.rows.call + laid.rows.call_rows


@given(width=WIDTHS, height=HEIGHTS, opened=st.booleans(), tag=st.sampled_from([0, 3, 6, 8]))
def test_no_column_is_given_twice(width: int, height: int, opened: bool, tag: int) -> None:
    """A time that runs into a name is a wrong time."""
    laid = measures(width, height, opened=opened, tag=tag)
    spans = columns_of_a_row(laid)

    for span, following in pairwise(spans):
        assert span.end <= following.column
    assert all(span.column >= 0 and span.width >= 1 for span in spans)
    assert spans[-1].end <= laid.columns.width <= width


@given(width=WIDTHS, height=HEIGHTS, opened=st.booleans())
def test_the_call_stays_on_the_screen(width: int, height: int, opened: bool) -> None:
    """It is the first thing looked at."""
    laid = measures(width, height, opened=opened)
    words, digits, following = laid.call_words, laid.call_digits, laid.call_next

    assert words.width >= 1
    assert digits.end <= width
    if laid.rows.digits == laid.rows.call:
        assert words.end <= digits.column
    if following is not None:
        assert digits.end <= following.column
        assert following.end <= width


@given(width=WIDTHS, height=HEIGHTS)
def test_an_open_panel_covers_nothing_that_calls(width: int, height: int) -> None:
    """Whoever reads about one cartridge must still see the call, the list and the scan line."""
    shut, laid = measures(width, height), measures(width, height, opened=True)
    panel = laid.detail

    assert shut.detail is None
    assert panel is not None
    assert panel.height >= 1
    assert panel.column + panel.width == width
    assert laid.rows.call + laid.rows.call_rows <= panel.row
    assert panel.row + panel.height <= laid.rows.scan
    if panel.column:
        assert width >= 150
        assert laid.columns.width <= panel.column
        assert laid.rows == shut.rows
    else:
        assert panel.row == laid.rows.list_top + laid.rows.list_rows
        assert laid.columns == shut.columns


@given(width=WIDTHS, height=HEIGHTS)
def test_opening_a_panel_moves_no_deadline(width: int, height: int) -> None:
    """The axis loses its far end at most; a jump of the scale would look like a new deadline."""
    shut, laid = measures(width, height).axis, measures(width, height, opened=True).axis

    assert (shut is None) == (laid is None)
    if shut is not None and laid is not None:
        assert (laid.column, laid.past, laid.seconds_a_column) == (
            shut.column,
            shut.past,
            shut.seconds_a_column,
        )
        assert laid.future >= 30


@given(width=WIDTHS, height=HEIGHTS, tag=st.sampled_from([3, 6, 8]))
def test_wider_tags_cost_the_far_end_of_the_axis_alone(width: int, height: int, tag: int) -> None:
    """No word goes, and no scale changes: that would look like a new deadline."""
    usual, laid = measures(width, height), measures(width, height, tag=tag)

    assert laid.rows == usual.rows
    assert laid.columns.tag.width >= usual.columns.tag.width
    if width >= 42:
        assert laid.columns.tag.width >= tag + 2
    for one, other in (
        (usual.columns.state, laid.columns.state),
        (usual.columns.time, laid.columns.time),
    ):
        assert one.width == other.width
    if usual.axis is not None and laid.axis is not None:
        assert laid.axis.seconds_a_column == usual.axis.seconds_a_column
        assert laid.axis.past == usual.axis.past
        assert laid.axis.future * laid.axis.seconds_a_column >= 17 * 60


@given(width=WIDTHS, height=HEIGHTS)
def test_the_axis_is_there_from_80_by_24_on(width: int, height: int) -> None:
    """Below, a row of its own says what a larger window would show."""
    laid = measures(width, height)

    assert (laid.axis is not None) == (width >= 80 and height >= 24)
    if laid.axis is not None:
        assert laid.rows.hint is None
        assert laid.axis.future * laid.axis.seconds_a_column >= 19 * 60 + 30


@pytest.mark.parametrize(
    ("size", "digit_rows", "axis", "ahead"),
    [
        pytest.param(
            (80, 24),
            3,
            Axis(column=36, columns=43, seconds_a_column=30, past=3),
            19 * 60 + 30,
            id="80 by 24",
        ),
        pytest.param(
            (120, 40),
            5,
            Axis(column=40, columns=79, seconds_a_column=20, past=6),
            24 * 60,
            id="120 by 40",
        ),
        pytest.param(
            (200, 60),
            7,
            Axis(column=44, columns=155, seconds_a_column=10, past=18),
            22 * 60 + 40,
            id="200 by 60",
        ),
    ],
)
def test_the_usual_screens_are_as_they_were_drawn(
    size: tuple[int, int], digit_rows: int, axis: Axis, ahead: int
) -> None:
    """These three were looked at; the rest follows from them."""
    laid = measures(*size)

    assert laid.digit_rows == digit_rows
    assert laid.axis == axis
    assert axis.future * axis.seconds_a_column == ahead
    assert axis.now == axis.column + axis.past


def test_the_rows_of_the_middle_screen_are_as_they_were_drawn() -> None:
    """25 cartridges, and everything else where the eye has learned it."""
    rows = measures(120, 40).rows

    assert (rows.header, rows.notice, rows.call, rows.call_rows) == (0, 1, 2, 5)
    assert (rows.head, rows.list_top, rows.list_rows) == (8, 9, 25)
    assert (rows.load, rows.slot, rows.answer, rows.scan, rows.keys) == (34, 35, 37, 38, 39)


def test_a_small_screen_wastes_no_row() -> None:
    """At 24 rows the load is said in the call, and the last answer in the scan line."""
    laid = measures(80, 24)
    rows = laid.rows

    assert not laid.has_blank_rows
    assert (rows.call, rows.call_rows, rows.head, rows.list_top, rows.list_rows) == (1, 3, 4, 5, 16)
    assert (rows.load, rows.slot, rows.answer, rows.scan, rows.keys) == (None, 21, None, 22, 23)


@pytest.mark.parametrize("width", [80, 100, 110, 120, 200, 400])
@pytest.mark.parametrize("height", [24, 40, 60])
def test_a_usual_call_fits_in_large_digits(width: int, height: int) -> None:
    """Tag and time are for reading from across the room, on every usual screen."""
    laid = measures(width, height)

    for glyphs in (UNICODE, ASCII):
        assert large_width("C03 12:25", laid.digit_rows, glyphs) <= laid.call_digits.width


def test_a_screen_smaller_than_the_least_is_laid_out_as_the_least() -> None:
    """What does not fit is cut, and the program goes on."""
    assert measures(3, 1) == measures(20, 8)


@pytest.mark.parametrize("lent", [5, 6])
def test_rows_that_are_lent_take_no_axis_away(lent: int) -> None:
    """A rehearsal has a bench under the board, and the board is what is practised."""
    whole, lending = measures(80, 24), measures(80, 24 - lent, lent=lent)

    assert lending.axis == whole.axis
    assert lending.rows.list_rows == whole.rows.list_rows - lent
    assert measures(80, 24 - lent).axis is None

"""Spans are written as people write them, and read back as the same number."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from readbell.core.instant import SECOND, Span
from readbell.core.span_text import read_span, write_elapsed, write_left, write_span

HOUR = 3_600_000


@pytest.mark.parametrize(
    ("text", "milliseconds"),
    [
        pytest.param("0:45", 45_000, id="seconds"),
        pytest.param("15:00", 900_000, id="minutes"),
        pytest.param("90:00", 5_400_000, id="more minutes than an hour has"),
        pytest.param("14:59.999", 899_999, id="milliseconds"),
        pytest.param("0:00.5", 500, id="tenths"),
        pytest.param("0:00.05", 50, id="hundredths"),
        pytest.param("1:30:00", 5_400_000, id="hours"),
        pytest.param("1:05:00.001", HOUR + 300_001, id="hours and a millisecond"),
        pytest.param("00:00:00", 0, id="nothing, in full"),
    ],
)
def test_a_written_span_is_read(text: str, milliseconds: int) -> None:
    """Assay files and scenarios write their figures so."""
    assert read_span(text) == milliseconds


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("", id="nothing"),
        pytest.param("15", id="a bare number"),
        pytest.param("0:60", id="sixty seconds"),
        pytest.param("1:60:00", id="sixty minutes of an hour"),
        pytest.param("0:5", id="one digit of seconds"),
        pytest.param("-1:00", id="a span below nothing"),
        pytest.param("1:00.", id="a point and no decimals"),
        pytest.param("1:00.0001", id="less than a millisecond"),
        pytest.param(" 1:00", id="a blank before it"),
        pytest.param("1:00\n", id="a line end after it"),
        pytest.param("\u0661:00", id="digits of another script"),
        pytest.param("1:00:00:00", id="days"),
    ],
)
def test_what_writes_no_span_is_none(text: str) -> None:
    """A slip of the keys in a file must be told, never guessed at."""
    assert read_span(text) is None


def test_a_number_without_end_is_no_span() -> None:
    """A file full of digits is a wrong file, not a crash."""
    assert read_span("9" * 5_000 + ":00") is None


@pytest.mark.parametrize(
    ("milliseconds", "text"),
    [
        pytest.param(0, "0:00", id="nothing"),
        pytest.param(9_000, "0:09", id="seconds"),
        pytest.param(HOUR - 1, "59:59.999", id="just below an hour"),
        pytest.param(HOUR, "1:00:00", id="an hour"),
        pytest.param(900_050, "15:00.050", id="milliseconds"),
        pytest.param(-61_000, "-1:01", id="time gone by since"),
        pytest.param(-HOUR, "-1:00:00", id="an hour gone by since"),
    ],
)
def test_a_span_is_written_as_people_write_it(milliseconds: int, text: str) -> None:
    """The board, the refusals and the reports share one spelling."""
    assert write_span(Span(milliseconds)) == text


@settings(deadline=None, max_examples=200)
@given(milliseconds=st.integers(0, 100 * HOUR))
def test_what_was_written_is_read_back_whole(milliseconds: int) -> None:
    """Nothing is lost between a record and its text."""
    assert read_span(write_span(Span(milliseconds))) == milliseconds


@pytest.mark.parametrize(
    ("milliseconds", "elapsed", "left"),
    [
        pytest.param(59_999, "0:59", "1:00", id="a millisecond short of a minute"),
        pytest.param(60_000, "1:00", "1:00", id="a minute"),
        pytest.param(60_001, "1:00", "1:01", id="a millisecond over a minute"),
        pytest.param(1, "0:00", "0:01", id="one millisecond"),
    ],
)
def test_rounding_never_flatters(milliseconds: int, elapsed: str, left: str) -> None:
    """No time is claimed that has not passed, and none is taken away that is left."""
    assert write_elapsed(Span(milliseconds)) == elapsed
    assert write_left(Span(milliseconds)) == left


@settings(deadline=None, max_examples=100)
@given(milliseconds=st.integers(0, 100 * HOUR))
def test_elapsed_and_left_are_whole_seconds_around_the_truth(milliseconds: int) -> None:
    """Both figures hold the true one between them, less than a second away."""
    elapsed, left = (
        read_span(write_elapsed(Span(milliseconds))),
        read_span(write_left(Span(milliseconds))),
    )

    assert elapsed is not None
    assert left is not None
    assert elapsed <= milliseconds <= left
    assert elapsed % SECOND == left % SECOND == 0
    assert left - elapsed == (0 if milliseconds % SECOND == 0 else SECOND)

"""A day typed as it stands on the box: refused, with the very day that is to be typed."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readbell.hand.typed_day import no_day, no_last_day

if TYPE_CHECKING:
    from datetime import date


@pytest.mark.parametrize(
    "text", ["2026-12", "2026-12-00", "2026/12", "202612", "12/2026", "12.2026"]
)
def test_a_box_that_says_a_month_is_good_through_its_last_day(text: str) -> None:
    """Most boxes say no more; left to guess, one types the first of it and the next the thirtieth."""
    assert no_last_day(text) == (
        f'"{text}" is no day. Where the box says the month alone, it is good through the last day '
        "of that month: type 2026-12-31."
    )


def test_february_ends_as_the_year_has_it() -> None:
    """A leap year too."""
    assert "type 2028-02-29." in no_last_day("2028-02")
    assert "type 2027-02-28." in no_last_day("02/2027")


@pytest.mark.parametrize(
    "text", ["31.12.2026", "31/12/2026", "12/31/2026", "2026/12/31", "2026.12.31"]
)
def test_a_day_in_another_order_is_said_in_the_one_that_is_taken(text: str) -> None:
    """The very day, and never another one as a pattern, which a hurried hand would type."""
    for said in (no_day(text), no_last_day(text)):
        assert said == f'"{text}" is no day. For that day type 2026-12-31.'


def test_what_may_be_two_days_is_guessed_by_nobody() -> None:
    """April to some, March to others."""
    assert no_day("03/04/2027") == (
        '"03/04/2027" is no day. Type year, month, day, such as 2027-12-31.'
    )
    assert no_day("04/04/2027").endswith("For that day type 2027-04-04.")


@pytest.mark.parametrize(
    "text", ["", "soon", "2026-13", "13/2026", "0000-01", "2027-02-30", "31.02.2027"]
)
def test_what_is_no_day_at_all_is_told_the_order(text: str) -> None:
    """Nothing is made out of it."""
    assert no_last_day(text) == (f'"{text}" is no day. Type year, month, day, such as 2027-12-31.')


@given(day=st.dates())
def test_a_day_written_with_dots_is_found_again(day: date) -> None:
    """Whatever day it is."""
    said = no_day(f"{day.day}.{day.month}.{day.year:04}")

    assert said.endswith(f" {day.isoformat()}.")


@given(text=st.text(max_size=12))
def test_any_text_is_answered_in_words(text: str) -> None:
    """Whatever a keyboard or a scanner gives."""
    assert no_last_day(text).startswith(f'"{text}" is no day. ')

"""Wrong PINs cost time, and in the end the right to sign in."""

from __future__ import annotations

import pytest

from readbell.core.instant import MINUTE, SECOND, Instant, Span, later
from readbell.core.refusal import RefusalCode
from readbell.core.staff.pins import (
    is_guessed_first,
    is_locked_out,
    is_pin,
    may_try_from,
    refuse_attempt,
)
from readbell.core.staff.roster import Standing

WHEN = Instant(1_000_000)


def wrong(times: int) -> Standing:
    """Somebody who was wrong so many times, the last time at WHEN."""
    return Standing(key="a", wrong_pins=times, last_wrong=WHEN)


def test_nobody_waits_who_was_never_wrong() -> None:
    """The first try is free."""
    assert may_try_from(Standing(key="a")) is None
    assert may_try_from(Standing(key="a", last_wrong=WHEN)) is None
    assert refuse_attempt(Standing(key="a"), 5, WHEN) is None


@pytest.mark.parametrize(("times", "seconds"), [(1, 2), (2, 4), (3, 8), (4, 16), (9, 512)])
def test_each_wrong_pin_doubles_the_wait(times: int, seconds: int) -> None:
    """Two seconds at first, so that a slip costs little and a guesser much."""
    assert may_try_from(wrong(times)) == later(WHEN, Span(seconds * SECOND))


def test_no_wait_is_longer_than_a_quarter_of_an_hour() -> None:
    """Somebody who works alone must get in again on the same day."""
    assert may_try_from(wrong(10)) == may_try_from(wrong(40)) == later(WHEN, Span(15 * MINUTE))


def test_until_the_wait_is_over_no_pin_is_looked_at() -> None:
    """Not the right one either, or a guesser would learn which it is."""
    due = later(WHEN, Span(2 * SECOND))
    refused = refuse_attempt(wrong(1), 5, Instant(due - 1))

    assert refused is not None
    assert (refused.code, refused.due) == (RefusalCode.PIN_TOO_SOON, due)
    assert refuse_attempt(wrong(1), 5, due) is None


def test_too_many_in_a_row_lock_somebody_out_for_good() -> None:
    """However long they wait."""
    assert not is_locked_out(wrong(4), 5)
    assert is_locked_out(wrong(5), 5)
    refused = refuse_attempt(wrong(5), 5, later(WHEN, Span(60 * MINUTE)))
    assert refused is not None
    assert refused.code is RefusalCode.LOCKED_OUT


def test_a_site_may_lock_nobody_out() -> None:
    """Then the waits alone slow a guesser down."""
    assert not is_locked_out(wrong(40), 0)


@pytest.mark.parametrize(
    ("text", "is_one"),
    [
        ("4071", True),
        ("407119283746", True),
        ("407", False),
        ("4071192837465", False),
        ("40 1", False),
        ("40a1", False),
        ("", False),
        ("٤٠٧١", False),
    ],
)
def test_a_pin_is_four_to_twelve_digits(text: str, is_one: bool) -> None:
    """Digits that every keyboard types alike."""
    assert is_pin(text) is is_one


@pytest.mark.parametrize(
    ("pin", "is_first"),
    [("1111", True), ("1234", True), ("8765", True), ("1235", False), ("1212", False)],
)
def test_what_anybody_tries_first_is_known(pin: str, is_first: bool) -> None:
    """One digit throughout, or counting up or down."""
    assert is_guessed_first(pin) is is_first

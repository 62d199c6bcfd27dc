"""The read window decides whether a reading counts, so its borders are pinned."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import NASAL, at, span
from readbell.core.cartridge.moment import Done, stated, timed
from readbell.core.cartridge.window import Window, window_of
from readbell.core.instant import Instant, Span

RULES = NASAL.reading


def stated_window(doubt: str) -> Window:
    """The window of drops stated at 10:00, give or take `doubt`, when all of it was long past."""
    done = stated(at("10:00"), span(doubt), not_before=at("0:00"), recorded=at("50:00"))
    return window_of(RULES, done)


def test_the_window_counts_from_the_application() -> None:
    """Each figure of the assay is a span after the drops, and lapsed is the next millisecond."""
    found = window_of(RULES, timed(at("10:00")))

    assert found == Window(
        early_from=at("12:00"),
        opens=at("25:00"),
        closing_from=at("28:00"),
        closes=at("30:00"),
    )
    assert found.lapses == at("30:00.001")


def test_doubt_opens_late_and_closes_early() -> None:
    """Whoever reads inside the narrowed window is right wherever in the doubt the drops fell."""
    found = stated_window("1:00")

    assert found.early_from == at("13:00")
    assert found.opens == at("26:00")
    assert found.closes == at("29:00")
    assert found.closing_from == at("27:00")


@pytest.mark.parametrize(
    ("doubt", "is_empty"),
    [
        pytest.param("2:29.999", False, id="some milliseconds left"),
        pytest.param("2:30", False, id="one instant left"),
        pytest.param("2:30.001", True, id="nothing left"),
    ],
)
def test_too_much_doubt_leaves_no_window(doubt: str, is_empty: bool) -> None:
    """A cartridge that can be read at no honest instant has to be given up."""
    assert stated_window(doubt).is_empty is is_empty


def test_a_narrowed_window_is_never_closing_before_it_opens() -> None:
    """The urgent alert of a window that is not open yet would call for a refused reading."""
    found = stated_window("2:00")

    assert found.opens == at("27:00")
    assert found.closing_from == at("27:00")
    assert found.closes == at("28:00")


def test_without_a_stated_limit_the_window_never_closes() -> None:
    """A kit that names no last instant gives the program none to invent."""
    open_ended = replace(RULES, closes=None, early_from=None)
    found = window_of(
        open_ended, stated(at("0:00"), span("1:00"), not_before=at("0:00"), recorded=at("90:00"))
    )

    assert found.opens == at("16:00")
    assert (found.early_from, found.closing_from, found.closes, found.lapses) == (None,) * 4
    assert not found.is_empty


@settings(deadline=None, max_examples=200)
@given(
    earliest=st.integers(0, 10**6),
    width=st.integers(0, 400_000),
    where=st.floats(0, 1),
    when=st.integers(0, 3 * 10**6),
)
def test_inside_the_narrowed_window_is_inside_the_true_one(
    earliest: int, width: int, where: float, when: int
) -> None:
    """The law behind late truth: no doubt may turn an untimely reading into a timely one."""
    latest = earliest + width
    truth = earliest + round(where * width)
    narrowed = window_of(
        RULES,
        Done(said=Instant(truth), earliest=Instant(earliest), latest=Instant(latest), stated=True),
    )
    true = window_of(RULES, timed(Instant(truth)))
    assert narrowed.closes is not None
    assert true.closes is not None

    if narrowed.opens <= when <= narrowed.closes:
        assert true.opens <= when <= true.closes
    assert narrowed.is_empty == (width > Span(300_000))


def test_an_assay_without_a_warning_has_no_closing() -> None:
    """A warning of nothing would ring at the last instant, when nobody can act on it."""
    rules = replace(NASAL.reading, closing_warning=Span(0))

    assert window_of(rules, timed(at("2:30"))).closing_from is None

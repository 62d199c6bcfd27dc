"""How many windows will be open at once."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import NASAL, Bench, at, span
from readbell.core.cartridge.window import Window
from readbell.core.instant import Instant, later
from readbell.ui.glyphs import UNICODE
from readbell.ui.load import load, most_at_once
from readbell.ui.measures import measures
from readbell.ui.turning import Turning
from ui.busy_board import NOW, busy_bench

BUSY = busy_bench().board


def window(opens: int, closes: int | None) -> Window:
    """A window in seconds."""
    return Window(
        early_from=None,
        opens=Instant(opens * 1000),
        closing_from=None,
        closes=None if closes is None else Instant(closes * 1000),
    )


def test_the_row_stands_below_the_axis_and_marks_what_is_too_much() -> None:
    """A figure a minute, an exclamation mark above what the readers can do."""
    shown = load(BUSY, NOW, measures(120, 40).columns, UNICODE, readers_can=5).text

    assert shown.rstrip() == (
        "     windows open at once                     │4  4  5  5  5  6! 7! 6! 6! 6! 7! 6! 6! 6! "
        "5  5  4  3  2  1  ·  ·  ·  ·"
    )
    assert len(shown) == 120


def test_without_a_limit_nothing_is_marked() -> None:
    """Somebody has to say what the readers can do."""
    assert "!" not in load(BUSY, NOW, measures(120, 40).columns, UNICODE).text


def test_figures_too_wide_for_a_minute_stand_for_some_minutes() -> None:
    """Two figures that touch would be read as one."""
    bench = Bench(units=None)
    for number in range(12):
        bench.to_well(f"C{number:02}", applied="2:30")
    shown = load(bench.board, at("17:30"), measures(80, 24).columns, UNICODE, readers_can=5).text

    assert "12!12!" not in shown
    assert "12!" in shown
    assert len(shown) == 80


def test_without_an_axis_there_is_no_row() -> None:
    """The greatest number is told in words instead."""
    assert load(BUSY, NOW, measures(60, 20).columns, UNICODE).text == " " * 60
    assert most_at_once(BUSY, NOW, 24) == 7


@pytest.mark.parametrize(
    ("windows", "counts"),
    [
        pytest.param([], (0, 0, 0), id="none"),
        pytest.param([window(0, 59)], (1, 0, 0), id="in the first minute"),
        pytest.param([window(0, 60)], (1, 1, 0), id="the last moment counts"),
        pytest.param([window(-60, 0)], (1, 0, 0), id="closing this instant"),
        pytest.param([window(-60, -1)], (0, 0, 0), id="closed"),
        pytest.param([window(60, 61)], (0, 1, 0), id="on the minute"),
        pytest.param([window(30, None)], (1, 1, 1), id="without an end"),
        pytest.param([window(180, 200)], (0, 0, 0), id="beyond the edge"),
        pytest.param([window(0, 70), window(71, 90)], (1, 1, 0), id="one after the other"),
        pytest.param([window(0, 70), window(70, 90)], (1, 2, 0), id="at one instant"),
    ],
)
def test_the_most_within_each_minute_is_counted(
    windows: list[Window], counts: tuple[int, ...]
) -> None:
    """Both borders belong to a window."""
    assert Turning(windows).most_in_each(Instant(0), 3) == counts


def test_what_closes_as_a_minute_begins_is_open_in_it_no_more() -> None:
    """The first millisecond after the close belongs to the next."""
    assert Turning([window(-60, 0)]).most_in_each(Instant(1), 2) == (0, 0)
    assert Turning([window(-60, 0), window(-60, 60)]).most_in_each(Instant(1), 3) == (1, 0, 0)


@settings(max_examples=200, deadline=None)
@given(
    st.lists(st.tuples(st.integers(-300, 400), st.integers(0, 300)), max_size=12),
    st.integers(0, 999),
)
def test_the_count_is_that_of_looking_at_every_instant(
    spans: list[tuple[int, int]], part: int
) -> None:
    """Held to a slow count over all borders."""
    now = Instant(part)
    windows = [window(opens, opens + length) for opens, length in spans]
    borders = {now, *(each.opens for each in windows)}
    slow = []
    for minute in range(5):
        begins, ends = now + minute * 60_000, now + (minute + 1) * 60_000
        instants = {begins, *(each for each in borders if begins <= each < ends)}
        slow.append(
            max(
                sum(
                    each.opens <= instant and each.closes is not None and instant <= each.closes
                    for each in windows
                )
                for instant in instants
            )
        )

    assert Turning(windows).most_in_each(now, 5) == tuple(slow)


def test_an_unsure_window_and_one_without_an_end_are_counted_as_they_are() -> None:
    """What gives no outcome needs no reader; what never closes keeps one."""
    rules = replace(NASAL.reading, closes=None, closing_warning=span("0:00"))
    bench = Bench(replace(NASAL, reading=rules))
    bench.to_well()

    assert most_at_once(bench.board, later(at("2:30"), span("15:00")), 5) == 1

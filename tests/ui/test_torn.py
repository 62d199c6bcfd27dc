"""Which rows are sent whole, without a screen."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from textual.geometry import Size

from readbell.ui.torn import BETWEEN_HEALINGS, HEALED_IN, MOST_HEALED, TORN_TICKS, Torn


@given(height=st.integers(1, 300))
def test_each_row_is_sent_within_the_time_that_is_promised(height: int) -> None:
    """A second at a time; of a very high window a few rows at a time, whatever that takes."""
    torn, sent = Torn(), list[int]()
    for second in range(max(HEALED_IN, -(-height // MOST_HEALED))):
        torn.tick(height, float(second))
        sent += torn.paint(Size(80, height))

    assert set(range(height)) <= set(sent)


@given(ticks=st.lists(st.floats(0.01, 1.0), min_size=1, max_size=60))
def test_however_fast_it_ticks_few_rows_are_sent(ticks: list[float]) -> None:
    """At twenty times the speed of life all of it would go out each second."""
    torn, at, sent = Torn(), 0.0, 0
    for span in ticks:
        at += span
        torn.tick(40, at)
        sent += len(torn.paint(Size(80, 40)))

    assert sent <= (at / BETWEEN_HEALINGS + 1) * 2


@given(height=st.integers(1, 1000))
def test_of_a_very_high_window_few_rows_are_sent_anew_at_once(height: int) -> None:
    """Two hundred countdowns and their rows anew are to go through a thin line."""
    torn = Torn()
    torn.tick(height, 0.0)

    assert len(torn.paint(Size(80, height))) <= MOST_HEALED


def test_what_could_not_be_sent_is_not_passed_over() -> None:
    """A terminal that reads nothing for a while misses no row for it."""
    torn = Torn()
    torn.tick(40, 0.0)
    torn.tick(40, 1.0)
    torn.tick(40, 2.0)

    assert torn.paint(Size(80, 40)) == range(2)


def test_a_torn_picture_is_sent_whole_now_and_for_some_ticks() -> None:
    """And then what changes, and a few rows a second."""
    torn, size = Torn(), Size(80, 40)
    torn.tear()
    whole = [torn.paint(size) == range(40)]
    for second in range(TORN_TICKS + 1):
        torn.tick(40, float(second))
        whole.append(torn.paint(size) == range(40))

    assert whole == [True] * (TORN_TICKS + 1) + [False]


def test_a_picture_of_another_size_is_sent_whole() -> None:
    """The first is the library's own, which sends all of it itself."""
    torn, size = Torn(), Size(80, 40)
    torn.library_paints(size)

    assert torn.paint(size) == range(0)
    assert torn.paint(Size(81, 40)) == range(40)
    assert torn.paint(size) == range(40)
    assert len(torn.paint(size)) == 0

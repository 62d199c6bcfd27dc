"""Every alert in one line, on the pages without a list."""

from __future__ import annotations

import pytest

from builders import Bench, at
from readbell.ui.alert_line import alert_line
from ui.busy_board import NOW, busy_bench

BUSY = busy_bench().board


def test_alerts_are_grouped_by_word_the_most_urgent_first() -> None:
    """Each with its tags, the one lost next with its time."""
    assert alert_line(BUSY, NOW, 120).text.split() == (
        [
            "!!",
            "CLOSING",
            "C03",
            "1:10",
            "!",
            "READ",
            "NOW",
            "C04",
            "C05",
            "C06",
            ">",
            "WAIT",
            "OVER",
            "C22",
            "x",
            "LAPSED",
            "C01",
        ]
    )


def test_drops_that_are_due_are_told_after_what_calls() -> None:
    """They have no alarm of their own, so in a room they would be forgotten beside the tube."""
    bench = Bench()
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")
    bench.step("withdraw", "1:10")
    bench.to_well("C2", "P-002", applied="1:30")

    assert alert_line(bench.board, at("1:40"), 80).text.split() == [">", "drops", "due", "C1"]
    assert alert_line(bench.board, at("17:00"), 80).text.split()[:4] == ["!", "READ", "NOW", "C2"]


def test_nothing_due_is_a_blank_line() -> None:
    """The row stays, so that nothing jumps when something comes."""
    assert alert_line(Bench().board, at("0:00"), 80).text == " " * 80


def test_it_shortens_to_counts_from_the_least_urgent_on() -> None:
    """Before it wraps, and with no alert left out."""
    bench = Bench(units=None)
    for number in range(14):
        bench.to_well(f"C{number:02}", applied="2:30")
    bench.to_well("D1", applied="1:00")

    shown = alert_line(bench.board, at("19:00"), 80).text.split()
    assert shown == ["!!", "CLOSING", "D1", "2:00", "!", "READ", "NOW", "14"]


@pytest.mark.parametrize("width", [20, 40, 60, 80, 120, 200])
def test_it_never_wraps_and_counts_every_alert(width: int) -> None:
    """Where no word has room the signs are left."""
    shown = alert_line(BUSY, NOW, width)

    assert shown.width == width
    assert all(sign in shown.text for sign in ("!!", ">", "x"))


def test_two_that_close_are_named_both() -> None:
    """The figure is of the first."""
    bench = Bench()
    bench.to_well("C1", applied="2:30")
    bench.to_well("C2", "P-002", applied="2:00")

    assert alert_line(bench.board, at("21:00"), 80).text.split() == (
        ["!!", "CLOSING", "C2", "1:00", "C1"]
    )

"""Where a cartridge stands, in one word, one sign and one figure."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import NASAL, NEGATIVE, Bench, at, span
from readbell.core.assay.step import Wait
from readbell.core.board.events import ClockUnsure
from readbell.core.board.fold import fold
from readbell.core.cartridge.at_instant import window
from readbell.core.instant import Instant, Span
from readbell.core.span_text import write_span
from readbell.phrases.board_words import (
    Where,
    changes_at,
    name_of_wait,
    say_nothing_runs,
    standing,
    uncalled,
    write_since,
    write_until,
)
from readbell.phrases.clock_time import ClockFace

if TYPE_CHECKING:
    from readbell.core.assay.assay import Assay

FACE = ClockFace(zone=UTC)


def in_buffer(assay: Assay = NASAL) -> Bench:
    """A bench on which the swab of C1 stands in the buffer since 0:00."""
    bench = Bench(assay)
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")
    return bench


def with_wait(wait: Wait) -> Assay:
    """The nasal assay with another wait in the buffer."""
    steps = (replace(each, wait=wait) if each.key == "extract" else each for each in NASAL.steps)
    return replace(NASAL, steps=tuple(steps))


def said(bench: Bench, now: str) -> str:
    """Sign, word and figure of C1."""
    stands = standing(bench.cartridge("C1"), at(now))
    return f"{stands.sign}|{stands.word}|{stands.figure(at(now))}"


@pytest.mark.parametrize(
    ("now", "words"),
    [
        pytest.param("2:30", "  |opens in|15:00", id="as the drops fall"),
        pytest.param("4:29.999", "  |opens in|13:01", id="before an early look"),
        pytest.param("4:30", "e |opens in|13:00", id="an early look"),
        pytest.param("5:30", "e |opens in|12:00", id="a minute later"),
        pytest.param("17:29.999", "e |opens in|0:01", id="just before the opening"),
        pytest.param("17:30", "! |READ NOW|5:00", id="as it opens"),
        pytest.param("17:30.001", "! |READ NOW|5:00", id="just open"),
        pytest.param("20:29.999", "! |READ NOW|2:01", id="before the warning"),
        pytest.param("20:30", "!!|CLOSING|2:00", id="the warning"),
        pytest.param("22:29.999", "!!|CLOSING|0:01", id="just before the close"),
        pytest.param("22:30", "!!|CLOSING|0:00", id="the last moment"),
        pytest.param("22:30.001", "x |LAPSED|+0:00", id="just after"),
        pytest.param("22:31", "x |LAPSED|+0:01", id="a second after"),
        pytest.param("1:22:30", "x |LAPSED|+1:00:00", id="an hour after"),
    ],
)
def test_the_window_is_told_at_each_border(now: str, words: str) -> None:
    """Nothing is said a millisecond too early, and 0:00 only at the deadline."""
    bench = Bench()
    bench.to_well()

    assert said(bench, now) == words


@pytest.mark.parametrize(
    ("now", "words"),
    [
        pytest.param("0:00", "  |in buffer|1:00", id="as it begins"),
        pytest.param("0:59.999", "  |in buffer|0:01", id="just before"),
        pytest.param("1:00", "> |WAIT OVER|+0:00", id="over"),
        pytest.param("2:59.999", "> |WAIT OVER|+1:59", id="before the limit"),
        pytest.param("3:00", ">>|OVERDUE|+0:00", id="the limit"),
        pytest.param("3:01", ">>|OVERDUE|+0:01", id="past the limit"),
    ],
)
def test_the_wait_is_told_at_each_border(now: str, words: str) -> None:
    """The word changes at the instant at which its alert falls."""
    assert said(in_buffer(), now) == words


def test_a_wait_without_a_name_is_called_a_wait() -> None:
    """An assay need not name it."""
    bench = in_buffer(with_wait(Wait(until="withdraw", least=span("1:00"))))

    assert said(bench, "0:10") == "  |wait|0:50"
    assert name_of_wait(bench.cartridge("C1"), "no such step") == "wait"


def test_a_wait_with_a_limit_alone_says_within_which_time() -> None:
    """A hand may move at once, but not for ever."""
    bench = in_buffer(with_wait(Wait(until="withdraw", most=span("2:00"))))

    assert said(bench, "0:30") == "  |do within|1:30"


def test_a_wait_for_a_later_step_does_not_hold_the_next_one_back() -> None:
    """What lies between is to be done now."""
    bench = in_buffer(with_wait(Wait(until="apply", least=span("1:00"))))

    assert said(bench, "0:30") == "> |step due|+0:30"


def test_where_no_clock_runs_the_time_since_the_last_step_is_told() -> None:
    """The gap between withdrawing the swab and the drops is short, and it must be seen."""
    bench = Bench()
    bench.label()
    words = [said(bench, "0:05")]
    bench.step("buffer", "0:10")
    words.append(said(bench, "0:30"))
    for step in ("collect", "extract"):
        bench.step(step, "0:30")
    bench.step("withdraw", "1:30")
    words.append(said(bench, "1:50"))

    assert words == ["  |labelled|+0:05", "  |preparing|+0:20", "> |drops due|+0:20"]


def test_after_a_clock_that_lied_nobody_says_how_long_the_last_step_is_ago() -> None:
    """The figure would be believed."""
    bench = Bench()
    bench.label()
    cartridge = bench.cartridge("C1")
    doubted = replace(cartridge, marks=(replace(cartridge.last_mark, doubted=at("0:10")),))

    assert standing(doubted, at("0:20")).figure(at("0:20")) == ""


@settings(max_examples=200, deadline=None)
@given(
    steps=st.integers(0, 5),
    now=st.integers(0, 25 * 60_000),
    further=st.integers(0, 25 * 60_000),
)
def test_a_standing_holds_until_the_instant_that_is_said(
    steps: int, now: int, further: int
) -> None:
    """So a thousand of them need not be worked out again each second."""
    bench = Bench()
    bench.label()
    for place, step in enumerate(("buffer", "collect", "extract", "withdraw", "apply")[:steps]):
        bench.step(step, "1:00" if place > 2 else "0:00")
    cartridge = bench.cartridge("C1")
    begins = Instant(at("1:00") + now)
    ends = changes_at(cartridge, begins)

    assert ends > begins
    later_on = Instant(min(begins + further, ends - 1))
    assert standing(cartridge, later_on) == standing(cartridge, begins)


def test_an_unsure_clock_shows_no_figure() -> None:
    """Whatever stood there would be believed."""
    bench = Bench()
    bench.to_well()
    bench.board = fold(bench.board, ClockUnsure(at=at("3:00"), cartridges=("id-C1",)))

    assert said(bench, "18:00") == "? |clock unsure|"


def test_what_has_ended_says_how() -> None:
    """Also in the panel of a cartridge that is no longer in the list."""
    bench = Bench()
    bench.to_well("C2", "P-002")
    bench.to_well()
    bench.must(bench.read_act(NEGATIVE), "18:00")
    bench.must(bench.void_act("C2"), "18:00")

    assert said(bench, "19:00") == "  |read|"
    assert standing(bench.cartridge("C2"), at("19:00")).where is Where.VOID


def test_a_window_without_an_end_counts_up() -> None:
    """There is nothing to count down to."""
    rules = replace(NASAL.reading, closes=None, closing_warning=span("0:00"))
    bench = Bench(replace(NASAL, reading=rules))
    bench.to_well()

    assert said(bench, "18:00") == "! |READ NOW|+0:30"


@settings(max_examples=200, deadline=None)
@given(elapsed=st.integers(0, 25 * 60_000))
def test_word_and_window_never_part(elapsed: int) -> None:
    """READ NOW stands exactly while a reading would be taken."""
    bench = Bench()
    cartridge = bench.to_well()
    now = Instant(at("2:30") + elapsed)
    span_of = window(cartridge)
    assert span_of is not None
    assert span_of.closes is not None

    is_open = standing(cartridge, now).where in (Where.READ_NOW, Where.CLOSING)
    assert is_open == (span_of.opens <= now <= span_of.closes)


def test_figures_are_rounded_so_that_nobody_comes_too_late() -> None:
    """Time left is rounded up, time gone by down; neither goes below nothing."""
    assert write_until(at("1:00"), at("0:59.999")) == "0:01"
    assert write_until(at("1:00"), at("2:00")) == "0:00"
    assert write_since(at("1:00"), at("1:59.999")) == "+0:59"
    assert write_since(at("1:00"), at("0:00")) == "+0:00"


def test_nothing_running_says_what_was_done_today() -> None:
    """Or how the first patient is begun."""
    now = at("20:00")
    yesterday = Instant(now - 24 * 3_600_000)

    assert say_nothing_runs((), (), now, FACE) == "Nothing runs. F2 starts the first patient."
    assert say_nothing_runs((yesterday,), (), now, FACE).startswith("Nothing runs.")
    assert (
        say_nothing_runs((at("1:00"), yesterday, at("0:30")), (), now, FACE)
        == "All read. 2 today, last 00:54."
    )


def test_whoever_waits_is_scanned_next_and_not_entered_once_more() -> None:
    """ "F2 starts the first patient" would have them on a list twice; "all read" would send them home."""
    now = at("20:00")
    assert say_nothing_runs((), (), now, FACE, 1) == (
        "Nothing runs. 1 to begin: scan the ID of whoever is next."
    )
    assert say_nothing_runs((at("1:00"),), (), now, FACE, 3) == (
        "3 to begin: scan the ID of whoever is next. Read: 1 today, last 00:54."
    )


def test_nothing_is_called_done_while_somebody_is_owed_a_repeat() -> None:
    """Four lapsed unread are not "all read"."""
    now, owed = at("20:00"), ["P-0412", "P-0413", "P-0414", "P-0415"]

    assert (
        say_nothing_runs((at("1:00"),), owed, now, FACE)
        == "4 to repeat: P-0412, P-0413, P-0414 and 1 more. Read: 1 today, last 00:54."
    )
    assert say_nothing_runs((), owed[:2], now, FACE) == "2 to repeat: P-0412, P-0413."


def untold(bench: Bench, now: str) -> str:
    """Sign, word and figure of C1 where nothing is called."""
    stands = uncalled(bench.cartridge("C1"), at(now))
    return f"{stands.sign}|{stands.word}|{stands.figure(at(now))}"


@pytest.mark.parametrize("now", ["0:30", "1:00", "2:59", "3:00", "9:00"])
def test_uncalled_a_swab_in_buffer_is_told_by_how_long_it_has_stood(now: str) -> None:
    """Whether its minute is over, or its limit past, looks no other than before."""
    assert untold(in_buffer(), now) == f"  |in buffer|+{now}"


@pytest.mark.parametrize("now", ["2:40", "5:00", "17:30", "20:30", "22:30"])
def test_uncalled_a_strip_is_told_by_how_long_ago_its_drops_fell(now: str) -> None:
    """Early look, window and its last stretch: for the trainee to know."""
    bench = in_buffer()
    bench.step("withdraw", "1:00")
    bench.step("apply", "2:30")

    assert untold(bench, now) == f"  |develops|+{write_span(Span(at(now) - at('2:30')))}"


def test_uncalled_what_comes_before_the_buffer_is_told_by_its_stage() -> None:
    """And the drops are not asked for."""
    bench = Bench()
    bench.label()
    assert untold(bench, "0:20") == "  |labelled|+0:20"
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:30")
    bench.step("withdraw", "1:40")
    assert untold(bench, "1:50") == "  |preparing|+0:10"


def test_uncalled_what_has_ended_is_told_as_ever() -> None:
    """Nothing of it is due any more."""
    bench = in_buffer()
    bench.step("withdraw", "1:00")
    bench.step("apply", "2:30")

    assert untold(bench, "23:00") == said(bench, "23:00")

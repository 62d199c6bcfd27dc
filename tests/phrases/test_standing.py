"""Where each cartridge stands: one line, the most urgent first, no figure too early or too late."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import CLEAR, NASAL, Bench, at, span
from readbell.core.board.events import ClockUnsure
from readbell.core.board.fold import fold
from readbell.core.instant import Instant
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.standing import labels, where_all_stand

FACE = ClockFace(zone=UTC, apart=span("6:40"))
"""Shows the start of the bench as 01:00:00."""


def lines(bench: Bench, now: str) -> list[str]:
    """Where all stand, so long after the start."""
    return list(where_all_stand(bench.board, at(now), FACE))


def developing() -> Bench:
    """A bench on which C1 has its drops since 2:30."""
    bench = Bench()
    bench.to_well()
    return bench


def test_an_empty_bench_says_so() -> None:
    """A blank screen might be a broken one."""
    assert lines(Bench(), "0:00") == ["Nothing runs."]


@pytest.mark.parametrize(
    ("now", "words"),
    [
        pytest.param("2:30", "developing  opens in 15:00 (01:17:30)", id="as the drops fall"),
        pytest.param("2:30.001", "developing  opens in 15:00 (01:17:30)", id="a moment later"),
        pytest.param("2:31", "developing  opens in 14:59 (01:17:30)", id="a second later"),
        pytest.param(
            "17:29.999", "developing  opens in 0:01 (01:17:30)", id="just before it opens"
        ),
        pytest.param("17:30", "read-window  closes in 5:00 (01:22:30)", id="as it opens"),
        pytest.param(
            "20:29.999", "read-window  closes in 2:01 (01:22:30)", id="before the warning"
        ),
        pytest.param("20:30", "closing  closes in 2:00 (01:22:30)", id="as the warning begins"),
        pytest.param("22:29.999", "closing  closes in 0:01 (01:22:30)", id="just before the close"),
        pytest.param("22:30", "closing  closes in 0:00 (01:22:30)", id="the last moment"),
        pytest.param("22:30.001", "lapsed  LAPSED since 0:00 (01:22:30)", id="just after"),
        pytest.param("22:31", "lapsed  LAPSED since 0:01 (01:22:30)", id="a second after"),
    ],
)
def test_the_window_is_counted_without_a_second_too_few(now: str, words: str) -> None:
    """Rounded up while there is time, down once it is past; 0:00 never comes early."""
    assert lines(developing(), now) == [f"C1  P-001  {words}"]


@pytest.mark.parametrize(
    ("now", "words"),
    [
        pytest.param("0:00", "extracting  wait over in 1:00 (01:01:00)", id="as the wait begins"),
        pytest.param("0:59.999", "extracting  wait over in 0:01 (01:01:00)", id="just before"),
        pytest.param("1:00", "extracting  overdue in 2:00 (01:03:00)", id="as it is over"),
        pytest.param("2:59.999", "extracting  overdue in 0:01 (01:03:00)", id="before overdue"),
        pytest.param("3:00.001", "extracting  OVERDUE since 0:00 (01:03:00)", id="just overdue"),
        pytest.param("3:01", "extracting  OVERDUE since 0:01 (01:03:00)", id="overdue"),
    ],
)
def test_a_wait_is_counted_first_to_its_end_and_then_to_its_limit(now: str, words: str) -> None:
    """First when a hand may move, then until when it should have."""
    bench = Bench()
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")

    assert lines(bench, now) == [f"C1  P-001  {words}"]


@pytest.mark.parametrize(
    ("now", "shown"),
    [
        pytest.param("10:00", "01:17:31", id="what opens, rounded up"),
        pytest.param("18:00", "01:22:30", id="what closes, rounded down"),
    ],
)
def test_whoever_comes_at_the_time_shown_is_in_time(now: str, shown: str) -> None:
    """The drops fell at half past a second: neither clock time may lie by the other half."""
    bench = Bench()
    bench.to_well(applied="2:30.500")

    assert lines(bench, now)[0].endswith(f"({shown})")


def test_where_no_time_runs_the_next_step_is_named() -> None:
    """A cartridge waits for a hand, not for a clock."""
    bench = Bench()
    bench.label()

    assert lines(bench, "0:00") == ["C1  P-001  labelled  next: Buffer into the tube"]


def test_an_early_positive_keeps_its_mark() -> None:
    """Until the window reading everybody sees that it is owed."""
    bench = developing()
    bench.must(bench.look_act(CLEAR), "6:00")

    assert lines(bench, "7:00") == ["C1  P-001  developing e+  opens in 10:30 (01:17:30)"]


def test_a_stated_application_keeps_its_mark() -> None:
    """Such times are marked everywhere."""
    bench = Bench()
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")
    bench.step("withdraw", "1:00")
    bench.must(bench.step_act("apply", done_at="2:00", doubt="0:05"), "4:00")

    assert lines(bench, "4:00")[0].endswith("(stated, not timed)")


def test_an_unsure_strip_shows_that_no_outcome_may_come_of_it() -> None:
    """An open window on a doubtful clock would be a trap."""
    bench = developing()
    bench.board = fold(bench.board, ClockUnsure(at=at("3:00"), cartridges=("id-C1",)))

    (line,) = lines(bench, "18:00")
    assert line.startswith("C1  P-001  developing (clock unsure: no outcome may come of it)")
    assert "closes" not in line


def test_a_window_without_an_end_counts_nothing_once_it_is_open() -> None:
    """There is no close to count to."""
    open_end = replace(
        NASAL, reading=replace(NASAL.reading, closes=None, closing_warning=span("0:00"))
    )
    bench = Bench(open_end)
    bench.to_well()

    assert lines(bench, "18:00") == ["C1  P-001  read-window"]


def test_the_cartridge_that_is_lost_first_stands_first() -> None:
    """The eye falls on the top line."""
    bench = developing()
    bench.to_well("C2", "P-002", applied="1:30")

    assert [line[:2] for line in lines(bench, "18:00")] == ["C2", "C1"]


@settings(max_examples=120, deadline=None)
@given(elapsed=st.integers(0, 25 * 60_000))
def test_no_countdown_shows_nothing_left_while_there_is_time(elapsed: int) -> None:
    """0:00 stands for "now" and for nothing sooner, at whatever millisecond one looks."""
    bench = developing()
    (line,) = where_all_stand(bench.board, Instant(at("2:30") + elapsed), FACE)

    is_border = elapsed in (15 * 60_000, 20 * 60_000)
    assert is_border or " in 0:00" not in line
    assert ("LAPSED" in line) == (elapsed > 20 * 60_000)


def test_labels_are_listed_with_commas() -> None:
    """By what is written on the plastic; an id that is not known is passed over."""
    bench = developing()
    bench.label("C2", "P-002")

    assert labels(bench.board, ["id-C1", "id-C9", "id-C2"]) == "C1, C2"

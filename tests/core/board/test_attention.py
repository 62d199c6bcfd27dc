"""Who is lost first stands first, and what is late already gives way to what can be kept."""

from __future__ import annotations

import itertools
from dataclasses import replace
from typing import TYPE_CHECKING

from hypothesis import given, settings
from hypothesis import strategies as st

from builders import NASAL, NEGATIVE, THREE_LINES, Bench, at, span
from core.any_acts import as_time_passes, folded
from readbell.core.assay.step import Wait
from readbell.core.board.attention import (
    NEVER,
    by_attention,
    in_turn,
    last_moment,
    order_holds,
    turns,
)
from readbell.core.cartridge.at_instant import stage_at
from readbell.core.cartridge.stage import Stage
from readbell.core.instant import Instant

if TYPE_CHECKING:
    from readbell.core.board.board import Board

STEPS = ("buffer", "collect", "extract", "withdraw", "apply")


def order(board: Board, now: Instant | None = None) -> list[str]:
    """The labels of the running cartridges, the first in need in front."""
    when = at("0:40") if now is None else now
    return [each.label for each in by_attention(board, when)]


def taken_to(bench: Bench, label: str, steps: int, at_second: int) -> None:
    """Label a cartridge at the start and do so many steps of it from `at_second` on."""
    bench.label(label)
    for place, step in enumerate(STEPS[:steps]):
        later = at_second + (60 if place >= STEPS.index("withdraw") else 0)
        bench.step(step, f"{later // 60}:{later % 60:02d}", label)


def test_the_first_to_be_lost_stands_first() -> None:
    """A swab in the buffer is due within minutes, a strip in development within a quarter hour."""
    bench = Bench()
    taken_to(bench, "C1", 1, 0)
    taken_to(bench, "C2", 5, 0)
    taken_to(bench, "C3", 3, 30)
    taken_to(bench, "C4", 5, 10)

    assert order(bench.board) == ["C3", "C2", "C4", "C1"]


def test_those_without_a_limit_come_last_in_the_order_of_their_labels() -> None:
    """No time runs against them, so nothing else tells them apart."""
    bench = Bench()
    for label in ("C1", "C2", "C3"):
        bench.label(label)
    bench.step("buffer", "0:10", "C2")

    assert order(bench.board) == ["C1", "C2", "C3"]


def test_an_ended_cartridge_asks_for_nothing() -> None:
    """Only the running ones are worth a look."""
    bench = Bench()
    bench.to_well("C1")
    bench.label("C2")
    bench.must(bench.read_act(NEGATIVE, "C1"), "17:30")

    assert order(bench.board) == ["C2"]


def test_the_last_moment_is_the_close_once_the_drops_are_down() -> None:
    """Until then it is the end of the wait that runs; with no limit it is never."""
    bench = Bench()
    bench.label()
    assert last_moment(bench.cartridge()) == NEVER
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")
    assert last_moment(bench.cartridge()) == at("3:00")
    assert last_moment(bench.step("withdraw", "1:00")) == NEVER
    assert last_moment(bench.step("apply", "2:30")) == at("22:30")


def test_of_several_waits_the_first_to_run_out_counts() -> None:
    """The age of the specimen is one limit, the stay in the buffer another."""
    steps = tuple(
        replace(each, wait=Wait(until="apply", most=span("2:00"))) if each.collects else each
        for each in NASAL.steps
    )
    bench = Bench(replace(NASAL, steps=steps))
    taken_to(bench, "C1", 3, 0)

    assert last_moment(bench.cartridge()) == at("2:00")


def test_a_window_without_a_stated_limit_is_never_lost() -> None:
    """It can be read in an hour just as well."""
    open_ended = replace(THREE_LINES, reading=replace(THREE_LINES.reading, closes=None))

    assert last_moment(Bench(open_ended).to_well()) == NEVER


def test_doubt_ends_a_wait_sooner() -> None:
    """The earliest instant the swab may have gone into the buffer counts."""
    bench = Bench()
    taken_to(bench, "C1", 2, 0)
    bench.must(bench.step_act("extract", done_at="1:00", doubt="0:10"), "2:00")

    assert last_moment(bench.cartridge()) == at("3:50")


def test_doubt_closes_a_window_sooner() -> None:
    """The earliest instant the drops may have fallen closes it."""
    bench = Bench()
    taken_to(bench, "C1", 4, 0)
    bench.must(bench.step_act("apply", done_at="2:00", doubt="0:30"), "3:00")

    assert last_moment(bench.cartridge()) == at("21:30")


def test_a_wait_past_its_limit_gives_way_to_what_is_lost_within_five_minutes() -> None:
    """It is late whatever is done; the windows can still be read."""
    bench = Bench()
    taken_to(bench, "C1", 3, 0)  # overdue from 3:00
    taken_to(bench, "C2", 5, 0)  # closes at 21:00
    taken_to(bench, "C3", 5, 20)  # closes at 21:20
    bench.label("C4")

    assert order(bench.board, at("2:59")) == ["C1", "C2", "C3", "C4"]
    assert order(bench.board, at("3:00")) == ["C1", "C2", "C3", "C4"]
    assert order(bench.board, at("15:59")) == ["C1", "C2", "C3", "C4"]
    assert order(bench.board, at("16:00")) == ["C2", "C1", "C3", "C4"]
    assert order(bench.board, at("16:20")) == ["C2", "C3", "C1", "C4"]


def test_a_second_limit_that_can_still_be_kept_counts_again() -> None:
    """The stay in the buffer is over; the age of the specimen is not."""
    steps = tuple(
        replace(each, wait=Wait(until="apply", most=span("20:00"))) if each.collects else each
        for each in NASAL.steps
    )
    bench = Bench(replace(NASAL, steps=steps))
    taken_to(bench, "C1", 3, 0)
    taken_to(bench, "C2", 5, 10)  # closes at 21:10

    assert order(bench.board, at("14:59")) == ["C1", "C2"]
    assert order(bench.board, at("16:10")) == ["C1", "C2"]
    assert order(bench.board, at("20:00")) == ["C2", "C1"]


@settings(deadline=None, max_examples=60)
@given(
    started=st.lists(st.tuples(st.integers(0, 5), st.integers(0, 600)), max_size=6),
    passing=st.lists(st.integers(0, 40 * 60_000), max_size=4),
)
def test_what_is_in_time_never_changes_places(
    started: list[tuple[int, int]], passing: list[int]
) -> None:
    """Alerts fall and cartridges lapse, but no row in time overtakes another under a finger."""
    bench = Bench(units=None)
    for number, (steps, second) in enumerate(started, start=1):
        taken_to(bench, f"C{number}", steps, second)
    board = bench.board
    before = [each.label for _, each in turns(board)]

    for elapsed in sorted(passing):
        now = Instant(at("11:00") + elapsed)
        board = folded(board, as_time_passes(board, now))
        late = {each.label for each in board.running.values() if last_moment(each) <= now}
        rows = order(board, now)
        assert sorted(rows) == sorted(each.label for each in board.running.values())
        for kept in (set(rows) - late, late):
            expected = [label for label in before if label in kept]
            assert [label for label in rows if label in kept] == expected


def test_the_order_holds_until_a_limit_passes_or_what_is_late_gives_way() -> None:
    """So a board need not be put in order each second."""
    bench = Bench()
    taken_to(bench, "C1", 3, 0)  # overdue from 3:00
    taken_to(bench, "C2", 5, 0)  # closes at 21:00
    kept = turns(bench.board)

    assert order_holds(kept, at("0:40")) == at("3:00")
    assert order_holds(kept, at("3:00")) == at("16:00")
    assert order_holds(kept, at("16:00")) == at("21:00")
    assert order_holds(kept, at("21:00")) == NEVER


def test_the_order_ends_where_a_second_limit_comes_near() -> None:
    """Both are late for their first; the second limit of one is to be kept before long."""
    steps = tuple(
        replace(each, wait=Wait(until="apply", most=span("20:00"))) if each.collects else each
        for each in NASAL.steps
    )
    bench = Bench(replace(NASAL, steps=steps))
    for label, collect, extract in (("C1", "0:00", "2:00"), ("C2", "1:00", "1:00")):
        bench.label(label)
        bench.step("buffer", "0:00", label)
        bench.step("collect", collect, label)
        bench.step("extract", extract, label)

    assert order(bench.board, at("14:59.999")) == ["C2", "C1"]
    assert order(bench.board, at("15:00")) == ["C1", "C2"]
    assert order_holds(turns(bench.board), at("6:00")) == at("15:00")


@settings(deadline=None, max_examples=60)
@given(
    started=st.lists(st.tuples(st.integers(0, 5), st.integers(0, 600)), max_size=6),
    two_limits=st.booleans(),
    begins=st.integers(0, 999),
)
def test_while_the_order_holds_nothing_changes_places(
    started: list[tuple[int, int]], two_limits: bool, begins: int
) -> None:
    """Held to the order itself, from end to end through a session."""
    aged = tuple(
        replace(each, wait=Wait(until="apply", most=span("20:00"))) if each.collects else each
        for each in NASAL.steps
    )
    bench = Bench(replace(NASAL, steps=aged) if two_limits else NASAL, units=None)
    for number, (steps, second) in enumerate(started, start=1):
        taken_to(bench, f"C{number}", steps, second)
    kept, now = turns(bench.board), Instant(at("0:00") + begins)
    while now < at("40:00"):
        ends = min(order_holds(kept, now), at("40:00"))
        assert ends > now
        for instant in (Instant((now + ends) // 2), Instant(ends - 1)):
            assert in_turn(kept, instant) == in_turn(kept, now)
        now = ends


@settings(deadline=None, max_examples=60)
@given(started=st.lists(st.tuples(st.integers(0, 5), st.integers(0, 600)), min_size=2, max_size=6))
def test_whoever_stands_in_front_is_lost_no_later(started: list[tuple[int, int]]) -> None:
    """At the last moment of each row but the one in front of it nothing of it is lost yet."""
    bench = Bench(units=None)
    for number, (steps, second) in enumerate(started, start=1):
        taken_to(bench, f"C{number}", steps, second)
    rows = in_turn(turns(bench.board), at("0:00"))

    for front, behind in itertools.pairwise(rows):
        moment = last_moment(front)
        assert stage_at(behind, moment) is not Stage.LAPSED or moment == NEVER

"""The one figure beside a cartridge runs towards what comes next, and never flatters."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import NASAL, NEGATIVE, Bench, at, span
from readbell.core.assay.step import Wait
from readbell.core.board.fold import fold
from readbell.core.cartridge.countdown import Countdown, Towards, countdown
from readbell.core.cartridge.looks import lapse
from readbell.core.instant import Instant

if TYPE_CHECKING:
    from readbell.core.assay.assay import Assay


def waits(**of_steps: Wait | None) -> Assay:
    """The one-line assay with other waits after its steps."""
    steps = tuple(
        replace(step, wait=of_steps[step.key]) if step.key in of_steps else step
        for step in NASAL.steps
    )
    return replace(NASAL, steps=steps)


def in_buffer(assay: Assay = NASAL) -> Bench:
    """A bench whose cartridge C1 had its swab put into the buffer at 0:00."""
    bench = Bench(assay)
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")
    return bench


@pytest.mark.parametrize(
    ("now", "towards", "due"),
    [
        pytest.param("0:00", Towards.WAIT_OVER, "1:00", id="as the wait begins"),
        pytest.param("0:59.999", Towards.WAIT_OVER, "1:00", id="just before it is over"),
        pytest.param("1:00", Towards.OVERDUE, "3:00", id="as it is over"),
        pytest.param("9:00", Towards.OVERDUE, "3:00", id="long overdue"),
    ],
)
def test_a_wait_counts_to_its_least_and_then_to_its_most(
    now: str, towards: Towards, due: str
) -> None:
    """First how long to hold still, then how long there is to act."""
    found = countdown(in_buffer().cartridge(), at(now))

    assert found == Countdown(towards=towards, due=at(due))


@pytest.mark.parametrize(
    ("now", "towards", "due"),
    [
        pytest.param("2:30", Towards.OPENS, "17:30", id="at the drops"),
        pytest.param("17:29.999", Towards.OPENS, "17:30", id="just before it opens"),
        pytest.param("17:30", Towards.CLOSES, "22:30", id="as it opens"),
        pytest.param("22:30", Towards.CLOSES, "22:30", id="the last instant that counts"),
        pytest.param("22:30.001", Towards.LAPSED, "22:30", id="lapsed"),
    ],
)
def test_a_window_counts_to_its_opening_and_then_to_its_close(
    now: str, towards: Towards, due: str
) -> None:
    """One figure at a time: until it may be read, then until it may no longer be."""
    found = countdown(Bench().to_well(), at(now))

    assert found == Countdown(towards=towards, due=at(due))


def test_nothing_counts_where_no_time_runs() -> None:
    """A figure that means nothing would be read as one that does."""
    bench = Bench()
    just_labelled = bench.label()
    bench.to_well("C2", "P-002")
    bench.must(bench.read_act(NEGATIVE, "C2"), "17:30")
    started = in_buffer()
    started.must(started.void_act(), "0:30")

    assert countdown(just_labelled, at("0:00")) is None
    assert countdown(bench.cartridge("C2"), at("17:31")) is None
    assert countdown(started.cartridge(), at("0:31")) is None


def test_an_open_window_without_a_limit_counts_towards_nothing() -> None:
    """Until it opens there is something to wait for; afterwards the kit sets no deadline."""
    open_ended = replace(NASAL, reading=replace(NASAL.reading, closes=None))
    found = Bench(open_ended).to_well()

    assert countdown(found, at("17:29.999")) == Countdown(towards=Towards.OPENS, due=at("17:30"))
    assert countdown(found, at("17:30")) is None


def test_a_recorded_lapse_counts_up_from_the_close() -> None:
    """Whoever finds the cartridge sees for how long it has been past reading."""
    bench = Bench()
    found = bench.to_well()
    bench.board = fold(bench.board, lapse(found, at("22:30.001")))
    count = countdown(bench.cartridge(), at("23:30"))

    assert count == Countdown(towards=Towards.LAPSED, due=at("22:30"))
    assert count.seconds_left(at("23:30")) == -60


def test_an_ended_wait_counts_no_more() -> None:
    """The swab is out of the buffer: its minute is nobody's concern."""
    bench = in_buffer()
    bench.step("withdraw", "1:00")

    assert countdown(bench.cartridge(), at("1:00")) is None


def test_a_wait_without_an_upper_limit_ends_quietly() -> None:
    """Once its least is over nothing runs out, so nothing is counted."""
    found = in_buffer(waits(extract=Wait(until="withdraw", least=span("1:00")))).cartridge()

    assert countdown(found, at("0:59.999")) is not None
    assert countdown(found, at("1:00")) is None


def test_of_two_limits_the_nearer_one_is_shown() -> None:
    """The age of the specimen runs for hours; it must not hide that the swab is due in minutes."""
    both = waits(
        collect=Wait(until="apply", most=span("4:00:00")),
        extract=Wait(until="withdraw", least=span("1:00"), most=span("3:00")),
    )
    found = countdown(in_buffer(both).cartridge(), at("1:00"))

    assert found == Countdown(towards=Towards.OVERDUE, due=at("3:00"))


def test_doubt_shortens_what_is_left_and_lengthens_what_must_pass() -> None:
    """A stated start counts from the end of its doubt that cannot harm."""
    bench = Bench()
    bench.label()
    for step in ("buffer", "collect"):
        bench.step(step, "0:00")
    bench.must(bench.step_act("extract", done_at="1:00", doubt="0:10"), "2:00")

    assert countdown(bench.cartridge(), at("2:09")) == Countdown(
        towards=Towards.WAIT_OVER, due=at("2:10")
    )
    assert countdown(bench.cartridge(), at("2:10")) == Countdown(
        towards=Towards.OVERDUE, due=at("3:50")
    )


@settings(deadline=None, max_examples=100)
@given(elapsed=st.integers(0, 25 * 60_000))
def test_nought_is_never_shown_before_the_deadline(elapsed: int) -> None:
    """Whatever the figure runs towards, 0 means that it has come."""
    now = Instant(at("2:30") + elapsed)
    found = countdown(Bench().to_well(), now)

    assert found is not None
    assert (found.seconds_left(now) >= 1) == (now < found.due)


@pytest.mark.parametrize("now", ["17:30", "22:30"])
def test_an_unsure_clock_never_counts_from_an_opening(now: str) -> None:
    """The board would say for how long a window has been open that may be shut."""
    found = countdown(replace(Bench().to_well(), unsure=True), at(now))

    assert found is None or found.towards is not Towards.OPENS

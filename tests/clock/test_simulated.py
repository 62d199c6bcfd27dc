"""The clock that jumps must keep the order of time, or every rehearsal tells a lie."""

from __future__ import annotations

import asyncio
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from readbell.clock.simulated import SimulatedClock, SimulatedSleeper
from readbell.core.instant import Span

START = 1_774_745_600_000
MINUTE = 60_000


def clock_with(*naps: tuple[int, int]) -> SimulatedClock:
    """Return a clock whose computer sleeps at the given times."""
    return SimulatedClock(START, "boot-1", naps)


def turns(number: int = 3) -> asyncio.Future[None]:
    """Return what is done once the loop has gone round a few times; no time passes."""
    loop = asyncio.get_running_loop()
    done: asyncio.Future[None] = loop.create_future()

    def turn(left: int) -> None:
        if left:
            loop.call_soon(turn, left - 1)
        else:
            done.set_result(None)

    turn(number)
    return done


async def note(
    clock: SimulatedClock, sleeper: SimulatedSleeper, name: str, spans: list[int], seen: list[str]
) -> None:
    """Sleep the `spans` one after the other, noting when each is over, and retire."""
    for each in spans:
        await sleeper.sleep(Span(each))
        seen.append(f"{name} {clock.passed}")
    sleeper.retire()


async def test_a_clock_nobody_sleeps_on_stands_still() -> None:
    """Whoever works has all the time in the world."""
    clock = clock_with()
    before = clock.read()

    await turns()

    assert clock.read() == before
    assert (before.wall, before.counting, before.running, before.boot) == (START, 0, 0, "boot-1")
    assert before.wall_is_known


async def test_one_who_sleeps_alone_is_at_once_at_the_end_of_it() -> None:
    """A night of rehearsal takes a moment, and is as long as a night on the record."""
    clock = clock_with()

    await clock.sleeper(0).sleep(Span(8 * 60 * MINUTE))

    assert clock.read().wall == START + 8 * 60 * MINUTE
    assert clock.read().counting == clock.read().running == 8 * 60 * MINUTE


async def test_the_clock_waits_until_everybody_sleeps() -> None:
    """One who is still working would otherwise find that hours have gone by."""
    clock = clock_with()
    sleeping, working = clock.sleeper(0), clock.sleeper(1)
    task = asyncio.create_task(sleeping.sleep(Span(MINUTE)))

    await turns()
    assert clock.passed == 0

    working.retire()
    await task
    assert clock.passed == MINUTE


async def test_sleepers_rise_in_the_order_of_time() -> None:
    """Whoever has the earlier deadline is first, however they lay down."""
    clock = clock_with()
    seen: list[str] = []
    spans = {"a": [30, 30], "b": [20, 20, 20], "c": [50]}

    await asyncio.gather(
        *[
            note(clock, clock.sleeper(rank), name, spans[name], seen)
            for rank, name in enumerate(spans)
        ]
    )

    assert seen == ["b 20", "a 30", "b 40", "c 50", "a 60", "b 60"]


@pytest.mark.parametrize("lying_down", ["first then second", "second then first"])
async def test_of_two_due_at_one_instant_the_lower_rank_goes_first(lying_down: str) -> None:
    """Acts come before alerts, and that must not depend on who lay down first."""
    clock = clock_with()
    seen: list[str] = []
    tasks = [
        note(clock, clock.sleeper(0), "first", [MINUTE], seen),
        note(clock, clock.sleeper(1), "second", [MINUTE], seen),
    ]
    if lying_down == "second then first":
        tasks.reverse()

    await asyncio.gather(*tasks)

    assert seen == [f"first {MINUTE}", f"second {MINUTE}"]


async def test_the_second_at_one_instant_waits_until_the_first_sleeps_again() -> None:
    """What the first does at that instant must be seen by the second."""
    clock = clock_with()
    first, second = clock.sleeper(0), clock.sleeper(1)
    late = asyncio.create_task(second.sleep(Span(MINUTE)))
    await turns()
    await first.sleep(Span(MINUTE))

    await turns()
    assert not late.done()

    first.retire()
    await late
    assert clock.passed == MINUTE


async def test_a_sleeper_woken_early_rises_now() -> None:
    """An act that moves a deadline must be heeded before the old deadline."""
    clock = clock_with()
    sleeper, other = clock.sleeper(1), clock.sleeper(0)
    task = asyncio.create_task(sleeper.sleep(Span(10 * MINUTE)))
    await other.sleep(Span(MINUTE))

    sleeper.wake()
    await task

    assert clock.passed == MINUTE


async def test_the_bed_of_one_who_was_woken_moves_no_time() -> None:
    """Its old deadline is nobody's any more; a jump there would skip what comes before."""
    clock = clock_with()
    sleeper, other = clock.sleeper(1), clock.sleeper(0)
    task = asyncio.create_task(sleeper.sleep(Span(2 * MINUTE)))
    await other.sleep(Span(MINUTE))
    sleeper.wake()
    await task

    again = asyncio.create_task(sleeper.sleep(Span(5 * MINUTE)))
    other.retire()
    await again

    assert clock.passed == 6 * MINUTE


async def test_a_wake_before_the_sleep_ends_the_next_one_and_no_more() -> None:
    """Word that came while one was busy must not be slept over, nor heard twice."""
    clock = clock_with()
    sleeper = clock.sleeper(0)
    sleeper.wake()

    await sleeper.sleep(Span(MINUTE))
    assert clock.passed == 0

    await sleeper.sleep(Span(MINUTE))
    assert clock.passed == MINUTE


@pytest.mark.parametrize("span", [0, -1], ids=["none", "less than none"])
async def test_a_sleep_of_no_length_takes_no_time(span: int) -> None:
    """A deadline that has passed is seen to at once."""
    clock = clock_with()

    await clock.sleeper(0).sleep(Span(span))

    assert clock.passed == 0


async def test_sleepers_without_a_deadline_do_not_move_time() -> None:
    """With nothing pending the clock has nowhere to go, and must not run to the end of time."""
    clock = clock_with()
    sleeper = clock.sleeper(0)
    task = asyncio.create_task(sleeper.sleep(None))

    await turns()
    assert not task.done()
    assert clock.passed == 0

    sleeper.wake()
    await task
    assert clock.passed == 0


async def test_one_without_a_deadline_does_not_hold_up_the_others() -> None:
    """It sleeps, and that is all the clock asks for."""
    clock = clock_with()
    endless = clock.sleeper(0)
    task = asyncio.create_task(endless.sleep(None))
    await turns()

    await clock.sleeper(1).sleep(Span(MINUTE))

    assert clock.passed == MINUTE
    endless.wake()
    await task


@pytest.mark.parametrize(
    ("due", "rises"),
    [
        pytest.param(10 * MINUTE, 10 * MINUTE, id="as the lid is closed"),
        pytest.param(10 * MINUTE + 1, 20 * MINUTE, id="just after it"),
        pytest.param(20 * MINUTE - 1, 20 * MINUTE, id="just before it is opened"),
        pytest.param(20 * MINUTE, 20 * MINUTE, id="as it is opened"),
        pytest.param(20 * MINUTE + 1, 20 * MINUTE + 1, id="just after that"),
    ],
)
async def test_nobody_rises_while_the_computer_is_suspended(due: int, rises: int) -> None:
    """A deadline inside the nap is met when the lid is opened, late and not lost."""
    clock = clock_with((10 * MINUTE, 20 * MINUTE))

    await clock.sleeper(0).sleep(Span(due))

    assert clock.passed == rises


async def test_the_running_clock_stands_while_the_computer_is_suspended() -> None:
    """This is the one sign by which the bay can know that it was asleep."""
    clock = clock_with((10 * MINUTE, 20 * MINUTE), (30 * MINUTE, 31 * MINUTE))
    sleeper = clock.sleeper(0)
    asleep = []
    for until in (10, 15, 25, 31, 40):
        await sleeper.sleep(Span(until * MINUTE - clock.passed))
        reading = clock.read()
        asleep.append((clock.passed // MINUTE, (reading.counting - reading.running) // MINUTE))

    assert asleep == [(10, 0), (20, 10), (25, 10), (31, 11), (40, 11)]


@settings(max_examples=60, deadline=None)
@given(
    spans=st.lists(st.lists(st.integers(0, 100), min_size=1, max_size=6), min_size=1, max_size=4)
)
def test_time_never_goes_back_and_nobody_rises_early(spans: list[list[int]]) -> None:
    """The law under every figure of a rehearsal."""
    clock = clock_with((40, 60))
    seen: list[str] = []

    async def all_of_them() -> None:
        await asyncio.gather(
            *[
                note(clock, clock.sleeper(rank), str(rank), each, seen)
                for rank, each in enumerate(spans)
            ]
        )

    asyncio.run(all_of_them())

    rises = [(int(rank), int(at)) for rank, at in (each.split() for each in seen)]
    assert all(one[1] <= other[1] for one, other in pairwise(rises))
    for rank, each in enumerate(spans):
        due = 0
        for span, at in zip(each, [at for who, at in rises if who == rank], strict=True):
            due += span
            due = 60 if span and 40 < due < 60 else due
            assert at == due


async def test_a_paced_clock_takes_real_time() -> None:
    """A rehearsal that people watch goes at a speed they can follow."""
    loop = asyncio.get_running_loop()
    clock = SimulatedClock(START, "boot-1", pace=1_000.0)
    began = loop.time()

    await clock.sleeper(0).sleep(Span(10_000))

    # The loop may fire a timer early by the resolution of its own clock.
    assert loop.time() - began >= 0.009
    assert clock.passed == 10_000


async def test_a_paced_clock_never_goes_back() -> None:
    """Somebody presses a key while the clock is on its way, and takes a shorter rest."""
    loop = asyncio.get_running_loop()
    clock = SimulatedClock(START, "boot-1", pace=1_000.0)
    seen: list[int] = []
    long, short = clock.sleeper(0), clock.sleeper(1)

    async def rest_long() -> None:
        await long.sleep(Span(20_000))
        seen.append(clock.passed)
        long.retire()

    async def rest_short() -> None:
        await short.sleep(None)
        await short.sleep(Span(10_000))
        seen.append(clock.passed)
        short.retire()

    loop.call_later(0.015, short.wake)
    await asyncio.gather(rest_long(), rest_short())

    assert seen == sorted(seen)

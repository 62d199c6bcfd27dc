"""Each deadline is announced once, in order, never early, and late only where nobody could help."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

from hypothesis import given, settings
from hypothesis import strategies as st

from readbell.clock.simulated import SimulatedClock
from readbell.core.instant import Instant, Span
from readbell.scheduler.deadlines import Deadlines
from readbell.scheduler.scheduler import Scheduler

if TYPE_CHECKING:
    from collections.abc import Mapping

MINUTE = 60_000


class Bell:
    """A scheduler on a simulated clock that notes what it announces and when."""

    def __init__(self, *naps: tuple[int, int], **due: int) -> None:
        self.clock = SimulatedClock(0, "boot-1", naps)
        self.deadlines = Deadlines()
        self.rung: list[tuple[str, int]] = []
        self.watched = 0
        self.follows: dict[str, int] = {}
        """Deadlines that come up when another has fallen."""
        self.scheduler = Scheduler(
            sleeper=self.clock.sleeper(1),
            now=self.now,
            deadlines=self.deadlines,
            announce=self._announce,
            watch=self._watch,
        )
        for key, instant in due.items():
            self.deadlines.set(key, Instant(instant))

    def now(self) -> Instant:
        """Return where the clock stands."""
        return Instant(self.clock.passed)

    async def run(
        self, until: int, acts: Mapping[int, tuple[str, int | None]] | None = None
    ) -> None:
        """Run until the clock is past `until`; `acts` move deadlines at their instants."""
        player = self.clock.sleeper(0)
        running = asyncio.create_task(self.scheduler.run())
        for at, (key, due) in sorted((acts or {}).items()):
            await player.sleep(Span(at - self.clock.passed))
            if due is None:
                self.deadlines.drop(key)
            else:
                self.deadlines.set(key, Instant(due))
            self.scheduler.look_again()
        await player.sleep(Span(until + 1 - self.clock.passed))
        player.retire()
        self.scheduler.stop()
        await running

    async def _announce(self) -> None:
        for key in self.deadlines.take(self.now()):
            self.rung.append((key, self.now()))
            if key in self.follows:
                self.deadlines.set(key, Instant(self.follows.pop(key)))

    async def _watch(self) -> None:
        self.watched += 1


async def test_each_deadline_is_announced_as_it_falls() -> None:
    """To the millisecond, in the order of time, each of them once."""
    bell = Bell(C1=3 * MINUTE, C2=MINUTE, C3=2 * MINUTE)

    await bell.run(until=10 * MINUTE)

    assert bell.rung == [("C2", MINUTE), ("C3", 2 * MINUTE), ("C1", 3 * MINUTE)]


async def test_deadlines_at_one_instant_are_announced_together() -> None:
    """Ten cartridges of one batch are due at once, and none may be passed over."""
    bell = Bell(C1=MINUTE, C2=MINUTE, C3=MINUTE)

    await bell.run(until=MINUTE)

    assert bell.rung == [("C1", MINUTE), ("C2", MINUTE), ("C3", MINUTE)]


async def test_a_deadline_found_past_is_announced_at_once() -> None:
    """It fell while the program was not running; somebody may still be in time."""
    bell = Bell(C1=-5 * MINUTE)

    await bell.run(until=0)

    assert bell.rung == [("C1", 0)]


async def test_a_deadline_inside_a_nap_is_announced_when_the_lid_is_opened() -> None:
    """Late at worst, never lost, and before those that fall after it."""
    bell = Bell((8 * MINUTE, 20 * MINUTE), C1=10 * MINUTE, C2=12 * MINUTE, C3=21 * MINUTE)

    await bell.run(until=30 * MINUTE)

    assert bell.rung == [("C1", 20 * MINUTE), ("C2", 20 * MINUTE), ("C3", 21 * MINUTE)]


async def test_a_deadline_set_while_it_sleeps_is_heeded() -> None:
    """Somebody applies a specimen while the scheduler waits for a later cartridge."""
    bell = Bell(C1=30 * MINUTE)

    await bell.run(until=40 * MINUTE, acts={MINUTE: ("C2", 16 * MINUTE)})

    assert bell.rung == [("C2", 16 * MINUTE), ("C1", 30 * MINUTE)]


async def test_a_deadline_set_while_nothing_is_pending_is_heeded() -> None:
    """The first cartridge of the day finds a scheduler that sleeps without end."""
    bell = Bell()

    await bell.run(until=40 * MINUTE, acts={MINUTE: ("C1", 16 * MINUTE)})

    assert bell.rung == [("C1", 16 * MINUTE)]


async def test_a_deadline_taken_back_is_not_announced() -> None:
    """A cartridge that was read must not call for its reader."""
    bell = Bell(C1=10 * MINUTE)

    await bell.run(until=20 * MINUTE, acts={9 * MINUTE: ("C1", None)})

    assert bell.rung == []


async def test_a_deadline_that_follows_from_one_is_announced_in_its_turn() -> None:
    """The window opens, then it is closing, then it has closed."""
    bell = Bell(C1=15 * MINUTE)
    bell.follows = {"C1": 18 * MINUTE}

    await bell.run(until=20 * MINUTE)

    assert bell.rung == [("C1", 15 * MINUTE), ("C1", 18 * MINUTE)]


async def test_a_deadline_that_follows_and_is_past_too_is_announced_at_once() -> None:
    """The lid was closed over the whole window; both alarms are due when it opens."""
    bell = Bell((10 * MINUTE, 30 * MINUTE), C1=15 * MINUTE)
    bell.follows = {"C1": 18 * MINUTE}

    await bell.run(until=40 * MINUTE)

    assert bell.rung == [("C1", 30 * MINUTE), ("C1", 30 * MINUTE)]


async def test_the_clocks_are_looked_at_after_each_stretch_of_sleep() -> None:
    """A clock that was moved must be noticed before anything is announced by it."""
    bell = Bell(C1=MINUTE, C2=2 * MINUTE)

    await bell.run(until=5 * MINUTE)

    assert bell.watched >= 3


async def test_a_stopped_scheduler_announces_nothing_more() -> None:
    """The bay is closed; what is still pending is found at the next start."""
    bell = Bell(C1=10 * MINUTE)

    await bell.run(until=5 * MINUTE)

    assert bell.rung == []
    assert bell.deadlines.next_due() == 10 * MINUTE


async def test_one_that_is_stopped_before_it_runs_ends_at_once() -> None:
    """A bay may be closed in the moment in which it opens, and must not hang."""
    bell = Bell(C1=0)
    bell.scheduler.stop()

    await bell.scheduler.run()

    assert bell.rung == []


async def test_a_stopped_scheduler_does_not_hold_up_the_clock() -> None:
    """Others still sleep on it."""
    bell = Bell()
    await bell.run(until=MINUTE)

    await bell.clock.sleeper(2).sleep(Span(MINUTE))

    assert bell.clock.passed == 2 * MINUTE + 1


@settings(max_examples=100, deadline=None)
@given(
    due=st.dictionaries(st.sampled_from(["C1", "C2", "C3", "C4"]), st.integers(0, 60)),
    acts=st.dictionaries(
        st.integers(0, 60),
        st.tuples(st.sampled_from(["C1", "C2", "C5"]), st.none() | st.integers(0, 80)),
        max_size=6,
    ),
    nap=st.none() | st.tuples(st.integers(0, 30), st.integers(31, 60)),
)
def test_whatever_happens_each_deadline_is_announced_once_and_never_early(
    due: dict[str, int],
    acts: dict[int, tuple[str, int | None]],
    nap: tuple[int, int] | None,
) -> None:
    """Held to a scheduler that looks at a plain table each millisecond."""
    naps = () if nap is None else (nap,)
    bell = Bell(*naps, **due)

    asyncio.run(bell.run(until=100, acts=acts))

    assert bell.rung == _looked_at_each_millisecond(due, acts, nap)


def _looked_at_each_millisecond(
    due: dict[str, int], acts: dict[int, tuple[str, int | None]], nap: tuple[int, int] | None
) -> list[tuple[str, int]]:
    """Return what a simple-minded scheduler would announce."""
    table = dict(due)
    waiting = sorted(acts.items())
    rung: list[tuple[str, int]] = []
    for now in range(101):
        if nap is not None and nap[0] < now < nap[1]:
            continue
        while waiting and waiting[0][0] <= now:
            _, (key, moved) = waiting.pop(0)
            table.pop(key, None)
            if moved is not None:
                table[key] = moved
        rung += _ring(table, now)
    return rung


def _ring(table: dict[str, int], now: int) -> list[tuple[str, int]]:
    """Take out of `table` what is due, in order."""
    found = sorted((at, key) for key, at in table.items() if at <= now)
    for _, key in found:
        del table[key]
    return [(key, now) for _, key in found]

"""One heap holds every deadline of a bay, so it must lose none and invent none."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from readbell.core.instant import Instant
from readbell.scheduler.deadlines import Deadlines

KEYS = st.sampled_from(["C1", "C2", "C3", "C4"])
INSTANTS = st.integers(0, 9).map(Instant)
STEPS = st.one_of(
    st.tuples(st.just("set"), KEYS, INSTANTS),
    st.tuples(st.just("drop"), KEYS, INSTANTS),
    st.tuples(st.just("take"), KEYS, INSTANTS),
    st.tuples(st.just("ask"), KEYS, INSTANTS),
)


def of(**due: int) -> Deadlines:
    """Return deadlines for these keys."""
    deadlines = Deadlines()
    for key, instant in due.items():
        deadlines.set(key, Instant(instant))
    return deadlines


@settings(max_examples=300, deadline=None)
@given(steps=st.lists(STEPS, max_size=40))
def test_they_do_what_a_plain_table_would(steps: list[tuple[str, str, Instant]]) -> None:
    """The heap is there for speed alone; nobody may notice it."""
    deadlines = Deadlines()
    table: dict[str, Instant] = {}
    for what, key, instant in steps:
        match what:
            case "set":
                deadlines.set(key, instant)
                table[key] = instant
            case "drop":
                deadlines.drop(key)
                table.pop(key, None)
            case "take":
                due = sorted((at, each) for each, at in table.items() if at <= instant)
                assert deadlines.take(instant) == [each for _, each in due]
                table = {each: at for each, at in table.items() if at > instant}
            case _:
                assert deadlines.next_due() == min(table.values(), default=None)

        assert len(deadlines) == len(table)

    assert deadlines.next_due() == min(table.values(), default=None)


def test_nothing_pending_is_never_due() -> None:
    """The scheduler then sleeps until it is told of something."""
    assert Deadlines().next_due() is None
    assert Deadlines().take(Instant(10**15)) == []


def test_what_is_due_at_the_instant_itself_is_taken() -> None:
    """One millisecond before, it is not: nobody is called early."""
    deadlines = of(C1=1_000)

    assert deadlines.take(Instant(999)) == []
    assert deadlines.take(Instant(1_000)) == ["C1"]


def test_what_was_taken_is_not_taken_again() -> None:
    """An alarm that rings twice for one deadline is soon not believed."""
    deadlines = of(C1=1_000)
    deadlines.take(Instant(1_000))

    assert deadlines.take(Instant(2_000)) == []
    assert len(deadlines) == 0


def test_the_earliest_is_taken_first() -> None:
    """After a sleep many are due at once, and are told in the order in which they fell."""
    assert of(C1=30, C2=10, C3=20).take(Instant(30)) == ["C2", "C3", "C1"]


def test_a_deadline_that_was_moved_counts_at_its_new_place_only() -> None:
    """A step done in time moves the deadline on; the old one must not ring."""
    deadlines = of(C1=10)
    deadlines.set("C1", Instant(20))

    assert deadlines.next_due() == 20
    assert deadlines.take(Instant(19)) == []
    assert deadlines.take(Instant(20)) == ["C1"]


def test_a_deadline_moved_away_and_back_falls_once() -> None:
    """Its old place in the heap is alive again, beside the new one."""
    deadlines = of(C1=10)
    deadlines.set("C1", Instant(20))
    deadlines.set("C1", Instant(10))

    assert deadlines.take(Instant(30)) == ["C1"]
    deadlines.set("C1", Instant(40))
    assert deadlines.take(Instant(39)) == []


def test_of_two_that_share_an_instant_one_can_be_dropped() -> None:
    """Two people swabbed together; one of them is read in time."""
    deadlines = of(C1=10, C2=10, C3=10)
    deadlines.drop("C2")

    assert len(deadlines) == 2
    assert deadlines.take(Instant(10)) == ["C1", "C3"]


def test_dropping_what_is_not_there_is_no_error() -> None:
    """A cartridge that has ended is dropped whether it was waiting or not."""
    deadlines = of(C1=10)
    deadlines.drop("C2")

    assert deadlines.next_due() == 10


@settings(max_examples=50, deadline=None)
@given(
    moves=st.lists(st.tuples(KEYS, st.integers(0, 10**6).map(Instant)), max_size=300),
    repeats=st.integers(1, 4),
)
def test_old_entries_never_outnumber_the_living_by_much(
    moves: list[tuple[str, Instant]], repeats: int
) -> None:
    """A deadline is moved many times a day, and the program runs for weeks."""
    deadlines = Deadlines()
    for key, instant in moves * repeats:
        deadlines.set(key, instant)

        assert len(deadlines._heap) <= 64 + 2 * len(deadlines)


def test_a_busy_week_leaves_the_heap_small_and_right() -> None:
    """The sweep that keeps it small must throw away nothing that is still to come."""
    deadlines = of(C1=10**9, C2=10**9 + 1)
    for instant in range(10_000):
        deadlines.set("C3", Instant(instant))

    assert len(deadlines._heap) <= 64 + 2 * 3
    assert deadlines.take(Instant(10**10)) == ["C3", "C1", "C2"]


def test_the_same_deadline_set_again_takes_no_more_room() -> None:
    """It is set anew after each act, mostly to where it is already."""
    deadlines = of(C1=10)
    for _ in range(50):
        deadlines.set("C1", Instant(10))

    assert len(deadlines._heap) == 1

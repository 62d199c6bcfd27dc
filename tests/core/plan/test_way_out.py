"""An order that is called sure is sure: held against playing it out, one duration after the other."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import START, at
from core.plan.kits import GLOVED, NARROW, WIDE, bench, idle, in_buffer, new, on_the_well
from readbell.core.instant import Instant, Span, later
from readbell.core.plan.arranging import arrange
from readbell.core.plan.bench import FAR, Bench, Break, Hand, Task, Tie
from readbell.core.plan.hands_on import HandsOn
from readbell.core.plan.way_out import at_risk, keys_of, way_out

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from readbell.core.plan.bench import Key

    Draw = Callable[[int, int], int]


def played_out(bench: Bench, orders: Sequence[Sequence[Task]], draw: Draw) -> set[Key]:
    """Play the orders with durations as `draw` gives them; return what was begun too late."""
    ends: dict[Key, int] = {}
    free: list[int] = []
    for hand in bench.hands:
        end = draw(hand.free, hand.free_most)
        free.append(end)
        if hand.on is not None:
            ends[hand.on] = end
    late: set[Key] = set()
    for place, (hand, order) in enumerate(zip(bench.hands, orders, strict=True)):
        now, touched = free[place], hand.touched
        for task in order:
            fresh = task.gloves if task.touches and touched != task.person else 0
            touched = task.person if task.touches else touched
            begins = max(now + fresh, task.ready)
            for tie in task.ties:
                begins = max(begins, ends[tie.after] + tie.least)
            for pause in hand.breaks:
                if begins + task.hands.most > pause.since and begins - fresh < pause.until:
                    begins = max(begins, pause.until + fresh)
            if begins > task.latest or any(
                tie.most is not None and begins - ends[tie.after] > tie.most for tie in task.ties
            ):
                late.add(task.key)
            now = ends[task.key] = begins + draw(task.hands.least, task.hands.most)
    return late


@st.composite
def benches(draw: st.DrawFn) -> Bench:
    """Return a small bench with windows of a few units, so that most of them nearly collide."""
    unit = st.integers(0, 12)
    tasks: list[Task] = []
    hands: list[Hand] = []

    def times() -> HandsOn:
        least = draw(st.integers(0, 4))
        return HandsOn(least=Span(least), usual=Span(least), most=Span(least + draw(unit) // 3))

    def task(key: Key, ties: tuple[Tie, ...]) -> Task:
        ready = draw(unit) * 2
        is_open = draw(st.booleans())
        return Task(
            key=key,
            person=key[0],
            parts=(str(key[1]),),
            hands=times(),
            touches=draw(st.booleans()),
            gloves=Span(2),
            ready=Instant(ready),
            latest=FAR if is_open else Instant(ready + draw(unit) * 3),
            ties=ties,
        )

    for place in range(draw(st.integers(1, 2))):
        free = draw(unit)
        on = (f"on{place}", 0) if draw(st.booleans()) else None
        since = draw(st.integers(5, 40))
        pauses = (Break(since=Instant(since), until=Instant(since + 6)),)
        hands.append(
            Hand(
                name=str(place),
                free=Instant(free),
                free_most=Instant(free + (draw(unit) // 2 if on else 0)),
                on=on,
                touched=draw(st.sampled_from([None, "c0", "on0"])),
                breaks=pauses if draw(st.booleans()) else (),
            )
        )
        if on is not None:
            least = draw(unit)
            tie = Tie(after=on, least=Span(least), most=Span(least + draw(unit) * 2))
            tasks.append(task((on[0], 1), (tie,)))
    for number in range(draw(st.integers(0, 3))):
        first = task((f"c{number}", 0), ())
        tasks.append(first)
        if draw(st.booleans()):
            least = draw(unit)
            most = draw(st.sampled_from([None, Span(least + 4), Span(least + 14)]))
            tie = Tie(after=first.key, least=Span(least), most=most)
            tasks.append(task((f"c{number}", 1), (tie,)))
    return Bench(hands=tuple(hands), tasks=tuple(tasks))


@settings(max_examples=400)
@given(benches(), st.randoms(use_true_random=False))
def test_what_is_called_sure_is_never_late_whatever_the_times(found: Bench, chance: object) -> None:
    """The fact that the guarantee rests on; the play knows nothing of how it was judged."""
    from random import Random

    assert isinstance(chance, Random)
    for readings_last in (False, True):
        orders = arrange(found, readings_last=readings_last)
        feared = {task.key for task in at_risk(found, orders)}
        for draw in (min, max, chance.randint, lambda a, b: chance.choice((a, b))):
            late = played_out(found, orders, draw)
            if not feared:
                assert not late
    assert sorted(task.key for order in orders for task in order) == sorted(
        task.key for task in found.tasks
    )


def test_a_lone_swab_in_its_buffer_has_a_sure_way_out() -> None:
    """Hands with nothing else to do keep it."""
    assert way_out(bench(in_buffer(WIDE, "C1", "0:00"))).is_sure


def test_two_windows_at_their_last_moment_cannot_both_be_sure() -> None:
    """And the one that comes second is named."""
    found = way_out(bench(on_the_well(WIDE, "C1", "-19:35"), on_the_well(WIDE, "C2", "-19:35")))

    assert [task.key[0] for task in found.at_risk] == ["C2"]


def test_the_tied_limit_is_judged_by_the_longest_way_between() -> None:
    """Between the two pieces of C2 lies what must be waited for: the opening of C1's window."""
    reading = on_the_well(WIDE, "C1", "-14:00")
    first = replace(new(WIDE, "C2")[0], ready=START)
    withdrawal = new(WIDE, "C2")[1]
    order = (first, *reading, withdrawal)
    at_once = bench((first, withdrawal), reading)

    assert at_risk(at_once, (order,)) == ()
    later_window = on_the_well(WIDE, "C1", "-9:00")
    held_up = bench((first, withdrawal), later_window)
    assert at_risk(held_up, ((first, *later_window, withdrawal),)) == (withdrawal,)


def test_gloves_are_counted_wherever_the_person_changes() -> None:
    """Between two people's specimens, and not before a reading."""
    one, two = in_buffer(GLOVED, "C1", "0:00"), in_buffer(GLOVED, "C2", "0:00")
    order = (one[0], two[0])
    start = at("1:00")
    # C2's withdrawal begins at most 20 + 40 + 20 s later: limit 3:00 less 13.3 s.
    clean = bench(order, hands=(idle(Instant(start + 86_667)),))
    soiled = bench(order, hands=(idle(Instant(start + 86_667), touched="C1"),))

    assert at_risk(replace(clean, hands=(idle(Instant(start + 26_667)),)), (order,)) == ()
    assert at_risk(replace(clean, hands=(idle(Instant(start + 26_668)),)), (order,)) == (two[0],)
    assert (
        at_risk(replace(soiled, hands=(idle(Instant(start + 46_667), touched="C1"),)), (order,))
        == ()
    )


def test_readings_give_way_where_only_that_is_sure() -> None:
    """Its limit comes first, yet it can wait, and the swab cannot wait for it."""
    swab = in_buffer(NARROW, "C1", "-1:46.600")
    reading = replace(on_the_well(NARROW, "C2", "-19:39.900")[0], latest=at("0:00.050"))
    relaxed = replace(reading, latest=at("0:45"))
    found = bench(swab, (relaxed,))

    assert [task.is_reading for task in arrange(found)[0]][:2] == [False, True]
    urgent = bench(swab, (replace(reading, latest=later(swab[0].latest, Span(-1))),))
    assert [task.is_reading for task in arrange(urgent)[0]][:2] == [True, False]
    assert [task.is_reading for task in arrange(urgent, readings_last=True)[0]][:2] == [False, True]


def test_the_way_found_before_is_tried_too() -> None:
    """A way that nobody has left stays sure, though it would not be thought of again."""
    long = HandsOn(least=Span(1), usual=Span(10), most=Span(10))
    short = HandsOn(least=Span(1), usual=Span(2), most=Span(2))

    def task(name: str, hands: HandsOn, ready: int, latest: int) -> Task:
        return Task(
            key=(name, 0),
            person=name,
            parts=("step",),
            hands=hands,
            touches=False,
            gloves=Span(0),
            ready=Instant(ready),
            latest=Instant(latest),
        )

    # What is ready first would be begun first, and then the other comes too late.
    tasks = (task("a", long, 0, 12), task("b", short, 5, 9))
    hands = (Hand(name="", free=Instant(0), free_most=Instant(0)),)
    found = Bench(hands=hands, tasks=tasks)

    assert not way_out(found).is_sure
    carried = way_out(found, (((("b", 0), ("a", 0)),),))
    assert carried.is_sure
    assert keys_of(carried) == ((("b", 0), ("a", 0)),)
    assert not way_out(found, (((("b", 0),),),)).is_sure
    assert not way_out(found, (((), (("b", 0), ("a", 0))),)).is_sure


def test_a_piece_that_might_reach_into_a_break_is_begun_after_it() -> None:
    """Nobody leaves a person half swabbed; nor is a window forgotten over lunch."""
    pause = Break(since=at("0:30"), until=at("10:00"))
    resting = replace(idle(), breaks=(pause,))
    reading = on_the_well(WIDE, "C1", "-14:50")

    assert at_risk(bench(reading, hands=(resting,)), (reading,)) == ()
    swab = in_buffer(WIDE, "C2", "-1:00")
    assert at_risk(bench(swab, hands=(resting,)), (swab,)) == (swab[0],)


@pytest.mark.parametrize("missing", ["least", "most"])
def test_what_hangs_on_another_hand_s_piece_counts_from_either_end(missing: str) -> None:
    """It is ready by the latest end, and due by the soonest."""
    on = ("C1", 0)
    busy = Hand(name="a", free=at("0:10"), free_most=at("1:00"), on=on)
    tie = Tie(after=on, least=Span(0), most=Span(60_000))
    task = replace(new(WIDE, "C1")[1], ties=(tie,))
    other = Hand(name="b", free=at("0:00"), free_most=at("1:10"))
    late = Hand(name="b", free=at("0:00"), free_most=at("1:11"))
    found = bench((task,), hands=(busy, other if missing == "least" else late))

    feared = at_risk(found, ((), (task,)))
    assert feared == (() if missing == "least" else (task,))

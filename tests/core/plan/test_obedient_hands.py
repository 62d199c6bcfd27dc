"""Hands that obey the rule miss nothing: queues played out, each limit judged by the assay itself."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import NASAL, START, THREE_LINES, at, span
from core.plan.kits import BARE, GLOVED, NARROW, WIDE, bench, idle, in_buffer, new, within
from readbell.core.assay.step import Wait
from readbell.core.instant import Span, later
from readbell.core.plan.bench import FAR, Break, Hand
from readbell.core.plan.playing import Arrival, Deed, play
from readbell.core.plan.turn import turn
from readbell.core.plan.work import work_of

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from readbell.core.plan.hands_on import HandsOn
    from readbell.core.plan.work import Part, Work

    Lasts = Callable[[random.Random, HandsOn], Span]

TO_THE_BEGINNING = work_of(within("2:13.334"), gloves=BARE)
"""Two minutes to the beginning of a withdrawal that may take 13.3 s."""


def anywhere(draw: random.Random, hands: HandsOn) -> Span:
    """Return a time anywhere between its bounds."""
    return Span(draw.randint(hands.least, hands.most))


def at_the_bounds(draw: random.Random, hands: HandsOn) -> Span:
    """Return a time at one of its bounds."""
    return draw.choice((hands.least, hands.most))


def queue(
    works: Sequence[Work],
    people: int,
    hands: Sequence[Hand],
    lasts: Lasts,
    *,
    seed: int = 1,
    apart: Span = Span(0),
) -> list[Deed]:
    """Return all that is done on a queue of `people`, their works in turn."""
    draw = random.Random(seed)  # noqa: S311  # it picks durations, not secrets
    arrivals = [
        Arrival(
            person=f"P{each}",
            arrives=later(START, Span(each * apart)),
            work=works[each % len(works)],
        )
        for each in range(people)
    ]

    def last(person: str, part: Part) -> Span:
        assert person
        return lasts(draw, part.hands)

    return list(play(hands, arrivals, last))


def missed(deeds: Sequence[Deed]) -> list[tuple[str, tuple[str, ...]]]:
    """Return who missed what."""
    return [(deed.person, deed.missed) for deed in deeds if deed.missed]


def crew(hands: int) -> tuple[Hand, ...]:
    """Return so many idle hands."""
    return tuple(idle(name=f"op-{each}") for each in range(hands))


@pytest.mark.parametrize("lasts", [anywhere, at_the_bounds])
@pytest.mark.parametrize("hands", [1, 2, 3])
@pytest.mark.parametrize(
    "work",
    [WIDE, GLOVED, NARROW, TO_THE_BEGINNING],
    ids=["wide", "gloved", "narrow", "to-the-beginning"],
)
def test_nothing_is_missed(work: Work, hands: int, lasts: Lasts) -> None:
    """The guarantee itself, short; `make bench` plays a million."""
    deeds = queue([work], 60, crew(hands), lasts)

    assert len(deeds) == 3 * 60
    assert missed(deeds) == []


def test_hands_that_take_the_next_person_whenever_they_can_do_miss() -> None:
    """So the queue above is one in which there is something to miss."""
    greedy = [replace(WIDE, lags=tuple(replace(lag, most=None) for lag in WIDE.lags))]
    deeds = queue(greedy, 60, crew(1), anywhere)
    ends = {(deed.person, deed.task.parts): deed.ends for deed in deeds}
    waits = [
        ends[deed.person, ("withdraw", "apply")] - deed.ends
        for deed in deeds
        if "extract" in deed.task.parts
    ]

    assert max(waits) > span("10:00")


def test_kits_of_several_kinds_beside_each_other_are_kept_too() -> None:
    """Each has limits of its own, and the one way out keeps them all."""
    second = Wait(until="apply", least=span("0:30"), most=span("2:00"))
    pouch = Wait(until="apply", most=span("12:00"))
    waits = {"withdraw": second, "label": pouch}
    steps = tuple(replace(step, wait=waits.get(step.key, step.wait)) for step in NASAL.steps)
    four_pieces = work_of(replace(NASAL, steps=steps))
    works = [GLOVED, work_of(within("2:00", assay=THREE_LINES)), four_pieces]

    for hands in (1, 2):
        assert missed(queue(works, 30, crew(hands), at_the_bounds)) == []


def test_somebody_who_is_away_for_a_while_leaves_nothing_behind() -> None:
    """A break that is known beforehand is planned around."""
    pause = Break(since=at("20:00"), until=at("35:00"))
    hands = (idle(name="op-1"), replace(idle(name="op-2"), breaks=(pause,)))
    deeds = queue([GLOVED], 40, hands, anywhere)

    assert missed(deeds) == []
    theirs = [deed for deed in deeds if deed.place == 1]
    assert all(deed.ends <= pause.since or deed.turned >= pause.until for deed in theirs)
    assert theirs[-1].turned > pause.until


def test_people_who_come_one_by_one_are_begun_as_they_come() -> None:
    """With a quiet bay nobody waits."""
    deeds = queue([GLOVED], 6, crew(1), anywhere, apart=span("10:00"))
    starts = [deed for deed in deeds if "extract" in deed.task.parts]

    assert missed(deeds) == []
    assert all(deed.turned - deed.arrived < span("3:00") for deed in starts)


def test_two_in_the_buffer_at_once_reach_what_the_hands_can_carry() -> None:
    """One after the other could be begun every 180 s at best; the work alone is 135 s."""
    deeds = queue([WIDE], 80, crew(1), anywhere)
    reads = [deed.ends for deed in deeds if deed.task.is_reading]

    assert (reads[-11] - reads[10]) / (len(reads) - 21) < 145_000


def test_hands_slower_than_their_bounds_miss_and_it_is_told() -> None:
    """The guarantee is for times within their bounds, and the judge is not the rule."""

    def slow(draw: random.Random, hands: HandsOn) -> Span:
        del draw
        return Span(hands.most * 3)

    assert missed(queue([GLOVED], 20, crew(1), slow))


def test_after_a_slip_the_rule_goes_on_from_how_things_are() -> None:
    """One piece takes five times its bound; what comes after it is kept again."""
    slips = iter([5])

    def once(draw: random.Random, hands: HandsOn) -> Span:
        times = next(slips, 1) if draw.random() < 0.1 else 1
        return Span(anywhere(draw, hands) * times)

    deeds = queue([GLOVED], 60, crew(1), once)
    lost = missed(deeds)

    assert len(lost) <= 2
    assert missed(deeds[len(deeds) // 2 :]) == []


def test_what_has_become_late_is_gone_on_with_before_anybody_new_is_begun() -> None:
    """A start would be safe, for nothing more can be lost there; still it goes first."""
    swab, reading = in_buffer(GLOVED, "C1", "-4:00")
    late = replace(swab, latest=FAR, is_late=True)
    following = turn(bench((late, reading)), 0, new(GLOVED), START)

    assert following.task == late
    assert not following.is_start
    on_time = turn(bench((replace(late, is_late=False), reading)), 0, new(GLOVED), START)
    assert on_time.is_start

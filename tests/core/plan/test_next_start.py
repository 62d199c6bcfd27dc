"""When one more person may be begun, and what comes first."""

from __future__ import annotations

from dataclasses import replace

from builders import START, at, span
from core.plan.kits import (
    GLOVED,
    NARROW,
    WIDE,
    bench,
    idle,
    in_buffer,
    new,
    on_the_well,
)
from readbell.core.instant import Instant, Span
from readbell.core.plan.bench import FAR, Bench, Break, Hand
from readbell.core.plan.next_start import next_start
from readbell.core.plan.spare import MOST_SPARE, spare


def first(found: Bench, within: Span = Span(0)) -> tuple[int | None, list[tuple[str, int]]]:
    """Return how many milliseconds from the start, and what comes before."""
    start = next_start(found, new(WIDE), START, within=within)
    before = [each.task.key for each in start.first]
    return None if start.at is None else start.at - START, before


def test_before_an_empty_bench_it_is_now() -> None:
    """And nothing comes first."""
    assert first(bench()) == (0, [])
    assert next_start(bench(), new(WIDE), START).is_now(START)


def test_nobody_at_work_never_starts() -> None:
    """There is no hand to do it."""
    start = next_start(Bench(hands=(), tasks=()), new(WIDE), START)

    assert start.at is None
    assert not start.is_now(START)


def test_a_window_that_would_close_meanwhile_is_read_first() -> None:
    """The first piece may take two minutes, and the window closes in one."""
    assert first(bench(on_the_well(WIDE, "C7", "-19:00"))) == (20_000, [("C7", 2)])


def test_two_windows_are_read_one_after_the_other() -> None:
    """At their longest 20 s each."""
    found = bench(on_the_well(WIDE, "C7", "-18:40"), on_the_well(WIDE, "C9", "-18:30"))

    assert first(found) == (40_000, [("C7", 2), ("C9", 2)])


def test_a_second_swab_goes_into_the_buffer_while_the_first_stands_there() -> None:
    """Three minutes of wait hold the two that the piece may take; two do not."""
    assert first(bench(in_buffer(WIDE, "C1", "0:00"))) == (0, [])

    narrow = bench(in_buffer(NARROW, "C1", "0:00"))
    start = next_start(narrow, new(NARROW), START)
    assert start.at == at("1:40")
    assert [task.key for task in start.at_risk] == [("C1", 1)]


def test_what_would_be_at_risk_is_named_and_nothing_else() -> None:
    """So that whoever begins all the same knows what they may lose."""
    found = bench(on_the_well(WIDE, "C7", "-19:00"), on_the_well(WIDE, "C8", "-3:00"))
    start = next_start(found, new(WIDE), START)

    assert [task.key for task in start.at_risk] == [("C7", 2)]
    assert start.already == ()


def test_what_is_at_risk_already_is_told_apart_and_goes_first() -> None:
    """A reading may take 20 s and the window closes in 10: that is no start's fault."""
    start = next_start(bench(on_the_well(WIDE, "C7", "-19:50")), new(WIDE), START)

    assert [task.key for task in start.already] == [("C7", 2)]
    assert start.at == at("0:20")


def test_what_is_late_already_is_done_before_anybody_is_begun() -> None:
    """Nothing more can be lost there, but each minute makes the deviation longer.

    With a second operator one goes on with it, and the other begins.
    """
    (withdrawal, reading) = in_buffer(WIDE, "C1", "-4:00")
    late = replace(withdrawal, latest=FAR, is_late=True)
    window = on_the_well(WIDE, "C7", "-15:30")

    assert first(bench(window, (late, reading))) == (40_000, [("C1", 1)])
    other = bench(window, (late, reading), hands=(idle(), idle(name="op-2")))
    assert first(other) == (0, [("C1", 1)])


def test_a_hand_in_the_middle_of_a_piece_is_free_after_it() -> None:
    """At its longest; what follows from that piece is kept as well."""
    chain = new(WIDE, "C1")
    busy = Hand(name="a", free=at("0:30"), free_most=at("1:30"), on=chain[0].key)
    start = next_start(bench(chain[1:], hands=(busy,)), new(WIDE), START)

    assert start.at == at("1:30")
    assert start.first == ()


def test_the_other_operator_begins_what_this_one_cannot() -> None:
    """One reads in time while the other begins."""
    found = bench(on_the_well(WIDE, "C7", "-19:00"), hands=(idle(), idle(name="op-2")))

    assert first(found) == (0, [])


def test_a_break_that_is_near_lets_nobody_be_begun_before_it() -> None:
    """The whole first piece must fit before it, at its longest."""
    resting = replace(idle(), breaks=(Break(since=at("1:59"), until=at("10:00")),))
    assert first(bench(hands=(resting,))) == (600_000, [])

    later_break = replace(idle(), breaks=(Break(since=at("5:00"), until=at("10:00")),))
    assert first(bench(hands=(later_break,))) == (0, [])


def test_a_break_that_would_part_swab_and_drops_counts_too() -> None:
    """The first piece would fit, but nobody would come back in time to end the wait."""
    resting = replace(idle(), breaks=(Break(since=at("3:00"), until=at("10:00")),))

    assert first(bench(hands=(resting,))) == (600_000, [])


def test_an_answer_of_now_holds_for_as_long_as_it_says() -> None:
    """It takes a moment to see it and to turn to the next person."""
    chain = in_buffer(WIDE, "C1", "0:00")
    limit = chain[0].latest - START - new(WIDE)[0].hands.most

    assert first(bench(chain), within=Span(limit)) == (0, [])
    assert first(bench(chain), within=Span(limit + 1))[0] != 0


def test_gloves_count_before_the_piece() -> None:
    """20 s before the second person, 20 s before the first one's withdrawal."""
    chain = in_buffer(GLOVED, "C1", "0:00")
    found = bench(chain, hands=(idle(touched="C1"),))
    room = chain[0].latest - START - (20_000 + 119_999 + 20_000)

    assert next_start(found, new(GLOVED), START, within=Span(room)).is_now(START)
    assert not next_start(found, new(GLOVED), START, within=Span(room + 1)).is_now(START)


def test_too_much_for_the_hands_is_said_as_none_in_sight() -> None:
    """A start is looked for only so far ahead."""
    chains = [on_the_well(WIDE, f"C{each}", "-5:00") for each in range(500)]
    start = next_start(bench(*chains), new(WIDE), START)

    assert start.at is None
    assert start.already


def test_a_start_is_looked_for_only_so_far_ahead() -> None:
    """What is at risk comes after hundreds of others, so no answer is near."""
    (reading,) = on_the_well(WIDE, "C", "-16:00")
    easy = [replace(reading, key=(f"C{each}", 2), ready=START, latest=FAR) for each in range(450)]
    hopeless = replace(reading, key=("lost", 2), ready=at("500:00:00"), latest=START)
    start = next_start(bench((*easy, hopeless)), new(WIDE), START)

    assert start.at is None
    assert start.already == (hopeless,)


def test_a_window_narrower_than_the_work_is_never_safe() -> None:
    """Nothing left to wait for, and still no sure way out: nobody is told to start."""
    tight = replace(WIDE, lags=tuple(replace(each, most=Span(1)) for each in WIDE.lags))

    assert next_start(bench(), new(tight), START).at is None


def test_hands_may_be_away_for_as_long_as_nothing_is_put_at_risk() -> None:
    """An early look takes a quarter of a minute; this says whether there is one to spare."""
    assert spare(bench(), START) == MOST_SPARE
    # The window closes in 90 s, and the reading may take 20 of them.
    assert spare(bench(on_the_well(WIDE, "C7", "-18:30")), START) == span("1:00")
    assert spare(bench(on_the_well(WIDE, "C7", "-19:50")), START) == 0
    busy = Hand(name="a", free=Instant(START + 1), free_most=Instant(START + 1), on=("C1", 0))
    assert spare(bench(hands=(busy,)), START) == 0

"""The fast way and the plain way count the same; and the rules do what they say."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.plan.made_up import kit, piece, work
from readbell.assays.library import Library
from readbell.core.assay.step import Wait
from readbell.core.instant import SECOND, Span
from readbell.core.plan.capacity import Rule
from readbell.core.plan.hands_on import READING
from readbell.core.plan.work import Work, work_of
from readbell.forecast.arrays import ArrayPlayer
from readbell.forecast.draws import always
from readbell.forecast.job import FAR, Job, job_of
from readbell.forecast.plain import PlainPlayer, drawn

if TYPE_CHECKING:
    from readbell.core.plan.tally import Tally

NASAL_ASSAY = Library().find("respiratory-antigen-nasal")
NASAL = work_of(NASAL_ASSAY)
BARE = work_of(NASAL_ASSAY, gloves=Span(0))
FOUR = work(
    piece("a", 20, touches=True),
    piece("b", 10, touches=True),
    piece("c", 15, touches=True),
    piece(READING, 10),
    gaps=((0, 1, 30, 90), (1, 2, 40, None), (0, 2, 60, 200), (2, 3, 300, 390)),
    gloves=5,
)
TWO = work(piece("a", 30, touches=True), piece(READING, 10), gaps=((0, 1, 300, 390),))
MIXED = work_of(
    replace(
        NASAL_ASSAY,
        steps=tuple(
            replace(step, wait=Wait(until="apply", most=Span(240 * SECOND)))
            if step.key == "collect"
            else step
            for step in NASAL_ASSAY.steps
        ),
    )
)
"""One more limit, which begins and ends in the middle of a piece."""
CLEAN = work(
    piece("a", 30), piece("b", 20), piece(READING, 10), gaps=((0, 1, 40, 90), (1, 2, 300, 390))
)
WORKS = {
    "nasal": NASAL,
    "no gloves": BARE,
    "four pieces": FOUR,
    "two pieces": TWO,
    "mixed": MIXED,
    "clean": CLEAN,
}


def both(job: Job, rule: Rule, operators: int, people: int, seed: int) -> tuple[Tally, Tally]:
    """A few runs, played both ways."""
    runs = range(3, 7)
    return (
        PlainPlayer(job, rule, operators, people, seed).play(runs),
        ArrayPlayer(job, rule, operators, people, seed).play(runs),
    )


@settings(max_examples=30, deadline=None)
@given(
    of=st.sampled_from(sorted(WORKS)),
    rule=st.sampled_from(Rule),
    operators=st.integers(1, 4),
    people=st.integers(1, 16),
    apart=st.integers(20, 400),
    spread=st.sampled_from([0, 0.25, 0.6]),
    seed=st.integers(0, 2**63 - 1),
)
def test_both_ways_count_the_same(
    of: str, rule: Rule, operators: int, people: int, apart: int, spread: float, seed: int
) -> None:
    """To the last millisecond, whatever the work, the crew, the rule and the seed."""
    job = job_of(WORKS[of], rule, apart=apart * 1_000.0, spread=spread)

    plain, fast = both(job, rule, operators, people, seed)

    assert plain == fast


def test_batches_add_up_to_the_whole() -> None:
    """Run 5 is run 5, whoever plays it and with whom."""
    player = ArrayPlayer(
        job_of(NASAL, Rule.CAREFUL, apart=90_000, spread=0.25), Rule.CAREFUL, 2, 20, 1
    )

    assert player.play(range(3)).plus(player.play(range(3, 8))) == player.play(range(8))


def test_every_crew_meets_the_same_people() -> None:
    """Common random numbers: arrivals and times hang on seed, run and person alone."""
    busy = job_of(NASAL, Rule.BUSY, apart=90_000, spread=0.25)
    careful = job_of(NASAL, Rule.CAREFUL, apart=90_000, spread=0.25)

    assert drawn(busy, 20, 7, 4) == drawn(careful, 20, 7, 4)
    assert drawn(busy, 20, 7, 4) != drawn(busy, 20, 8, 4)


def lone(takes: int, between: int) -> Job:
    """One piece for everybody, who come at even intervals."""
    return Job(between=always(between), takes=(always(takes),), touches=(False,), gloves=0)


@pytest.mark.parametrize("rule", [Rule.BUSY])
def test_a_queue_that_can_be_worked_out_by_hand(rule: Rule) -> None:
    """Somebody each 4 s, 5 s of work, one operator: the n-th waits n seconds."""
    plain, fast = both(lone(5 * SECOND, 4 * SECOND), rule, 1, 5, 1)

    assert plain == fast
    assert plain.waits == (4, 4, 4, 4, 4)
    assert plain.waited == 4 * (0 + 1 + 2 + 3 + 4) * SECOND
    assert plain.busy == 4 * 5 * 5 * SECOND
    assert plain.lasted == 4 * (4 + 25) * SECOND


def test_gloves_cost_their_time_where_the_person_changes() -> None:
    """One person alone: once, before the first touch, for the drops follow on the same person."""
    job = job_of(NASAL, Rule.BUSY, apart=10_000, spread=0)

    tally, _ = both(job, Rule.BUSY, 1, 1, 1)

    assert tally.busy == 4 * (135 + 20) * SECOND


def test_the_busy_rule_misses_what_the_careful_one_keeps() -> None:
    """The figure that a forecast is made for: a wait in buffer that someone new is begun into."""
    busy = job_of(NASAL, Rule.BUSY, apart=200_000, spread=0.25)
    careful = job_of(NASAL, Rule.CAREFUL, apart=200_000, spread=0.25)

    missing = ArrayPlayer(busy, Rule.BUSY, 1, 30, 1).play(range(300))
    keeping = ArrayPlayer(careful, Rule.CAREFUL, 1, 30, 1).play(range(300))

    assert missing.late[0] > 100
    assert keeping.missed == 0
    assert keeping.waited > missing.waited


@settings(max_examples=12, deadline=None)
@given(seed=st.integers(0, 2**32), operators=st.integers(1, 3), apart=st.integers(30, 240))
def test_careful_hands_that_keep_usual_times_miss_nothing(
    seed: int, operators: int, apart: int
) -> None:
    """The conditions of the argument hold: one kit, cartridges stay, drops longer than a reading."""
    for of in (NASAL, BARE, kit(90, (60, 120), 30, (900, 1_200), 15)):
        job = job_of(of, Rule.CAREFUL, apart=apart * 1_000.0, spread=0)

        tally = ArrayPlayer(job, Rule.CAREFUL, operators, 40, seed).play(range(20))

        assert tally.missed == 0


def test_a_limit_from_the_middle_of_a_piece_counts_from_there() -> None:
    """From the end of the swab, not of its piece, to the end of the drops."""
    job = job_of(MIXED, Rule.BUSY, apart=60_000, spread=0.25)

    plain, fast = both(job, Rule.BUSY, 1, 16, 2)

    assert plain == fast
    assert len(plain.late) == 3
    assert plain.missed > 0


def test_two_together_are_taken_only_where_their_limits_allow_it() -> None:
    """With firm two minutes and long swabs the second would spoil the first."""
    wide = job_of(NASAL, Rule.CAREFUL, apart=90_000, spread=0)
    narrow = job_of(kit(130, (60, 120), 30, (900, 1_200), 15), Rule.CAREFUL, apart=1.0, spread=0)

    assert wide.blocks is not None
    assert narrow.blocks is not None
    assert wide.blocks.second < FAR == narrow.blocks.second
    assert wide.blocks.single == (20 + 90 + 60 + 30) * SECOND


def test_strips_that_come_faster_than_they_are_read_push_each_other() -> None:
    """Reading takes 40 s, drops 30 s: each strip that waits takes 10 s from the first one's time."""
    slow = job_of(kit(90, (60, 120), 30, (900, 1_200), 40), Rule.CAREFUL, apart=1.0, spread=0)

    assert slow.blocks is not None
    assert slow.blocks.crowding == 10 * SECOND
    plain, fast = both(slow, Rule.CAREFUL, 1, 30, 5)
    assert plain == fast
    assert plain.missed == 0


def test_a_kit_of_work_without_limits_misses_nothing() -> None:
    """No window, nothing to miss."""
    free: Work = kit(90, (60, None), 30, (900, None), 15)
    job = job_of(free, Rule.BUSY, apart=60_000, spread=0.25)

    plain, fast = both(job, Rule.BUSY, 1, 20, 3)

    assert plain == fast
    assert (plain.late, plain.missed) == ((), 0)


def test_work_without_a_pause_is_one_block() -> None:
    """A single piece and nothing to read: the careful rule has nothing to mind."""
    bare = lone(5 * SECOND, 4 * SECOND)
    blocks = job_of(TWO, Rule.CAREFUL, apart=1.0, spread=0).blocks
    job = Job(between=bare.between, takes=bare.takes, touches=(True,), gloves=1_000, blocks=blocks)

    plain, fast = both(job, Rule.CAREFUL, 1, 5, 1)

    assert plain == fast
    assert plain.waits == (4, 0, 4, 0, 4, 0, 4, 0, 4)

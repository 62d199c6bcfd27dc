"""The even stagger of a crew."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.plan.made_up import kit, piece, work
from readbell.core.instant import SECOND
from readbell.core.plan.hands_on import READING
from readbell.core.plan.stagger import StaggerRule, even_stagger

MAIN = kit(90, (60, 120), 30, (900, 1_200), 15)


@pytest.mark.parametrize(("operators", "seconds"), [(1, 180), (2, 68), (3, 45), (4, 34)])
def test_the_computed_staggers_of_the_main_kit(operators: int, seconds: int) -> None:
    """Computed: for two and more it is the work bound, rounded up to a whole second."""
    found = even_stagger(MAIN, operators)

    assert found is not None
    assert found.interval == seconds * SECOND
    assert found.proven


def test_a_crew_that_shares_pieces_can_be_faster_than_one_that_does_not() -> None:
    """Everything exact: two operators apart would need 94.5 s, together 90."""
    found = even_stagger(kit(90, (60, 60), 30, (900, 915), 15), 2)

    assert found is not None
    assert found.rule is StaggerRule.SHARED
    assert found.interval == 90 * SECOND


def test_operators_with_their_own_cartridges_are_enough_where_one_reaches_the_bound() -> None:
    """Nothing to share: each takes every second person."""
    found = even_stagger(kit(60, (60, 120), 20, (900, 1_200), 10), 4)

    assert found is not None
    assert found.rule is StaggerRule.OWN_CARTRIDGES
    assert found.interval == 22_500
    assert found.proven


def test_own_cartridges_stay_the_answer_where_no_whole_second_below_fits() -> None:
    """Shared pieces would need a change of gloves for each touch; nothing is claimed to be proven."""
    found = even_stagger(kit(40, (100, 100), 40, (300, 400), 5, gloves=200), 2)

    assert found is not None
    assert found.rule is StaggerRule.OWN_CARTRIDGES
    assert not found.proven


def test_with_gloves_the_smallest_is_not_claimed_unless_it_meets_the_bound() -> None:
    """A change is counted for each touch, though some might be spared."""
    found = even_stagger(kit(90, (60, 110), 30, (900, 1_200), 15, gloves=20), 2)

    assert found is not None
    assert found.interval == 88 * SECOND
    assert not found.proven


def test_what_cannot_be_kept_has_no_stagger() -> None:
    """One cartridge alone goes past its limit."""
    assert even_stagger(kit(90, (60, 120), 30, (900, 910), 15), 2) is None


def test_a_gap_without_an_end_is_no_limit() -> None:
    """Shared by two, with a swab that may stand as long as it likes."""
    found = even_stagger(kit(91, (60, None), 30, (900, 910 + 15), 15, gloves=1), 2)

    assert found is not None
    assert found.interval < 91 * SECOND


def busiest(takes: tuple[int, ...], begins: list[int], period: int) -> int:
    """How many pieces are in hand at the busiest whole second, counted one by one."""
    return max(
        sum(
            (second - begin) % period < long - turn * period
            for begin, long in zip(begins, takes, strict=True)
            for turn in range(long // period + 1)
        )
        for second in range(period)
    )


@settings(max_examples=60, deadline=None)
@given(
    takes=st.tuples(st.integers(1, 5), st.integers(1, 5), st.integers(1, 3)),
    waits=st.tuples(st.integers(0, 5), st.integers(0, 9)),
    wide=st.tuples(st.integers(0, 3), st.integers(0, 4)),
)
def test_the_stagger_of_two_is_what_brute_force_finds(
    takes: tuple[int, int, int], waits: tuple[int, int], wide: tuple[int, int]
) -> None:
    """Every place of every piece is tried on a grid of one second."""
    pieces = (piece("a", takes[0]), piece("b", takes[1]), piece(READING, takes[2]))
    gaps = (
        (0, 1, waits[0], waits[0] + wide[0]),
        (1, 2, waits[1], waits[1] + wide[1]),
    )
    found = even_stagger(work(*pieces, gaps=gaps), 2)
    assert found is not None

    def fits(period: int) -> bool:
        for first in range(waits[0], waits[0] + wide[0] + 1):
            for second in range(waits[1], waits[1] + wide[1] + 1):
                b = takes[0] + first
                if busiest(takes, [0, b, b + takes[1] + second], period) <= 2:
                    return True
        return False

    by_hand = next(each for each in range(1, 60) if 2 * each >= sum(takes) and fits(each))
    assert found.interval <= by_hand * SECOND
    if found.rule is StaggerRule.SHARED:
        assert found.interval == by_hand * SECOND


def test_a_piece_that_waits_for_two_others_keeps_both_waits() -> None:
    """A reading that counts from the swab as well: some places of the drops leave it none."""
    takes = (2, 12, 10)
    three = (piece("a", 2), piece("b", 12), piece(READING, 10))
    gaps = ((0, 1, 1, 7), (1, 2, 13, 24), (0, 2, 27, 27))

    found = even_stagger(work(*three, gaps=gaps), 2)

    by_hand = next(
        period
        for period in range(12, 60)
        if any(
            busiest(takes, [0, drops, 29], period) <= 2
            for drops in range(3, 10)
            if 13 <= 29 - drops - 12 <= 24
        )
    )
    assert found is not None
    assert found.interval == by_hand * SECOND

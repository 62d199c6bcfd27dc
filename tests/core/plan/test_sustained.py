"""The pace of a crew, and what is claimed of it."""

from __future__ import annotations

from core.plan.made_up import kit
from readbell.core.instant import SECOND
from readbell.core.plan.sustained import Way, sustained

MAIN = kit(90, (60, 120), 30, (900, 1_200), 15)


def test_pairs_carry_the_most_there_is() -> None:
    """Main kit, computed: 135 s is the work itself, 26.7 an hour; proven."""
    found = sustained(MAIN, 1)

    assert found is not None
    assert (found.way, found.best_round.people) == (Way.ROUNDS, 2)
    assert found.apart == 135 * SECOND
    assert found.is_proven
    assert found.searched == 2
    assert round(found.per_hour, 1) == 26.7


def test_a_crew_works_side_by_side() -> None:
    """Twice the hands, twice the people."""
    one, two = sustained(MAIN, 1), sustained(MAIN, 2)

    assert one is not None
    assert two is not None
    assert two.apart * 2 == one.apart


def test_the_better_way_is_told() -> None:
    """Everything exact: two that share pieces are faster than two apart; not proven."""
    found = sustained(kit(90, (60, 60), 30, (900, 915), 15), 2, people=2)

    assert found is not None
    assert found.way is Way.EVEN
    assert found.apart == 90 * SECOND
    assert not found.is_proven
    assert found.searched == 2


def test_a_search_cut_short_is_not_counted_as_searched() -> None:
    """What was not looked at to the end is not said to be."""
    found = sustained(kit(90, (60, 60), 30, (900, 915), 15), 1, nodes=40)

    assert found is not None
    assert found.searched == 1


def test_what_cannot_be_kept_has_no_pace() -> None:
    """One cartridge alone goes past its limit."""
    assert sustained(kit(90, (60, 120), 30, (900, 910), 15), 1) is None

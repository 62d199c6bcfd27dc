"""What the site decides stands in the record, from when it was decided."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import UNDECIDED, SitePolicy

if TYPE_CHECKING:
    from bay.conftest import Place, Work

DECIDED = SitePolicy(warn_expiry_days=30)


def decisions(work: Work) -> list[SitePolicy]:
    """Every decision that this run has recorded."""
    return [
        event.policy for news in work.told for event in news.events if isinstance(event, PolicySet)
    ]


async def test_what_the_settings_decide_is_recorded_once(place: Place) -> None:
    """Every later act can be held against it; a decision that stands is not made again."""
    first = await place.take_up(policy=DECIDED)
    assert decisions(first) == [DECIDED]
    await first.die()
    again = await place.take_up(first.clock, policy=DECIDED)
    assert (decisions(again), again.bay.board.policy) == ([], DECIDED)


async def test_a_decision_taken_back_is_recorded_too(place: Place) -> None:
    """Otherwise the record would say that it still holds."""
    first = await place.take_up(policy=DECIDED)
    await first.die()
    again = await place.take_up(first.clock, policy=UNDECIDED)
    assert (decisions(again), again.bay.board.policy) == ([UNDECIDED], UNDECIDED)


async def test_whoever_has_no_settings_leaves_the_decisions_as_they_are(place: Place) -> None:
    """A tool that merely opens the journal decides nothing for the site."""
    first = await place.take_up(policy=DECIDED)
    await first.die()
    again = await place.take_up(first.clock)
    assert (decisions(again), again.bay.board.policy) == ([], DECIDED)

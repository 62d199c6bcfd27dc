"""A start while it is too warm, at the bench: who stands by scans their badge."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest_asyncio

from bay.conftest import place  # noqa: F401  # a fixture, used by its name
from hand.conftest import Hands, find
from readbell.bay.desk import Desk
from readbell.bay.identifiers import RandomIdentifiers
from readbell.core.climate.acts import NoteTemperature
from readbell.core.climate.events import Where
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.staffing import OutsideCompetence
from readbell.core.policy.temperature import OutsideTemperature
from readbell.core.review.reasons import HoldReason
from readbell.core.staff.events import StartSupervised
from readbell.hand.doing import Watching

if TYPE_CHECKING:
    from collections.abc import AsyncIterator

    from bay.conftest import Place

POLICY = SitePolicy(outside_temperature=OutsideTemperature.SUPERVISED)


@pytest_asyncio.fixture
async def too_warm(hands: Hands, place: Place) -> AsyncIterator[Hands]:  # noqa: F811  # the fixture
    """Hands at a bay of 33 degrees whose site wants a supervisor by."""
    await hands.work.die()
    work = await place.take_up(hands.work.clock, policy=POLICY)
    await work.bay.do(NoteTemperature(by="op-1", where=Where.BAY, celsius=33.0))
    yield Hands(work=work, desk=Desk(identifiers=RandomIdentifiers(), find_assay=find))
    await work.die()


async def test_the_start_asks_for_a_badge_and_goes_on_with_it(too_warm: Hands) -> None:
    """The badge of who stands by changes nobody who acts, and the reading waits."""
    await too_warm.scan("P-001", "C01")
    assert "too cold or too warm" in too_warm.words
    assert "who stands by" in too_warm.words
    await too_warm.scan("op-2", "C01")

    assert too_warm.hand.operator == "op-1"
    assert too_warm.cartridge("C01").held == (HoldReason.TEMPERATURE,)
    assert [each for each in await too_warm.stored() if isinstance(each, StartSupervised)]


async def test_the_badge_is_asked_for_before_a_pouch_is_opened(too_warm: Hands) -> None:
    """A pouch opened for a start that nobody may make is lost."""
    await too_warm.scan("P-001")
    assert "The supervisor who stands by scans their badge now. Open no pouch." in too_warm.words
    await too_warm.scan("op-2")
    assert too_warm.words.startswith("op-2 stands by. Now one pouch of lot L-100")
    await too_warm.scan("C01")
    assert too_warm.cartridge("C01").held == (HoldReason.TEMPERATURE,), too_warm.words


async def test_somebody_who_is_not_cleared_at_all_is_told_so_before(
    too_warm: Hands,
    place: Place,  # noqa: F811  # the fixture
) -> None:
    """No supervisor can stand by for that: somebody else has to start it."""
    await too_warm.work.die()
    policy = SitePolicy(outside_competence=OutsideCompetence.REFUSED)
    too_warm.work = await place.take_up(too_warm.work.clock, policy=policy)
    await too_warm.scan("P-001")
    assert too_warm.words.startswith("Open no pouch.")
    assert too_warm.in_hand() == Watching()
    await too_warm.work.die()

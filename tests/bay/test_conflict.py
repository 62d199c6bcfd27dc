"""Two programs on one journal: the second to write looks again and judges again."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest_asyncio

from builders import private
from readbell.core.board.acts import HoldLot
from readbell.core.board.entry import Do, Entry
from readbell.core.board.events import ProgramStopped
from readbell.core.cartridge.events import AlertKind
from readbell.core.cartridge.stage import Stage
from readbell.core.refusal import RefusalCode

if TYPE_CHECKING:
    from bay.conftest import Place, Work


@pytest_asyncio.fixture
async def rival(work: Work, place: Place) -> Work:
    """A second bay on the same file, through a connection of its own, at the same clock."""
    return await place.take_up(work.clock)


async def test_an_act_is_judged_again_on_what_the_other_left(work: Work, rival: Work) -> None:
    """The lot was stopped elsewhere a moment ago: nobody may be started from it here."""
    await rival.bay.do(HoldLot(by="op-1", lot="L-100"))

    assert await work.refused(work.label()) is RefusalCode.LOT_ON_HOLD


async def test_an_act_that_is_still_right_is_taken_after_the_other(work: Work, rival: Work) -> None:
    """Somebody else's act costs nothing but a second look."""
    await rival.must(rival.label("C1"))
    await work.must(work.label("C2", person="P-002"))

    labels = [each.label for each in work.bay.board.in_order()]
    assert labels == ["C1", "C2"]


async def test_a_label_given_elsewhere_is_in_use_here(work: Work, rival: Work) -> None:
    """One label on two cartridges would mix two people up."""
    await rival.must(rival.label("C1"))

    assert await work.refused(work.label("C1", person="P-002")) is RefusalCode.LABEL_IN_USE


async def test_the_journal_of_two_writers_stays_whole(work: Work, rival: Work) -> None:
    """Taking turns leaves one chain without a gap, with every act in it."""
    for place in range(4):
        await work.must(work.label(f"C{place}"))
        await rival.must(rival.label(f"D{place}"))

    stored = await work.stored()
    assert len(rival.bay.board.labels) == 8
    assert len(stored) == len({each.id for each in stored})


async def test_an_alert_is_announced_though_the_other_has_written(work: Work, rival: Work) -> None:
    """A bell must not fall silent because somebody wrote at the same time."""
    await work.to_extract()
    await rival.must(rival.label("C2", person="P-002"))
    work.clock.advance("1:00")

    assert await work.ring() == [(AlertKind.WAIT_OVER, "C1")]


async def test_an_alert_the_other_has_announced_is_not_announced_again(
    work: Work, rival: Work
) -> None:
    """The record says once that the wait was over."""
    await rival.to_extract()
    await work.must(work.label("C2", person="P-002"))
    work.clock.advance("1:00")
    await rival.ring()
    await work.ring()

    alerts = [each.event for each in await work.stored() if hasattr(each.event, "alert")]
    assert len(alerts) == 1


async def test_a_cartridge_ended_elsewhere_rings_no_more_here(work: Work, rival: Work) -> None:
    """Its old deadline must neither ring nor bring the bay down when it comes."""
    await work.to_extract("C1")
    await work.to_extract("C2", person="P-002")
    await rival.must(
        Entry(do=Do.VOID, by="op-1", cartridge="C1", reason="dropped"),
    )
    await work.must(work.label("C3"))
    work.clock.advance("1:00")

    assert await work.ring() == [(AlertKind.WAIT_OVER, "C2")]
    assert work.cartridge("C1").stage is Stage.VOID


async def test_a_moved_wall_clock_is_recorded_though_the_other_has_written(
    work: Work, rival: Work
) -> None:
    """What the clocks did concerns every writer's record."""
    await rival.must(rival.label())
    work.clock.wall += 3_600_000
    await work.look_about()

    assert type((await work.stored())[-1].event).__name__ == "ClockJumped"


async def test_the_clean_mark_is_put_though_the_other_has_written(work: Work, rival: Work) -> None:
    """A program that ended of its own accord must not look as if it had been killed."""
    await rival.must(rival.label())
    await work.close()

    *_, last = await rival.stored()
    assert isinstance(last.event, ProgramStopped)


async def test_what_the_other_registered_is_known_here(work: Work, rival: Work) -> None:
    """An operator signed on at the other station may act at this one."""
    await rival.must(rival.label())
    answer = await work.enter(work.label("C2", person="P-002", by="op-2"))

    assert answer.accepted
    assert private("op-2").key in [each.by for each in [work.cartridge("C2").labelled]]

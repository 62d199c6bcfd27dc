"""What goes wrong behind people's backs is noticed, recorded, and the cartridges named."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from builders import span
from readbell.core.board.events import ClockJumped, ComputerSlept
from readbell.core.cartridge.events import AlertKind

if TYPE_CHECKING:
    from bay.conftest import Place, Work
    from readbell.core.board.event import Event


async def seen_by(work: Work) -> list[Event]:
    """What the bay makes of its clocks now."""
    before = len(work.told)
    await work.look_about()
    return [event for news in work.told[before:] for event in news.events]


@pytest.mark.parametrize(
    ("moved", "is_told"),
    [
        pytest.param(-1_001, True, id="back by over a second"),
        pytest.param(-1_000, False, id="back by a second"),
        pytest.param(0, False, id="not moved"),
        pytest.param(1_000, False, id="on by a second"),
        pytest.param(1_001, True, id="on by over a second"),
        pytest.param(86_400_000, True, id="on by a day"),
    ],
)
async def test_a_wall_clock_moved_by_over_a_second_is_told(
    work: Work, moved: int, is_told: bool
) -> None:
    """Small corrections are daily bread; a step is not."""
    await work.to_well()
    work.clock.wall += moved

    found = await seen_by(work)
    jumps = [each.by_span for each in found if isinstance(each, ClockJumped)]
    assert jumps == ([moved] if is_told else [])


async def test_a_jump_names_every_running_cartridge(work: Work) -> None:
    """People look at what ran then, and at nothing else."""
    await work.to_well("C1")
    await work.to_extract("C2", person="P-002")
    work.clock.wall += 60_000

    (jump,) = await seen_by(work)
    assert isinstance(jump, ClockJumped)
    assert {work.label_of(each) for each in jump.cartridges} == {"C1", "C2"}


async def test_a_jump_names_no_cartridge_that_has_ended(work: Work) -> None:
    """What was read before the clock moved has its times already."""
    await work.to_well()
    work.clock.advance("15:00")
    await work.must(work.read())
    work.clock.wall += 60_000

    (jump,) = await seen_by(work)
    assert isinstance(jump, ClockJumped)
    assert jump.cartridges == ()


async def test_a_jump_moves_no_deadline(work: Work) -> None:
    """The strip does not know what the wall clock says."""
    await work.to_well()
    before = work.bay.next_due()
    work.clock.wall += 3_600_000
    await seen_by(work)

    assert work.bay.next_due() == before
    assert await work.ring() == []


async def test_a_jump_is_told_once(work: Work) -> None:
    """The new agreement of the clocks is what the next look is held against."""
    work.clock.wall += 60_000
    await seen_by(work)

    assert await seen_by(work) == []


async def test_a_drift_that_adds_up_is_told_in_the_end(work: Work) -> None:
    """Half a second now and half a second then parts the clocks just the same."""
    for _ in range(2):
        work.clock.wall += 501
        found = await seen_by(work)

    assert [each.by_span for each in found if isinstance(each, ClockJumped)] == [1_002]


async def test_a_suspended_computer_is_told_with_its_cartridges(work: Work) -> None:
    """No alarm could ring meanwhile, so each strip is to be looked at."""
    await work.to_well()
    work.clock.suspend("3:00")

    (slept,) = await seen_by(work)
    assert slept == ComputerSlept(
        at=work.now(), span=span("3:00"), cartridges=(work.cartridge().id,)
    )


async def test_a_computer_that_slept_and_was_moved_is_told_of_both(work: Work) -> None:
    """One does not hide the other."""
    work.clock.suspend("3:00")
    work.clock.wall += 60_000

    kinds = [type(each).__name__ for each in await seen_by(work)]
    assert sorted(kinds) == ["ClockJumped", "ComputerSlept"]


async def test_what_fell_due_in_sleep_rings_on_waking(work: Work) -> None:
    """A shut lid makes an alarm late, never lost."""
    await work.to_well()
    work.clock.suspend("15:00")

    assert (AlertKind.READ_NOW, "C1") in await work.ring()


async def test_the_journal_is_looked_at_each_minute_and_not_each_second(
    work: Work, place: Place
) -> None:
    """Often enough to warn before the next person, seldom enough to cost nothing."""
    place.path.rename(place.path.with_name("away"))
    work.clock.advance("0:59.999")
    await work.look_about()
    before = work.told[-1].not_saved
    work.clock.advance("0:00.001")
    await work.look_about()

    assert before is None
    assert work.told[-1].not_saved is not None


async def test_a_closed_bay_looks_about_no_more(work: Work) -> None:
    """Nothing may follow the clean mark."""
    await work.close()
    before = len(work.told)
    work.clock.wall += 60_000
    work.clock.advance("30:00")
    await work.look_about()

    assert await work.ring() == []
    assert len(work.told) == before

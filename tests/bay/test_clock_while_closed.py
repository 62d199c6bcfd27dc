"""What somebody did to the clock while no program was there to see it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from readbell.core.board.events import ClockJumped

if TYPE_CHECKING:
    from bay.conftest import Place, Work


@pytest.mark.parametrize(
    ("moved", "told"),
    [
        pytest.param(3_600_000, [3_600_000], id="an hour ahead"),
        pytest.param(-60_000, [-60_000], id="a minute back"),
        pytest.param(1_001, [1_001], id="a little over a second"),
        pytest.param(1_000, [], id="a second, which clocks may part by"),
        pytest.param(0, [], id="not at all"),
    ],
)
async def test_a_wall_clock_moved_while_the_program_was_closed_is_told(
    work: Work, place: Place, moved: int, told: list[int]
) -> None:
    """The times people wrote on the plastic meanwhile were read off that clock."""
    await work.to_extract()
    await work.close()
    work.clock.advance("0:10")
    work.clock.wall += moved

    again = await place.take_up(work.clock)

    jumps = [e.event for e in await again.stored() if isinstance(e.event, ClockJumped)]
    assert [each.by_span for each in jumps] == told
    assert again.now() == work.cartridge().last_mark.done.said + 10_000

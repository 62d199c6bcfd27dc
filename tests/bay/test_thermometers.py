"""What a thermometer says by itself: recorded when it matters, not each second."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from readbell.bay.thermometers import hear_thermometer
from readbell.core.climate.events import (
    TemperatureNoted,
    ThermometerFailed,
    ThermometerFault,
    Where,
)

if TYPE_CHECKING:
    from bay.conftest import Work


def climate(work: Work) -> list[float | ThermometerFault]:
    """What was recorded of the temperature, in order."""
    return [
        event.celsius if isinstance(event, TemperatureNoted) else event.fault
        for news in work.told
        for event in news.events
        if isinstance(event, (TemperatureNoted, ThermometerFailed))
    ]


async def say(work: Work, *figures: float | ThermometerFault) -> None:
    """Let the thermometer of the bay say so."""
    for each in figures:
        await hear_thermometer(work.bay, Where.BAY, each)


async def test_a_figure_is_taken_each_minute_and_whenever_a_range_is_left(work: Work) -> None:
    """One that speaks each second would fill the record, and the moment it matters must stand."""
    await say(work, 21.0, 21.1, 29.9)
    assert climate(work) == [21.0]
    await say(work, 30.5, 30.6)
    assert climate(work) == [21.0, 30.5]
    await say(work, 29.0)
    work.clock.advance("1:00")
    await say(work, 29.1)
    assert climate(work) == [21.0, 30.5, 29.0, 29.1]


@pytest.mark.parametrize("figure", [-300.0, 1000.0])
async def test_what_no_room_can_be_counts_as_no_figure(work: Work, figure: float) -> None:
    """A loose wire is said once; each of its lines would else be a near miss."""
    await say(work, figure, figure)
    assert climate(work) == [ThermometerFault.NO_FIGURE]


async def test_after_a_fault_the_next_figure_is_taken_at_once(work: Work) -> None:
    """Then nobody has to read it off any more."""
    await say(work, 21.0, ThermometerFault.ENDED, ThermometerFault.ENDED, 21.1)
    assert climate(work) == [21.0, ThermometerFault.ENDED, 21.1]
    assert work.bay.board.climate.failed == {}


async def test_what_is_said_while_the_bay_closes_is_let_go(work: Work) -> None:
    """There is nobody left to record it, and nothing may break for it."""
    await work.close()
    await say(work, 21.0)
    assert climate(work) == []

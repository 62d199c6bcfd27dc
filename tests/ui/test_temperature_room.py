"""The room of temperature: what was measured, what is wanted, when it is due."""

from __future__ import annotations

import pytest

from builders import START, Bench, at
from readbell.core.board.fold import fold
from readbell.core.climate.acts import FailThermometer, NoteTemperature
from readbell.core.climate.events import ThermometerFault, Where
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import SitePolicy
from readbell.hand.doing import Doing, Room, Visiting, Watching
from ui.pages import SIZES, painted, present, text

ROOM = Visiting(room=Room.TEMPERATURE)


def shown(bench: Bench, now: str = "1:00:00", size: tuple[int, int] = (80, 24)) -> str:
    """The page as text."""
    return text(painted(present(bench.board, ROOM, now=at(now)), *size))


@pytest.mark.parametrize("size", SIZES)
def test_nothing_measured_is_said_with_what_would_be_right(size: tuple[int, int]) -> None:
    """The ranges stand there before the first figure does."""
    page = shown(Bench(), size=size)
    assert "Bay: never measured." in page
    assert "Store: never measured." in page
    assert "is run at 15 to 30 °C" in page
    assert "is kept at 2 to 30 °C" in page


def test_a_figure_out_of_range_is_told_in_words() -> None:
    """No colour needed."""
    bench = Bench()
    bench.must(NoteTemperature(by="op-1", where=Where.BAY, celsius=33.25))
    bench.must(NoteTemperature(by=None, where=Where.STORE, celsius=5.0))
    page = shown(bench)
    assert "Bay: 33.25 °C" in page
    assert "by op-1. OUT OF RANGE." in page
    assert "Store: 5.0 °C" in page
    assert "by the thermometer itself." in page


def test_when_the_next_one_is_due_and_when_it_was_missed() -> None:
    """A reminder that is late says since when."""
    bench = Bench()
    bench.board = fold(bench.board, PolicySet(at=START, policy=SitePolicy(temperature_hours=2)))
    assert "DUE since" in shown(bench)
    bench.must(NoteTemperature(by="op-1", where=Where.BAY, celsius=20.0))
    assert "due 02:53:20" in shown(bench)
    assert "DUE since" not in shown(bench)
    assert "DUE since" in shown(bench, "2:00:00")


def test_a_thermometer_that_fell_silent_is_told() -> None:
    """Somebody has to read it off until it speaks again."""
    bench = Bench()
    bench.must(FailThermometer(where=Where.BAY, fault=ThermometerFault.ENDED))
    assert "The thermometer of the bay has stopped. Read it off" in shown(bench)


@pytest.mark.parametrize("doing", [ROOM, Watching()])
def test_out_of_range_stands_at_the_top_of_every_page_until_it_is_mended(doing: Doing) -> None:
    """Whoever takes over by badge has not seen the figure being noted."""

    def top(bench: Bench) -> str:
        return text(painted(present(bench.board, doing, now=at("1:00:00")), 120, 40)).split("\n")[0]

    bench = Bench()
    bench.must(NoteTemperature(by="op-1", where=Where.BAY, celsius=33.25))
    bench.must(NoteTemperature(by="op-1", where=Where.STORE, celsius=5.0))
    assert "OUT OF RANGE bay 33.25 °C" in top(bench)
    assert "store" not in top(bench)
    bench.must(NoteTemperature(by="op-1", where=Where.BAY, celsius=22.0), "0:10")
    assert "OUT OF RANGE" not in top(bench)

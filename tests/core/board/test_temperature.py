"""Temperature: noted, held against each assay's range, and what ran meanwhile waits for a look."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import NEGATIVE, START, Bench, at, span
from readbell.core.board.fold import fold
from readbell.core.board.temperature import next_due, places_out_of_range
from readbell.core.climate.acts import NoteTemperature
from readbell.core.climate.climate import key_of
from readbell.core.climate.events import Source, TemperatureNoted, Where
from readbell.core.instant import later
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import SitePolicy
from readbell.core.refusal import RefusalCode
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import HoldReason


def note(celsius: float, where: Where = Where.BAY, by: str | None = "op-1") -> NoteTemperature:
    """A figure as somebody read it off."""
    return NoteTemperature(by=by, where=where, celsius=celsius)


def held(bench: Bench, label: str = "C1") -> tuple[HoldReason, ...]:
    """Why the reading of a cartridge waits for a supervisor."""
    return bench.cartridge(label).held


@pytest.mark.parametrize(
    ("celsius", "out"),
    [
        # Run at 15 to 30 C, both inside: figures of a public leaflet, and the border of each.
        (14.9, True),
        (15.0, False),
        (30.0, False),
        (30.1, True),
    ],
)
def test_both_ends_of_the_range_belong_to_it(celsius: float, *, out: bool) -> None:
    """A tenth of a degree decides whether a kit may be used."""
    bench = Bench()
    (noted, *_) = bench.must(note(celsius))
    assert isinstance(noted, TemperatureNoted)
    assert bool(noted.outside) is out
    assert bool(places_out_of_range(bench.board, next(iter(bench.board.assays)))) is out


def test_the_store_has_a_range_of_its_own() -> None:
    """What is too cold to run may be right to keep."""
    bench = Bench()
    (noted,) = bench.must(note(4.0, Where.STORE))
    assert isinstance(noted, TemperatureNoted)
    assert noted.outside == ()
    bench.must(note(4.0, Where.BAY))
    (found,) = places_out_of_range(bench.board, next(iter(bench.board.assays)))
    assert found.where is Where.BAY


def test_readings_of_what_runs_meanwhile_wait_for_a_supervisor_and_none_is_refused() -> None:
    """A valid strip is read in its window whatever the thermometer says."""
    bench = Bench()
    bench.to_well()
    (noted, hold) = bench.must(note(33.0), "5:00")
    assert isinstance(noted, TemperatureNoted)
    assert noted.touched == (bench.cartridge().id,)
    assert isinstance(hold, ReadingHeld)
    assert held(bench) == (HoldReason.TEMPERATURE,)
    bench.must(bench.read_act(NEGATIVE), "18:00")
    assert held(bench) == (HoldReason.TEMPERATURE,)


def test_a_second_bad_figure_holds_nothing_twice() -> None:
    """A thermometer that speaks each minute must not fill the record with one thing."""
    bench = Bench()
    bench.to_well()
    bench.must(note(33.0), "5:00")
    assert len(bench.must(note(34.0), "6:00")) == 1


def test_what_was_read_since_the_last_good_figure_is_looked_at_again() -> None:
    """Nobody knows when it grew too warm, so it counts from the last figure that was right."""
    bench = Bench()
    bench.to_well("C1", applied="2:30")
    bench.to_well("C2", person="P-002", applied="2:40")
    bench.must(bench.read_act(NEGATIVE, "C1"), "18:00")
    bench.must(note(22.0), "18:30")
    bench.must(bench.read_act(NEGATIVE, "C2", person="P-002"), "19:00")
    bench.must(note(31.0), "20:00")
    assert held(bench, "C1") == ()
    assert held(bench, "C2") == (HoldReason.TEMPERATURE,)


def test_a_first_figure_says_nothing_of_what_was_read_before_anybody_measured() -> None:
    """No figure says that it ever was right, so none says when that was left."""
    bench = Bench()
    bench.to_well()
    bench.must(bench.read_act(NEGATIVE), "18:00")
    bench.must(note(31.0), "20:00")
    assert held(bench) == ()


def test_a_cartridge_given_up_is_passed_over() -> None:
    """It gave no result that could be doubted."""
    bench = Bench()
    bench.must(note(22.0))
    bench.label(now="0:10")
    bench.must(bench.void_act(), "0:20")
    assert len(bench.must(note(31.0), "0:30")) == 1


def test_a_warm_store_touches_no_cartridge() -> None:
    """What it spoils is kits, and those are the lots' matter."""
    bench = Bench()
    bench.to_well()
    (noted,) = bench.must(note(40.0, Where.STORE), "5:00")
    assert isinstance(noted, TemperatureNoted)
    assert noted.touched == ()


def test_a_thermometer_speaks_for_itself_and_a_stranger_does_not() -> None:
    """Who read it off is part of the record; a pipe is nobody."""
    bench = Bench()
    (noted,) = bench.must(note(21.0, by=None))
    assert isinstance(noted, TemperatureNoted)
    assert (noted.by, noted.source) == (None, Source.PIPED)
    (typed,) = bench.must(note(21.0))
    assert isinstance(typed, TemperatureNoted)
    assert typed.source is Source.TYPED
    assert bench.refused(note(21.0, by="op-9")).code is RefusalCode.UNKNOWN_OPERATOR


@pytest.mark.parametrize("celsius", [-40.1, 60.1])
def test_what_no_room_can_be_is_refused(celsius: float) -> None:
    """A slip of the keys must not hold every reading of the day."""
    assert Bench().refused(note(celsius)).code is RefusalCode.NOT_ALLOWED


def test_a_figure_is_due_so_many_hours_after_the_last() -> None:
    """From the first hour of the bay on, where there was none yet; never, where nobody asks."""
    bench = Bench()
    assert next_due(bench.board, Where.BAY) is None
    bench.board = fold(bench.board, PolicySet(at=START, policy=SitePolicy(temperature_hours=4)))
    assert next_due(bench.board, Where.BAY) == START
    assert next_due(bench.board, Where.STORE) is None
    bench.must(note(21.0), "1:00:00")
    assert next_due(bench.board, Where.BAY) == later(at("1:00:00"), span("4:00:00"))
    assert next_due(replace(bench.board, founded=None), Where.BAY) is None


def test_of_two_assays_each_is_held_against_its_own_last_good_figure() -> None:
    """What was right for one until later does not cast doubt on what was read before."""
    bench = Bench()
    bench.to_well()
    bench.must(bench.read_act(NEGATIVE), "18:00")
    (key,) = bench.board.assays
    climate = replace(
        bench.board.climate,
        in_range={key_of(Where.BAY, "other"): at("1:00"), key_of(Where.BAY, key): at("19:00")},
    )
    assays = {**bench.board.assays, "other": bench.board.assays[key]}
    bench.board = replace(bench.board, assays=assays, climate=climate)

    bench.must(note(31.0), "20:00")
    assert held(bench) == ()

"""A temperature that came late into the record counts from the instant at which it was noted."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import at
from core.board.stations_bench import HASH, SharedBay, noted
from readbell.core.board.board import Board
from readbell.core.board.temperature import places_out_of_range
from readbell.core.climate.climate import fold_climate
from readbell.core.climate.events import (
    TemperatureNoted,
    ThermometerFailed,
    ThermometerFault,
    Where,
)
from readbell.core.controls.room import LotRecord, Proof


def failed(when: str) -> ThermometerFailed:
    """A thermometer that speaks no more."""
    return ThermometerFailed(at=at(when), where=Where.BAY, fault=ThermometerFault.ENDED)


def climate_after(*events: TemperatureNoted | ThermometerFailed) -> Board:
    """Return the board after figures and faults in this order of the record."""
    bay = SharedBay()
    bay.put(*events)
    return bay.board


def test_a_temperature_noted_alone_is_not_the_last_one_if_there_is_a_later_one() -> None:
    """It was cold at five; at ten it was fine."""
    board = climate_after(noted("10:00"), noted("5:00", outside=True))

    assert board.climate.at(Where.BAY) == noted("10:00")
    assert places_out_of_range(board, HASH) == ()
    assert board.climate.last_in_range(Where.BAY, HASH) == at("10:00")


def test_when_it_was_last_in_range_goes_only_forward() -> None:
    """A figure that came late is older than what is known."""
    board = climate_after(noted("10:00"), noted("5:00"))

    assert board.climate.last_in_range(Where.BAY, HASH) == at("10:00")
    board = climate_after(noted("10:00", outside=True), noted("5:00"))
    assert board.climate.last_in_range(Where.BAY, HASH) == at("5:00")


def test_a_fault_that_a_later_figure_has_answered_is_none() -> None:
    """And a figure from before it answers no fault."""
    assert not climate_after(noted("10:00"), failed("5:00")).climate.failed
    assert climate_after(failed("10:00")).climate.failed
    assert not climate_after(failed("5:00"), noted("10:00")).climate.failed


@settings(max_examples=100, deadline=None)
@given(st.permutations(["1:00", "2:00", "3:00", "4:00"]), st.sets(st.integers(0, 3)))
def test_what_is_known_of_the_temperature_is_the_same_in_whatever_order_it_came(
    order: list[str], cold: set[int]
) -> None:
    """The last figure and the last good one are those by the clock."""
    figures = [noted(when, outside=place in cold) for place, when in enumerate(sorted(order))]
    by_time = {each.at: each for each in figures}
    climate = Board().climate
    straight = climate
    for when in order:
        climate = fold_climate(climate, by_time[at(when)], {HASH: None})
    for each in figures:
        straight = fold_climate(straight, each, {HASH: None})

    assert climate == straight


def with_proofs(bay: SharedBay, when: str) -> None:
    """Let both kinds of control sample have passed, begun at an instant."""
    proof = Proof(at=at(when), by="key-op-1")
    record = LotRecord(positive=proof, negative=proof)
    samples = replace(bay.board.samples, lots={"L-100": record})
    bay.board = replace(bay.board, samples=samples)


@pytest.mark.parametrize(
    ("came", "expected"),
    [
        (("5:00",), None),  # both kinds have passed since
        (("15:00",), "15:00"),
        (("15:00", "12:00"), "12:00"),
        (("15:00", "5:00"), "15:00"),
        (("15:00", "20:00"), "15:00"),
    ],
)
def test_control_samples_are_due_since_the_first_excursion_that_nothing_has_settled(
    came: tuple[str, ...], expected: str | None
) -> None:
    """By the clock, not by the order in which it came in."""
    bay = SharedBay()
    with_proofs(bay, "10:00")
    for when in came:
        bay.put(noted(when, outside=True))

    found = bay.board.samples.record("L-100").excursion
    assert found == (None if expected is None else at(expected))


def test_an_excursion_after_both_kinds_have_passed_is_a_new_one() -> None:
    """The old one is settled."""
    bay = SharedBay()
    bay.put(noted("5:00", outside=True))
    record = bay.board.samples.record("L-100")
    proof = Proof(at=at("10:00"), by="key-op-1")
    proven = replace(record, positive=proof, negative=proof)
    bay.board = replace(bay.board, samples=replace(bay.board.samples, lots={"L-100": proven}))

    bay.put(noted("15:00", outside=True))

    assert bay.board.samples.record("L-100").excursion == at("15:00")

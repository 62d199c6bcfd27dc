"""A station's mark is its own: two devices never get one label from two stations."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from readbell.core.stations.station import (
    MARKS,
    Station,
    StationState,
    bearer_of,
    is_marked,
    mark_for,
)


def test_who_joins_gets_the_first_letter_that_nobody_ever_bore() -> None:
    """Labels of whoever left may still lie on the bench."""
    stations = {"window": Station(mark="A", state=StationState.LEFT), "bench": Station(mark="B")}

    assert mark_for(stations, "office") == "C"
    assert mark_for({}, "window") == "A"


def test_who_comes_back_keeps_its_letter() -> None:
    """It stands in its station file, and on its labels."""
    stations = {"window": Station(mark="A", state=StationState.GIVEN_UP)}

    assert mark_for(stations, "window") == "A"


@given(st.lists(st.sampled_from(StationState), min_size=26, max_size=26))
def test_when_all_letters_are_borne_the_first_that_left_gives_its_own(
    states: list[StationState],
) -> None:
    """One that was given up may come back with labels of its own; so it gives nothing."""
    stations = {
        f"s{mark}": Station(mark=mark, state=state)
        for mark, state in zip(MARKS, states, strict=True)
    }
    left = [each.mark for each in stations.values() if each.state is StationState.LEFT]

    found = mark_for(stations, "one more")

    assert found == (left[0] if left else None)


def test_a_letter_that_was_handed_on_is_not_handed_on_again_while_it_is_in_use() -> None:
    """It is borne by the one that joined last."""
    stations = {f"s{mark}": Station(mark=mark) for mark in MARKS}
    stations["sA"] = Station(mark="A", state=StationState.LEFT)
    stations["new"] = Station(mark="A")

    assert mark_for(stations, "one more") is None
    assert bearer_of(stations, "A-01") == "new"


def test_a_label_is_marked_by_its_letter_and_a_dash() -> None:
    """A label that only begins with the letter is the site's own."""
    stations = {"window": Station(mark="A")}

    assert is_marked("A-01", "A")
    assert not is_marked("A01", "A")
    assert bearer_of(stations, "A01") is None
    assert bearer_of(stations, "C01") is None

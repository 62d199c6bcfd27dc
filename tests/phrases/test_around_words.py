"""Who is here and who is alone, in words that people can act on."""

from __future__ import annotations

from datetime import UTC

import pytest

from builders import at, span
from readbell.core.instant import HOUR, MINUTE, Span
from readbell.core.stations.events import JoinedUp
from readbell.core.stations.station import Station, StationState
from readbell.phrases.around_words import (
    alone_in_the_notice,
    clock_in_the_header,
    in_the_header,
    say_alone_page,
    say_ears,
    say_giving_up,
    say_holds,
    say_joined_up,
    say_state,
    say_what_to_do,
    tell_alone,
    tell_moves,
)
from readbell.phrases.clock_time import ClockFace

FACE = ClockFace(zone=UTC)


def test_alone_is_told_in_fewer_and_fewer_words_and_never_without_since_when() -> None:
    """Each form says what to do as far as it has room."""
    full, short, shortest = alone_in_the_notice(
        at("8:30"), span("1:05"), FACE, "B", is_joining=False
    )

    assert full.startswith("ALONE since 01:01:50, +1:05. The link to the server is lost.")
    assert full.endswith("Labels begin with B-.")
    assert short.startswith("ALONE since 01:01:50, +1:05. Go on with what this station holds.")
    assert shortest == "ALONE since 01:01:50. Labels: B-"
    assert len(full) > len(short) > len(shortest)


def test_a_station_without_a_mark_says_nothing_of_labels() -> None:
    """It has none to give."""
    forms = alone_in_the_notice(at("8:30"), span("1:05"), FACE, "", is_joining=False)

    assert not any("abel" in each for each in forms)
    assert forms[2] == "ALONE since 01:01:50"
    assert "abel" not in tell_alone("the link to the server is lost", "")


def test_a_link_that_does_not_come_back_by_itself_is_told_with_why_and_where_to_look() -> None:
    """Whoever waits for it would wait for ever."""
    why = "db.example: the server does not take this password: put the right one into ~/.pgpass"
    full, short, shortest = alone_in_the_notice(
        at("8:30"), span("1:05"), FACE, "B", is_joining=False, refused=why
    )

    assert full == (
        f"ALONE since 01:01:50. The link does not come back by itself: {why}. Labels begin with B-."
    )
    assert short.endswith("does not come back by itself: F9 Stations says why. Labels: B-")
    assert shortest == "ALONE since 01:01:50. LINK NEEDS HELP: F9 Stations. Labels: B-"
    page = say_alone_page(at("8:30"), at("9:35.900"), FACE, joins=False, refused=why)
    assert f"does not come back by itself: {why}. Go on with what" in page
    assert f"{why}. Go on with what" in tell_alone("the link to the server is lost", "B", why)


def test_the_joining_up_is_told_as_long_as_it_goes_on() -> None:
    """The link being back is half of it."""
    full, short, shortest = alone_in_the_notice(
        at("8:30"), span("1:05"), FACE, "B", is_joining=True
    )

    assert full.startswith(f"{short}.")
    assert short.startswith(shortest)
    assert shortest == "LINK BACK"


def test_the_top_line_says_which_station_this_is_and_who_is_missing() -> None:
    """A mark of some words behind the name of the bay."""
    assert in_the_header("bench", 3, 0, 0, is_alone=False)[0] == "station bench, 3 here"
    assert in_the_header("bench", 2, 1, 0, is_alone=False)[0] == "station bench, 2 here, 1 AWAY"
    assert in_the_header("bench", 1, 2, 0, is_alone=True) == ("station bench", "bench")


def test_what_is_wrong_stays_in_the_top_line_in_the_fewest_words() -> None:
    """What is kept apart has to be looked at; which station this is people know."""
    assert in_the_header("bench", 2, 1, 4, is_alone=False) == (
        "station bench, 2 here, 1 AWAY, 4 kept apart",
        "bench, 2 here, 1 AWAY, 4 kept apart",
        "bench, 1 AWAY, 4 kept apart",
        "1 AWAY, 4 kept apart",
        "4 kept apart",
    )
    assert in_the_header("bench", 2, 1, 0, is_alone=False)[-1] == "1 AWAY"
    assert in_the_header("bench", 1, 2, 4, is_alone=True)[-1] == "4 kept apart"


def test_alone_in_plain_lines_says_what_goes_on_and_how_labels_begin() -> None:
    """Somebody hears it read out."""
    said = tell_alone("the link to the server is lost", "B")

    assert said.startswith("ALONE: the link to the server is lost.")
    assert "Labels begin with B-." in said
    assert said.endswith("Countdowns and alarms go on.")


def test_stations_that_come_and_go_silent_are_told_and_those_that_left_are_not() -> None:
    """Who said goodbye is told of by their leaving."""
    before, here = frozenset({"bench", "window", "office"}), frozenset({"bench", "far"})

    assert list(tell_moves(before, here, frozenset({"window"}))) == [
        "Station far is here.",
        "Station window is AWAY: nothing is heard of it. What rang there rings here too.",
    ]


@pytest.mark.parametrize(
    ("said", "known"),
    [
        ("this one", {"is_this": True}),
        ("this one, ALONE", {"is_this": True, "alone": True}),
        ("here", {"is_here": True}),
        ("AWAY", {"is_away": True}),
        ("not known from here", {"is_away": True, "alone": True}),
        ("not heard yet", {}),
    ],
)
def test_a_station_stands_in_words(said: str, known: dict[str, bool]) -> None:
    """As this one sees it."""
    asked = {"is_this": False, "is_here": False, "is_away": False, "alone": False} | known

    assert say_state(Station(mark="A"), **asked) == said


@pytest.mark.parametrize(
    ("state", "said"), [(StationState.LEFT, "left"), (StationState.GIVEN_UP, "given up")]
)
def test_what_the_record_says_of_a_station_goes_first(state: StationState, said: str) -> None:
    """It is known, alone or not."""
    station = Station(mark="A", state=state)
    for alone in (False, True):
        found = say_state(station, is_this=False, is_here=False, is_away=False, alone=alone)
        assert found == said


def test_what_a_station_hears_and_holds_is_said_in_words() -> None:
    """Nothing is a word, too."""
    assert say_ears(frozenset({"windows", "waits"}), frozenset()) == "waits and windows"
    assert (
        say_ears(frozenset({"waits"}), frozenset({"lane 2", "lane 1"})) == "waits, lane 1, lane 2"
    )
    assert say_ears(frozenset(), frozenset()) == "nothing"
    assert [say_holds(each) for each in (0, 1, 3)] == ["none", "1 clock", "3 clocks"]


def test_giving_up_says_what_passes_and_what_becomes_of_what_is_read_there() -> None:
    """It cannot be taken back."""
    assert "3 cartridges that it holds pass to this station" in say_giving_up("window", 3)
    assert "1 cartridge that it holds passes to this station" in say_giving_up("window", 1)
    assert "it holds none" in say_giving_up("window", 0)
    assert "F12 once more" in say_giving_up("window", 0)


def test_what_came_home_is_told_in_one_line() -> None:
    """How long, how much, and whether somebody has to look."""
    event = JoinedUp(
        at=at("9:00.500"), station="bench", since=at("2:30"), joined=13, same=1, apart=0
    )

    assert say_joined_up(event, 0) == "Alone for 6:30: 14 events joined up."
    apart = JoinedUp(at=at("9:00"), station="bench", since=at("2:30"), joined=1, same=0, apart=2)
    assert say_joined_up(apart, 2) == (
        "Alone for 6:30: 1 event joined up. 2 KEPT APART: F9 Stations."
    )
    assert say_joined_up(apart, 0).endswith("joined up."), "nobody has to look at any of it"


def test_the_room_says_what_alone_means() -> None:
    """Whoever opens it has time to read."""
    said = say_alone_page(at("8:30"), at("9:35.900"), FACE, joins=False)

    assert said.startswith("ALONE since 01:01:50, 1:05 ago.")
    assert "by itself once the link is back" in said


def test_a_held_outcome_is_decided_by_a_supervisor_before_all_else() -> None:
    """What is kept apart may be what they need to see for that."""
    assert say_what_to_do(is_held=True).startswith("Its outcome is withheld until a supervisor")
    assert say_what_to_do(is_held=False).startswith("Look at it.")


def test_a_clock_that_is_far_off_is_told_in_the_header() -> None:
    """The times of day on the board are the server's; the corner of the screen shows another."""
    assert clock_in_the_header(None) == ""
    assert clock_in_the_header(Span(5 * MINUTE)) == ""
    assert clock_in_the_header(Span(5 * MINUTE + 1)) == "CLOCK HERE 5:00 AHEAD"
    assert clock_in_the_header(Span(1 - HOUR)) == "CLOCK HERE 1:00:00 BEHIND"

"""Who is here at a shared bay: said every two seconds, believed for seven, and in no record."""

from __future__ import annotations

import json
from dataclasses import dataclass, field

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bay.conftest import HandClock
from builders import START
from readbell.bay.around import Pulse
from readbell.bay.presence import StationPresence
from readbell.core.board.board import Board
from readbell.core.instant import Span, later
from readbell.core.stations.station import Station, StationState


@dataclass
class Air:
    """What carries pulses: each is heard by all, its sender included."""

    stations: list[StationPresence] = field(default_factory=list)
    said: list[str] = field(default_factory=list)

    def say(self, payload: str) -> None:
        """Let everybody hear `payload`, and answer where that is asked for."""
        self.said.append(payload)
        for each in self.stations:
            if each.hear(payload):
                each.pulse()


@dataclass
class Stand:
    """Two stations on one air, with a clock each."""

    air: Air = field(default_factory=Air)
    clocks: dict[str, HandClock] = field(default_factory=dict)
    alone: set[str] = field(default_factory=set)

    def station(self, name: str, mark: str = "A", run: str = "1") -> StationPresence:
        """Return one more station on the air."""
        clock = self.clocks.setdefault(name, HandClock())
        made = StationPresence(
            Pulse(station=name, mark=mark, hears=frozenset({"waits"}), lanes=frozenset({"north"})),
            clock,
            say=self.air.say,
            is_alone=lambda: name in self.alone,
            run=run,
        )
        self.air.stations.append(made)
        return made


@pytest.fixture
def stand() -> Stand:
    """Give an air with nobody on it."""
    return Stand()


def board(**states: StationState) -> Board:
    """Return a board that has stations as the record knows them."""
    return Board(stations={name: Station(mark="A", state=state) for name, state in states.items()})


def names(presence: StationPresence) -> list[str]:
    """Return who is here."""
    return [each.station for each in presence.seen()]


def test_a_newcomer_is_answered_at_once(stand: Stand) -> None:
    """Nobody waits two seconds to know who is here."""
    window, bench = stand.station("window"), stand.station("bench", "B")

    bench.pulse(asks=True)

    assert names(bench) == ["bench", "window"]
    assert names(window) == ["window", "bench"]
    assert bench.seen()[1] == Pulse(
        station="window", mark="A", hears=frozenset({"waits"}), lanes=frozenset({"north"})
    )


def test_a_station_that_says_nothing_is_away_after_seven_seconds(stand: Stand) -> None:
    """Two pulses may be lost; after the third somebody else has to ring."""
    window, bench = stand.station("window"), stand.station("bench")
    bench.pulse()
    both = board(window=StationState.HERE, bench=StationState.HERE)
    stand.clocks["window"].advance("0:07")
    assert window.away(both) == frozenset()

    stand.clocks["window"].counting += 1
    stand.clocks["window"].wall += 1

    assert window.away(both) == {"bench"}
    assert names(window) == ["window"]


def test_whoever_said_goodbye_or_was_given_up_is_not_away(stand: Stand) -> None:
    """They are expected nowhere; only the record says so."""
    window = stand.station("window")

    found = window.away(
        board(
            window=StationState.HERE,
            bench=StationState.LEFT,
            tent=StationState.GIVEN_UP,
            desk=StationState.HERE,
        )
    )

    assert found == {"desk"}


def test_a_goodbye_is_believed_at_once(stand: Stand) -> None:
    """Its calls pass to the others without seven seconds of silence."""
    window, bench = stand.station("window"), stand.station("bench")
    bench.pulse()

    bench.pulse(leaving=True)

    assert names(window) == ["window"]


def test_whoever_is_alone_sees_nobody(stand: Stand) -> None:
    """What was heard before the link was lost says nothing of now."""
    window, bench = stand.station("window"), stand.station("bench")
    bench.pulse()

    stand.alone.add("window")

    assert names(window) == ["window"]
    assert window.away(board(bench=StationState.HERE)) == {"bench"}


def test_time_asleep_does_not_make_the_others_away(stand: Stand) -> None:
    """A lid that was shut is no silence of theirs; but they are heard anew before it is trusted."""
    window, bench = stand.station("window"), stand.station("bench")
    bench.pulse()

    stand.clocks["window"].suspend("1:00:00")

    assert names(window) == ["window", "bench"]


def test_lines_are_compared_and_offsets_handed_on(stand: Stand) -> None:
    """So a station whose computer stood still finds out that the others went on."""
    window, bench = stand.station("window"), stand.station("bench")
    window.now = lambda: START
    bench.now = lambda: later(START, Span(3_000))
    bench.offset = Span(-7)
    bench.pulse()

    assert window.offsets() == (-7,)
    assert window.ahead() == (3_000,)


def test_a_station_without_a_line_says_none(stand: Stand) -> None:
    """Zero would be taken for a measurement."""
    window, bench = stand.station("window"), stand.station("bench")
    bench.pulse()

    assert window.offsets() == ()
    assert window.ahead() == ()


def test_a_second_computer_of_the_same_name_is_noticed(stand: Stand) -> None:
    """A station file was copied: two that are one station would hold each other's clocks."""
    first, second = stand.station("window", run="1"), stand.station("window", run="2")
    first.pulse()
    assert [first.has_twin, second.has_twin] == [False, True]

    second.pulse()

    assert [first.has_twin, second.has_twin] == [True, True]
    assert names(first) == ["window"]


def test_of_two_computers_that_are_one_station_the_one_that_was_linked_first_goes_on(
    stand: Stand,
) -> None:
    """Whichever of them speaks first, and however their runs are called."""
    first, second = stand.station("window", run="2"), stand.station("window", run="1")
    first.since = START
    for each in (second, first, second):
        each.pulse()

    assert [first.is_second, second.is_second] == [False, True]
    first.is_beside = lambda: True  # its own link is lost now: the other one stays where it is
    second.pulse()
    first.pulse()
    assert [first.is_second, second.is_second] == [False, True]


def test_whoever_comes_back_alone_finds_that_another_computer_took_its_place(stand: Stand) -> None:
    """It was given up, say, and another one was joined under its name."""
    old, new = stand.station("window", run="1"), stand.station("window", run="2")
    old.since, new.since = START, later(START, Span(60_000))
    old.is_beside = lambda: True
    new.pulse()
    old.pulse()

    assert [old.is_second, new.is_second] == [True, False]


def test_the_second_is_one_no_more_once_the_first_says_goodbye(stand: Stand) -> None:
    """Silence is not enough: the first one may be alone, and reading."""
    first, second = stand.station("window", run="1"), stand.station("window", run="2")
    first.since = START
    first.pulse()
    stand.clocks["window"].advance("0:07")
    assert not second.has_twin
    assert second.is_second

    first.pulse(leaving=True)

    assert not second.is_second


def test_others_take_no_second_computer_for_the_station(stand: Stand) -> None:
    """It records beside: the one that is linked would be taken for away by its pulses."""
    first, second = stand.station("window", run="1"), stand.station("window", run="2")
    bench = stand.station("bench", run="3")
    second.is_beside = lambda: True
    first.pulse()
    second.pulse()
    assert names(bench) == ["bench", "window"]

    stand.clocks["bench"].advance("0:08")
    second.pulse()

    assert names(bench) == ["bench"]


def test_a_station_takes_the_mark_that_the_record_gives_it(stand: Stand) -> None:
    """Two that joined before anything was on record were both given the first letter."""
    window, bench = stand.station("window"), stand.station("bench")

    bench.bear("B")
    bench.pulse()

    assert bench.mark == "B"
    assert window.seen()[1].mark == "B"


@given(payload=st.one_of(st.text(), st.dictionaries(st.text(), st.integers()).map(json.dumps)))
def test_what_makes_no_sense_is_passed_over(payload: str) -> None:
    """Whoever may write to the channel must not bring a bay down."""
    presence = Stand().station("window")

    presence.hear(payload)

    assert names(presence) == ["window"]


def test_no_pulse_says_anything_of_a_patient(stand: Stand) -> None:
    """It goes over a channel that is not the record, and is kept nowhere."""
    stand.station("window").pulse()

    assert set(json.loads(stand.air.said[0])) == {
        "station",
        "mark",
        "run",
        "hears",
        "lanes",
        "beside",
        "offset",
        "line",
        "asks",
        "leaving",
        "since",
        "second",
    }

"""Every call is heard by somebody, and recorded by one station at the right moment."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import pytest

from builders import Bench, at, private, span
from core.board.stations_bench import BENCH, WINDOW, SharedBay
from readbell.core.board.acts import RegisterParty
from readbell.core.board.events import AlertHeard
from readbell.core.board.hearing import (
    WAITS,
    WINDOWS,
    heard_here,
    lane_of,
    may_record,
    patience,
    who_hears,
)
from readbell.core.board.sound import NOT_SAVED, Call, CallKind
from readbell.core.board.stations import Here
from readbell.core.cartridge.due import Alert
from readbell.core.cartridge.events import AlertKind
from readbell.core.instant import Span
from readbell.core.stations.events import StationLeft

if TYPE_CHECKING:
    from readbell.core.instant import Instant


@dataclass(frozen=True)
class Ears:
    """A station that is here."""

    station: str
    hears: frozenset[str] = frozenset({WAITS, WINDOWS})
    lanes: frozenset[str] = frozenset()


AT_WINDOW = Ears(WINDOW, hears=frozenset({WAITS}))
AT_BENCH = Ears(BENCH, hears=frozenset({WINDOWS}))
ALL_ROUND = Ears("office")


def call(kind: CallKind, label: str = "C1") -> Call:
    """A call of one cartridge."""
    return Call(kind=kind, each=Span(1), cartridge=f"id-{label}")


@pytest.fixture
def bay() -> SharedBay:
    """C1 is of somebody in lane 1, C2 of somebody who came by themselves, S1 a sample."""
    found = SharedBay()
    party = RegisterParty(
        by="op-1", party=private("car 1"), persons=(private("P-001"),), lane=private("Lane 1")
    )
    found.must(party)
    found.must(found.material())
    found.developing("C1", "P-001", WINDOW)
    found.developing("C2", "P-002", BENCH)
    found.sample("S1", "PC-1", "2:40")
    return found


@pytest.mark.parametrize(
    ("kind", "heard_at"),
    [
        (CallKind.WAIT_OVER, {WINDOW, "office"}),
        (CallKind.OVERDUE, {WINDOW, "office"}),
        (CallKind.READ_NOW, {BENCH, "office"}),
        (CallKind.CLOSING, {BENCH, "office"}),
    ],
)
def test_a_call_is_heard_where_its_kind_is_heard(
    bay: SharedBay, kind: CallKind, heard_at: set[str]
) -> None:
    """Waits at the window, where swabs are taken; strips at the bench, where they are read."""
    assert who_hears(bay.board, call(kind), (AT_WINDOW, AT_BENCH, ALL_ROUND)) == heard_at


def test_if_nobody_is_here_who_should_hear_it_everybody_does(bay: SharedBay) -> None:
    """A strip that nobody is called to is lost."""
    deaf = Ears("office", hears=frozenset())

    assert who_hears(bay.board, call(CallKind.READ_NOW), (AT_WINDOW, deaf)) == {WINDOW, "office"}
    assert who_hears(bay.board, call(CallKind.READ_NOW), ()) == frozenset()


def test_a_call_is_heard_in_the_lane_of_its_person(bay: SharedBay) -> None:
    """However the lane is written."""
    first, second = Ears(WINDOW, lanes=frozenset({" lane 1"})), Ears(BENCH, lanes=frozenset({"2"}))

    assert who_hears(bay.board, call(CallKind.READ_NOW), (first, second)) == {WINDOW}
    assert who_hears(bay.board, call(CallKind.READ_NOW), (second,)) == {BENCH}


@pytest.mark.parametrize("label", ["C2", "S1", "C9"])
def test_what_is_of_no_lane_is_heard_in_all(bay: SharedBay, label: str) -> None:
    """Who came alone, and a control sample."""
    first, second = Ears(WINDOW, lanes=frozenset({"1"})), Ears(BENCH, lanes=frozenset({"2"}))

    assert lane_of(bay.board, f"id-{label}") is None
    assert who_hears(bay.board, call(CallKind.CLOSING, label), (first, second)) == {WINDOW, BENCH}


def test_what_is_about_no_cartridge_is_each_stations_own(bay: SharedBay) -> None:
    """NOT SAVED sounds where it is so; nobody's role keeps it silent."""
    assert who_hears(bay.board, NOT_SAVED, (AT_WINDOW, AT_BENCH)) == {WINDOW, BENCH}


def test_what_was_heard_at_a_station_that_is_away_now_sounds_again(bay: SharedBay) -> None:
    """Nobody can say whether anybody is still there."""
    bay.put(
        AlertHeard(
            at=at("17:40"),
            by="key-op-1",
            cartridge="id-C1",
            alert=AlertKind.READ_NOW,
            station=BENCH,
        )
    )

    assert [*heard_here(bay.board, frozenset({WINDOW, BENCH}))] == ["id-C1"]
    assert heard_here(bay.board, frozenset({WINDOW})) == {}


def test_what_was_heard_before_there_were_stations_is_heard(bay: SharedBay) -> None:
    """It was said at the only screen there was."""
    for shared in (bay, developing()):
        shared.board = replace(shared.board, heard={"id-C1": _heard(at("17:40"))})
        assert [*heard_here(shared.board, frozenset())] == ["id-C1"]


ME = Here(station=WINDOW)
AWAY = Here(station=WINDOW, away=frozenset({BENCH}))
ALONE = Here(station=WINDOW, is_alone=True, away=frozenset({BENCH}))


@pytest.mark.parametrize("here", [ME, AWAY, ALONE])
@pytest.mark.parametrize("kind", AlertKind)
def test_the_holder_of_the_clock_records_at_once(
    bay: SharedBay, here: Here, kind: AlertKind
) -> None:
    """Its clock says so, whoever else is here."""
    assert patience(bay.board, "id-C1", kind, here) == 0


def test_the_second_of_two_computers_that_are_one_station_lapses_nothing_of_the_first(
    bay: SharedBay,
) -> None:
    """It cannot know whether the first one read it."""
    second = replace(ALONE, began=frozenset())
    own = replace(ALONE, began=frozenset({"id-C1"}))
    lapse = Alert(due=at("17:30"), cartridge="id-C1", kind=AlertKind.LAPSED)

    assert patience(bay.board, "id-C1", AlertKind.READ_NOW, second) == span("0:01.500")
    assert not may_record(bay.board, lapse, second, at("40:00"))
    assert may_record(bay.board, lapse, own, at("40:00"))


@pytest.mark.parametrize("here", [ME, AWAY, ALONE])
def test_an_alert_of_another_holder_is_recorded_a_moment_later(bay: SharedBay, here: Here) -> None:
    """It may be on its way; an alert must ring all the same."""
    assert patience(bay.board, "id-C2", AlertKind.READ_NOW, here) == span("0:01.500")


def test_a_lapse_is_recorded_for_a_holder_who_is_here_and_silent_and_for_none_who_is_away(
    bay: SharedBay,
) -> None:
    """What was read there may be on its way; what is away may have been read in time."""
    lapsed = AlertKind.LAPSED

    assert patience(bay.board, "id-C2", lapsed, ME) == span("0:10")
    assert patience(bay.board, "id-C2", lapsed, AWAY) is None
    assert patience(bay.board, "id-C2", lapsed, ALONE) is None


def test_for_a_holder_who_left_whoever_is_here_records(bay: SharedBay) -> None:
    """It said goodbye; nobody works there."""
    bay.put(StationLeft(at=at("3:00"), station=BENCH))

    for kind in (AlertKind.READ_NOW, AlertKind.LAPSED):
        assert patience(bay.board, "id-C2", kind, ME) == 0
    assert patience(bay.board, "id-C2", AlertKind.LAPSED, ALONE) is None


def test_what_nobody_holds_is_recorded_by_whoever_is_here(bay: SharedBay) -> None:
    """Alone it is not said that nobody read it."""
    assert patience(bay.board, "id-S1", AlertKind.OVERDUE, ALONE) == 0
    assert patience(bay.board, "id-S1", AlertKind.LAPSED, ME) == 0
    assert patience(bay.board, "id-S1", AlertKind.LAPSED, ALONE) is None


def test_an_alert_is_recorded_from_the_end_of_ones_patience_on(bay: SharedBay) -> None:
    """Not a millisecond sooner."""
    alert = Alert(due=at("17:30"), cartridge="id-C2", kind=AlertKind.READ_NOW)
    lapse = replace(alert, kind=AlertKind.LAPSED)

    assert not may_record(bay.board, alert, ME, at("17:31.499"))
    assert may_record(bay.board, alert, ME, at("17:31.500"))
    said = replace(ME, said={BENCH: at("17:38")})
    assert may_record(bay.board, lapse, said, at("17:40"))
    assert not may_record(bay.board, lapse, said, at("17:39.999"))
    assert not may_record(bay.board, lapse, AWAY, at("40:00"))


def test_a_lapse_is_recorded_for_another_one_only_if_that_said_since_that_it_is_linked(
    bay: SharedBay,
) -> None:
    """Whoever asks may have stood still: what it heard of others is old then."""
    lapse = Alert(due=at("17:30"), cartridge="id-C2", kind=AlertKind.LAPSED)

    for said in ({}, {BENCH: at("17:37.999")}, {"attic": at("18:00")}):
        assert not may_record(bay.board, lapse, replace(ME, said=said), at("40:00"))
    assert may_record(bay.board, lapse, replace(ME, said={BENCH: at("17:38")}), at("40:00"))
    own = replace(ME, station=BENCH)
    assert may_record(bay.board, lapse, own, at("17:30"))
    bay.put(StationLeft(at=at("3:00"), station=BENCH))
    assert may_record(bay.board, lapse, ME, at("17:30"))


def developing() -> Bench:
    """A bay that nobody shares."""
    bench = Bench()
    bench.to_well()
    return bench


def _heard(when: Instant) -> AlertHeard:
    return AlertHeard(at=when, by=None, cartridge="id-C1", alert=AlertKind.READ_NOW)

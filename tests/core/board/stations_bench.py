"""A shared bay of two stations whose link is cut: the window, which is alone, and the bench."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from builders import CLEAR, NASAL, NEGATIVE, START, TODAY, Bench, at, private
from core.any_acts import as_time_passes
from core.board.telling_bench import TellingBench
from readbell.assays.content_hash import content_hash
from readbell.core.assay.reading_rules import SecondReader
from readbell.core.board.acts import RegisterOperator
from readbell.core.board.decide import decide
from readbell.core.board.fold import fold
from readbell.core.board.hearing import patience
from readbell.core.board.joining_up import Apart, JoiningUp, join_up, joined_up, kept_apart
from readbell.core.board.stations import Here, refused_here, with_holder
from readbell.core.cartridge.acts import CorrectReading
from readbell.core.cartridge.events import AlertKind, AlertRaised, CartridgeLapsed, SlipReason
from readbell.core.catalogue import NAMES
from readbell.core.climate.events import Source, TemperatureNoted, Where
from readbell.core.people.acts import LabelAhead, NoteConsent, RefuseConsent
from readbell.core.people.particulars import ConsentBy, ConsentHow, DeclineReason, ToldTo
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import UNDECIDED
from readbell.core.policy.second_reading import SecondReaderRule
from readbell.core.refusal import Refusal
from readbell.core.stations.events import CartridgeHeld, StationGivenUp, StationJoined

if TYPE_CHECKING:
    from readbell.core.board.acts import Act
    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.core.reading.bands import Bands
    from readbell.core.stations.apart import ApartReason

WINDOW, BENCH = "window", "bench"
CUT = "2:30"
"""When the link is lost, where a test says nothing else; the drops fall just before."""
HASH = content_hash(NASAL)


class Side(Bench):
    """What one station does and records on its own from the cut on."""

    def __init__(self, board: Board, here: Here) -> None:
        self.here = Here(station=here.station)
        self.events: list[Event] = []
        super().__init__()
        self.board, self.here, self.events = board, here, []

    def do(self, act: Act, now: str = "0:00") -> tuple[Event, ...] | Refusal:
        """Judge `act` as this station does, and record what comes of it."""
        refused = refused_here(self.board, act, self.here)
        return refused or self.do_anyway(act, now)

    def do_anyway(self, act: Act, now: str = "0:00") -> tuple[Event, ...] | Refusal:
        """Judge `act` as if nobody asked which station does it."""
        decided = decide(self.board, act, at(now))
        if isinstance(decided, Refusal):
            return decided
        found = with_holder(self.board, decided, self.here.station)
        self.record(*found)
        return found

    def must_anyway(self, act: Act, now: str = "0:00") -> None:
        """Insist on it."""
        decided = self.do_anyway(act, now)
        assert not isinstance(decided, Refusal), decided

    def record(self, *events: Event) -> None:
        """Record what happened."""
        for each in events:
            self.board = fold(self.board, each)
            self.events.append(each)

    def wait(self, until: str) -> None:
        """Let alerts fall, and windows close, as far as this station records it."""
        self.record_what_falls(at(until))

    def wait_anyway(self, until: str) -> None:
        """Let all of it be recorded, whoever holds the clock."""
        self.record(*as_time_passes(self.board, at(until)))

    def record_what_falls(self, until: Instant) -> None:
        """Record what falls before `until`, as far as this station records it."""
        for each in tuple(as_time_passes(self.board, until)):
            lapse = isinstance(each, CartridgeLapsed) or (
                isinstance(each, AlertRaised) and each.alert is AlertKind.LAPSED
            )
            kind = AlertKind.LAPSED if lapse else AlertKind.READ_NOW
            assert isinstance(each, (AlertRaised, CartridgeLapsed))
            if patience(self.board, each.cartridge, kind, self.here) is not None or (
                lapse and self.board.ended.get(each.cartridge) is not None
            ):
                self.record(each)


class SharedBay(TellingBench):
    """Two stations, linked; then `cut`, and each goes on by itself."""

    def __init__(self) -> None:
        super().__init__()
        for station, mark in ((WINDOW, "A"), (BENCH, "B")):
            self.put(StationJoined(at=START, station=station, mark=mark))

    def put(self, *events: Event) -> None:
        """Enter events as they are."""
        for each in events:
            self.board = fold(self.board, each)

    def hold(self, label: str = "C1", station: str = WINDOW) -> None:
        """Let the clock of a cartridge run at a station."""
        held = CartridgeHeld(at=at("0:00"), cartridge=self.cartridge(label).id, station=station)
        self.put(held)

    def developing(self, label: str = "C1", person: str = "P-001", station: str = WINDOW) -> None:
        """Take a cartridge to its drops at a station."""
        self.to_well(label, person)
        self.hold(label, station)

    def sample_developing(self, label: str = "S1", station: str = WINDOW) -> None:
        """Take a control sample of PC-1 to its drops at a station."""
        self.must(self.material())
        self.sample(label, "PC-1", "0:00")
        for step in ("buffer", "collect", "extract"):
            self.step(step, "0:00", label)
        self.step("withdraw", "1:00", label)
        self.step("apply", "2:00", label)
        self.hold(label, station)

    def asks_second(self) -> None:
        """Let every strip be read by two people."""
        asked = (SecondReaderRule(when=SecondReader.ALL),)
        self.put(PolicySet(at=START, policy=replace(UNDECIDED, second_reader=asked)))

    def cut(self) -> Cut:
        """Cut the link."""
        return Cut(self.board)

    def give_up(self, station: str = WINDOW, heir: str = BENCH) -> StationGivenUp:
        """Return that a station was given up."""
        return StationGivenUp(at=at(CUT), by="key-op-1", station=station, heir=heir)


def both_developing() -> SharedBay:
    """C1 develops on the clock of the window, C2 on that of the bench."""
    bay = SharedBay()
    bay.developing("C1", "P-001", WINDOW)
    bay.developing("C2", "P-002", BENCH)
    return bay


class Cut:
    """Both sides of a cut link."""

    def __init__(self, base: Board) -> None:
        self.base = base
        self.ours = Side(base, Here(station=WINDOW, is_alone=True, away=frozenset({BENCH})))
        self.theirs = Side(base, Here(station=BENCH, away=frozenset({WINDOW})))

    def join(self, now: str = "40:00", theirs: list[Event] | None = None) -> JoiningUp:
        """Join up what was done at the window."""
        found = self.theirs.events if theirs is None else theirs
        return join_up(self.base, found, self.ours.events, WINDOW, at(now))

    def give_up(self) -> None:
        """Let the bench give the window up, and work on what the window held."""
        given_up = StationGivenUp(at=at(CUT), by="key-op-1", station=WINDOW, heir=BENCH)
        self.theirs.record(given_up)


def appended(joining: JoiningUp, now: str = "40:00") -> list[Event]:
    """Return what is appended to the shared record."""
    kept = (
        kept_apart(each, at(now), WINDOW, NAMES[type(each.event)], 1, "{}", None)
        for each in joining.apart
    )
    told = joined_up(joining, at(now), WINDOW, at(CUT))
    stands = [each.event for each in joining.fates if type(each).__name__ == "Stands"]
    return [*stands, *kept, *joining.follow, told]


def reasons(joining: JoiningUp, kind: type | None = None) -> list[ApartReason]:
    """Return why things are kept apart, in order."""
    apart: list[Apart] = [*joining.apart]
    return [each.reason for each in apart if kind is None or isinstance(each.event, kind)]


class Bay(TellingBench):
    """The bay as it goes on after both sides were joined up."""

    def __init__(self, board: Board) -> None:
        super().__init__()
        self.board = board


def one(joining: JoiningUp, label: str = "C1") -> Cartridge:
    """Return the cartridge as both sides have it from here on."""
    found = joining.board.labelled(label)
    assert found is not None, label
    return found


def consent(told_to: ToldTo = ToldTo.PERSON) -> NoteConsent:
    """Somebody says yes."""
    return NoteConsent(
        by="op-1",
        person="P-001",
        giver=ConsentBy.SELF,
        how=ConsentHow.SPOKEN,
        assays=(),
        told_to=told_to,
        words=None,
        today=TODAY,
    )


def refusal() -> RefuseConsent:
    """Somebody says no."""
    return RefuseConsent(by="op-1", person="P-001", reason=DeclineReason.DECLINED, words=None)


def read_before() -> SharedBay:
    """C1 was read as negative before the link was lost."""
    bay = SharedBay()
    bay.developing()
    bay.must(bay.read_act(NEGATIVE), "17:40")
    return bay


def second_due() -> SharedBay:
    """C1 was read once, by op-1, and somebody else is to read it."""
    bay = SharedBay()
    bay.asks_second()
    bay.developing()
    bay.must(bay.read_act(CLEAR), "17:40")
    return bay


def read_on_both_sides(now: str = "40:00") -> Bay:
    """The bay after it turned out."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    sides.theirs.must_anyway(sides.theirs.read_act(NEGATIVE, by="op-2"), "17:45")
    sides.ours.must(sides.ours.read_act(NEGATIVE), "18:00")
    after = Bay(sides.join(now).board)
    after.must(RegisterOperator(by="op-1", operator=private("op-3")))
    return after


def correct(bay: SharedBay, seen: Bands) -> CorrectReading:
    """Whoever read C1 says that they pressed the wrong key."""
    return CorrectReading(
        aim=bay.aim(),
        bands=seen,
        reason=SlipReason.PRESSED_WRONG_KEY,
        today=TODAY,
    )


def label_ahead(label: str, person: str) -> LabelAhead:
    """A device is labelled before its person's turn."""
    return LabelAhead(by="op-1", person=person, label=label, day_began=at("0:00"))


def noted(when: str, *, outside: bool = False, where: Where = Where.BAY) -> TemperatureNoted:
    """A figure, and whether it is one that the assay does not bear."""
    return TemperatureNoted(
        at=at(when),
        by="key-op-1",
        where=where,
        celsius=2.0 if outside else 20.0,
        source=Source.PIPED,
        outside=(HASH,) if outside else (),
        touched=(),
    )

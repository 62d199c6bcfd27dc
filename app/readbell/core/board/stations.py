"""Which acts are safe at one station of a shared bay, and who holds a cartridge's clock.

Rule 1: a station that is alone does the work at hand and what only stops something; whatever
rests on what others may be doing at the same time waits for the link.
Rule 2: a cartridge is worked on at the station that holds its clock, while that one is alone,
away, or cannot be asked; so no strip is read on both sides of a cut link. Whoever does a step,
or takes one back, holds the clock from there on: it is in their hands.
Rule 3: labels made alone begin with the mark of their station, and no other station makes such
a label, so no two devices ever bear the same one.
"""

from __future__ import annotations

from dataclasses import field, replace
from typing import TYPE_CHECKING, assert_never

from readbell.core.board.acts import (
    HearAlert,
    HoldLot,
    MuteSound,
    OpenLot,
    RegisterParty,
    RegisterPerson,
    TryAlarm,
    Unmute,
)
from readbell.core.cartridge.acts import (
    CorrectReading,
    DoStep,
    DoSteps,
    Label,
    Look,
    Read,
    StateApplication,
    TakeBackStep,
    Void,
)
from readbell.core.cartridge.events import (
    ApplicationStated,
    CartridgeLabelled,
    StepDone,
    StepTakenBack,
)
from readbell.core.cartridge.unverified import ReadUnverified
from readbell.core.climate.acts import FailThermometer, NoteTemperature
from readbell.core.keeping.acts import EraseRecords
from readbell.core.made_later import dataclass
from readbell.core.people.acts import (
    LabelAhead,
    NoteConsent,
    NoteLeft,
    NoteParticulars,
    NoteParty,
    NoteSymptoms,
    RefuseConsent,
)
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.review.acts import WithdrawResult
from readbell.core.staff.acts import LockStation, SignIn, SignOut
from readbell.core.stations.acts import GiveUpStation, SettleApart
from readbell.core.stations.events import (
    ApartSettled,
    CartridgeHeld,
    StationGivenUp,
    StationJoined,
)
from readbell.core.stations.station import StationState, bearer_of, is_marked
from readbell.core.stock.acts import UseBuffer

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readbell.core.board.acts import Act
    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.instant import Instant
    from readbell.core.stations.acts import StationsAct

ON_CARTRIDGE = (
    DoStep,
    DoSteps,
    TakeBackStep,
    Look,
    Read,
    ReadUnverified,
    CorrectReading,
    Void,
    StateApplication,
    UseBuffer,
)
"""Acts that one cartridge is changed by, and that are safe alone where its clock is held."""
SAFE_ALONE = frozenset(
    {
        *ON_CARTRIDGE,
        Label,
        LabelAhead,
        OpenLot,
        HoldLot,
        RegisterPerson,
        RegisterParty,
        NoteParticulars,
        NoteConsent,
        RefuseConsent,
        NoteSymptoms,
        NoteParty,
        NoteLeft,
        HearAlert,
        MuteSound,
        Unmute,
        TryAlarm,
        SignIn,
        SignOut,
        LockStation,
        NoteTemperature,
        FailThermometer,
    }
)
"""All that a station that is alone may do."""

OTHER_MARK = "another station's mark"
UNKNOWN_STATION = "unknown station"
OWN_STATION = "own station"
NOT_AWAY = "not away"
WORK_AWAY = "work away"
GIVEN_UP_ALREADY = "given up already"
NOTHING_APART = "nothing apart"


@dataclass(frozen=True, slots=True, kw_only=True)
class Here:
    """Where an act is asked for, and whom this station cannot reach."""

    station: str
    is_alone: bool = False
    away: frozenset[str] = frozenset()
    """Stations whose signs of life stopped without a goodbye; all others, while this one is alone."""
    said: Mapping[str, Instant] = field(default_factory=dict)
    """Where the line of each other station stood as it last said that it is here, and linked."""
    began: frozenset[str] | None = None
    """Cartridges that this computer began itself, if another one was this station first; else None."""

    def holds(self, board: Board, cartridge: str) -> bool:
        """Say whether the clock of the running `cartridge` is held here, and on no other computer."""
        is_ours = self.began is None or cartridge in self.began
        return is_ours and board.holders.get(cartridge) == self.station


def refused_here(board: Board, act: Act, at: Here) -> Refusal | None:
    """Say why `act` is not safe at this station now, or None.

    It is asked before the act itself is judged; of a cartridge that nobody knows the act's own
    rules speak.
    """
    if at.is_alone and type(act) not in SAFE_ALONE:
        return Refusal(code=RefusalCode.ALONE)
    if isinstance(act, EraseRecords) and at.away:
        # Whom it has at work, and what it says of them, nobody knows here.
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=WORK_AWAY)
    if isinstance(act, (Label, LabelAhead)):
        return _refuse_label(board, _new_label(act), at)
    return next(
        (
            Refusal(code=RefusalCode.HELD_ELSEWHERE, subject=station)
            for label in _labels_worked_on(act)
            if (station := held_out_of_reach(board, label, at)) is not None
        ),
        None,
    )


def stays_done(board: Board, act: Act, at: Here | None) -> bool:
    """Say whether `act` stays done if it finds out that the link is lost; `at` None: nobody shares the bay.

    Else it is judged again, as one that is alone has to: the holder of a cartridge may read it at
    this moment. A label stays: the device bears it by now, and must not be given another one.
    """
    if at is None or isinstance(act, (Label, LabelAhead)):
        return True
    return refused_here(board, act, replace(at, is_alone=True)) is None


def mark_of(board: Board, station: str) -> str:
    """Return the mark of the station called `station`; nothing if it never joined."""
    found = board.stations.get(station)
    return "" if found is None else found.mark


def label_prefix(board: Board, at: Here) -> str:
    """Return what a label that is proposed at this station begins with; nothing, while it is linked."""
    mark = mark_of(board, at.station)
    return f"{mark}-" if at.is_alone and mark else ""


def with_holder(board: Board, decided: tuple[Event, ...], station: str) -> tuple[Event, ...]:
    """Return what comes of an act, with each cartridge whose clock this station holds by it.

    Args:
        board: the bay before the act.
        decided: what the act makes happen.
        station: where it is done.
    """
    taken = {
        each.cartridge: each.at
        for each in decided
        if isinstance(each, (CartridgeLabelled, StepDone, StepTakenBack, ApplicationStated))
    }
    held = (
        CartridgeHeld(at=at, cartridge=cartridge, station=station)
        for cartridge, at in taken.items()
        if board.holders.get(cartridge) != station
    )
    return (*decided, *held)


def take_unheld(board: Board, station: str, now: Instant) -> tuple[CartridgeHeld, ...]:
    """Return what makes this station hold every running cartridge that nobody holds.

    There are such where a bay was copied to a server while its cartridges ran, and where the
    station that held them has left.
    """
    return tuple(
        CartridgeHeld(at=now, cartridge=each, station=station)
        for each in board.running
        if each not in board.holders
    )


def here_again(board: Board, station: str, now: Instant) -> tuple[StationJoined, ...]:
    """Return what makes a station be here again that was given up, and only stood still.

    As long as the record has it as gone nobody takes it for away, and others would go on with
    what it holds while its link is lost.
    """
    known = board.stations.get(station)
    if known is None or known.state is StationState.HERE:
        return ()
    return (StationJoined(at=now, station=station, mark=known.mark),)


def decide_stations(
    board: Board, act: StationsAct, now: Instant
) -> tuple[StationGivenUp | ApartSettled] | Refusal:
    """Judge an act about stations; that its doer may was made sure of before."""
    by = board.operators.get(act.by)
    if by is None:
        return Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=act.by)
    match act:
        case GiveUpStation():
            against = _against_giving_up(board, act)
            if against is not None:
                return Refusal(code=RefusalCode.NOT_ALLOWED, subject=against)
            return (StationGivenUp(at=now, by=by, station=act.station, heir=act.heir),)
        case SettleApart():
            if str(act.number) not in board.apart:
                return Refusal(code=RefusalCode.NOT_ALLOWED, subject=NOTHING_APART)
            return (ApartSettled(at=now, by=by, number=act.number, how=act.how),)
        case _:
            assert_never(act)


def _against_giving_up(board: Board, act: GiveUpStation) -> str | None:
    found = board.stations.get(act.station)
    if found is None or act.heir not in board.stations:
        return UNKNOWN_STATION
    if act.station == act.heir:
        return OWN_STATION
    if found.state is StationState.GIVEN_UP:
        return GIVEN_UP_ALREADY
    is_here = found.state is StationState.HERE and act.station not in act.away
    return NOT_AWAY if is_here else None


def _new_label(act: Label | LabelAhead) -> str:
    return act.aim.cartridge if isinstance(act, Label) else act.label


def _refuse_label(board: Board, label: str, at: Here) -> Refusal | None:
    if at.began is not None:  # the other computer of this name gives labels of the same mark
        return Refusal(code=RefusalCode.ALONE)
    mark = mark_of(board, at.station)
    if at.is_alone and not (mark and is_marked(label, mark)):
        return Refusal(code=RefusalCode.ALONE, subject=mark)
    bearer = bearer_of(board.stations, label)
    if bearer is not None and bearer != at.station:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=OTHER_MARK)
    return None


def _labels_worked_on(act: Act) -> tuple[str, ...]:
    match act:
        case UseBuffer():
            return (act.cartridge,)
        case WithdrawResult():
            return (act.cartridge, *act.others)
        case _ if isinstance(act, ON_CARTRIDGE):
            return (act.aim.cartridge,)
        case _:
            return ()


def held_out_of_reach(board: Board, label: str, at: Here) -> str | None:
    """Return the station that holds the clock and cannot be asked; None: this one may go on.

    A running cartridge that nobody holds is nobody's to go on with alone: the name is empty then.
    """
    cartridge = board.labelled(label) or board.cartridge(label)
    if cartridge is None or cartridge.has_ended:
        return None
    if at.holds(board, cartridge.id):
        return None
    holder = board.holders.get(cartridge.id, "")
    return holder if at.is_alone or at.began is not None or holder in at.away else None

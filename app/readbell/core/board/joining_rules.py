"""What becomes of one thing that was done alone: it stands, is there already, or is kept apart.

The table in `docs/stations.md` says the same rule by rule, with the test that holds each.
"""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.board.correcting import refuse_correction
from readbell.core.board.events import (
    ActRefused,
    AlertHeard,
    ClockJumped,
    ClockUnsure,
    ComputerSlept,
)
from readbell.core.board.leaving import may_leave
from readbell.core.board.meanwhile import LOOKS
from readbell.core.board.own import STAYS
from readbell.core.board.shifts import is_label_taken
from readbell.core.cartridge.events import (
    AlertKind,
    AlertRaised,
    ApplicationStated,
    CartridgeLabelled,
    CartridgeLapsed,
    CartridgeVoided,
    ReadingCorrected,
    StepDone,
    StepTakenBack,
)
from readbell.core.cartridge.stage import Stage
from readbell.core.cartridge.taking_back import confirmed_last, refuse_taking_back
from readbell.core.climate.events import TemperatureNoted, ThermometerFailed
from readbell.core.controls.events import SampleJudged
from readbell.core.exports.events import ResultsExported
from readbell.core.keeping.events import TraceOpened
from readbell.core.people.events import (
    ConsentNoted,
    ConsentRefused,
    LabelledAhead,
    ParticularNoted,
    PartyNoted,
    PartyRegistered,
    PersonLeft,
    PersonRegistered,
    SymptomsNoted,
)
from readbell.core.results.telling import ResultTold
from readbell.core.review.events import ReadingHeld
from readbell.core.staff.events import RecordOpened, StartSupervised
from readbell.core.stations.apart import ApartReason
from readbell.core.stations.events import CartridgeHeld, StationJoined, StationLeft
from readbell.core.stock.events import BufferUsed, LotDoubted, LotHeld, LotOpened

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.board.meanwhile import Meanwhile
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant


class Beside(StrEnum):
    """How something that was done alone goes with what was recorded meanwhile."""

    STANDS = "stands"
    SAME = "same"
    """The record says it already."""


Verdict = Beside | ApartReason

ACTS = (
    StepDone,
    StepTakenBack,
    *LOOKS,
    ReadingCorrected,
    CartridgeVoided,
    ApplicationStated,
)
"""What somebody does to a cartridge: once one of them is kept apart, so is all that follows."""
WITH_AN_ACT = (
    ReadingHeld,
    LotDoubted,
    SampleJudged,
    StartSupervised,
    CartridgeHeld,
    BufferUsed,
)
"""What comes of an act on a cartridge, or is noted of one, and is apart if the act is."""
HAPPENED = (ResultTold, ResultsExported, RecordOpened, TraceOpened)
"""What has happened outside the record: somebody heard it, saw it, or was sent it."""
OF_COMPUTER = (ClockJumped, ComputerSlept, ClockUnsure)
"""What befell a computer: it speaks of all cartridges that it knew to run."""
ASKS_NOBODY = (
    AlertRaised,
    AlertHeard,
    CartridgeLapsed,
    *WITH_AN_ACT,
    *STAYS,
    *OF_COMPUTER,
    StationJoined,
    StationLeft,
)
"""Kept apart it is of no use to anybody, and nobody is asked about it."""
KINDS = frozenset(
    {
        *ACTS,
        *WITH_AN_ACT,
        *HAPPENED,
        *OF_COMPUTER,
        *STAYS,
        CartridgeLabelled,
        CartridgeLapsed,
        AlertRaised,
        AlertHeard,
        ActRefused,
        PersonRegistered,
        PartyRegistered,
        ParticularNoted,
        PartyNoted,
        ConsentNoted,
        ConsentRefused,
        SymptomsNoted,
        LabelledAhead,
        PersonLeft,
        TemperatureNoted,
        ThermometerFailed,
        LotHeld,
        LotOpened,
        StationJoined,
        StationLeft,
    }
)
"""What may come of acts that are safe alone, and what has happened whatever anybody records."""

_ENDED = {
    Stage.READ: ApartReason.READ_THERE,
    Stage.LAPSED: ApartReason.LAPSED_THERE,
    Stage.VOID: ApartReason.VOIDED_THERE,
}


class Parted:
    """What of our own is kept apart so far."""

    def __init__(self) -> None:
        self.devices: set[str] = set()
        """Opaque ids of cartridges that the record never introduced."""
        self.acted: set[str] = set()
        """Those on which an act of ours is apart."""
        self.acts: set[tuple[str, Instant]] = set()
        """On which cartridge, and when, each of these acts was."""


def judge(board: Board, there: Meanwhile, parted: Parted, event: Event) -> Verdict:
    """Return what becomes of `event`, done alone, on the shared board as it stands by now.

    Whether the board can take it in at all is for the fold to say.
    """
    if type(event) not in KINDS:
        return ApartReason.NOT_ALONE
    named = getattr(event, "cartridge", None)
    if isinstance(event, ActRefused) or not isinstance(named, str):
        return _judge_beside(board, there, event)
    if named in parted.devices:
        return ApartReason.FOLLOWS
    if isinstance(event, CartridgeLabelled):
        return _judge_label(board, event)
    cartridge = board.cartridge(named)
    if cartridge is None:
        # A run on paper may have been told of; nothing else has another name.
        return _STANDS if named in board.paper_runs else ApartReason.DOES_NOT_FIT
    if isinstance(event, ACTS):
        return _judge_act(board, there, parted, cartridge, event)
    if isinstance(event, WITH_AN_ACT):
        return _judge_with_act(board, parted, cartridge, event)
    if isinstance(event, (AlertRaised, AlertHeard, CartridgeLapsed)):
        return _judge_what_fell(there, parted, cartridge, event)
    return _STANDS


_STANDS = Beside.STANDS


def _judge_label(board: Board, event: CartridgeLabelled) -> Verdict:
    """Judge a start: by steps that are not those of its kit nothing can come of it."""
    if _is_taken(board, event.label, event.subject):
        return ApartReason.LABEL_TAKEN
    lot = board.lots.get(event.lot)
    of_another = lot is not None and lot.assay != event.assay
    return ApartReason.DOES_NOT_FIT if of_another else _STANDS


def _judge_act(
    board: Board,
    there: Meanwhile,
    parted: Parted,
    cartridge: Cartridge,
    event: Event,
) -> Verdict:
    key = cartridge.id
    is_look = isinstance(event, LOOKS)
    against = _against_end(cartridge, event)
    if against is None and key in there.looked and not isinstance(event, StepDone):
        against = ApartReason.READ_THERE
    if against is None and key in there.worked:
        against = ApartReason.DONE_THERE
    if against is None and isinstance(event, ReadingCorrected):
        against = _against_correction(board, there, cartridge)
    if against is None and key in parted.acted:
        against = ApartReason.FOLLOWS
    if against is None and not is_look:
        against = _against_order(cartridge, event)
    return against or _STANDS


def _against_end(cartridge: Cartridge, event: Event) -> ApartReason | None:
    """Return why the end of a cartridge leaves no place for `event`, or None."""
    if cartridge.withdrawn is not None:
        return ApartReason.VOIDED_THERE
    if isinstance(event, ReadingCorrected) and cartridge.stage is Stage.READ:
        return None
    return _ENDED.get(cartridge.stage)


def _against_correction(board: Board, there: Meanwhile, cartridge: Cartridge) -> ApartReason | None:
    if cartridge.is_read_on_both_sides:
        return ApartReason.READ_THERE
    if cartridge.id in there.decided:
        return ApartReason.DECIDED_THERE
    if cartridge.id in there.corrected:
        return ApartReason.DONE_THERE
    told = refuse_correction(board, cartridge) is not None
    return ApartReason.TOLD_THERE if told else None


def _against_order(cartridge: Cartridge, event: Event) -> ApartReason | None:
    """Return that a step is not the next one, or the last, or that no drops have fallen; or None."""
    match event:
        case StepDone():
            due = cartridge.next_step
            fits = due is not None and due.key == event.step
        case StepTakenBack():
            last = tuple(mark.step for mark in confirmed_last(cartridge))
            fits = last == event.steps and refuse_taking_back(cartridge) is None
        case ApplicationStated():
            fits = cartridge.applied is not None
        case _:
            fits = True
    return None if fits else ApartReason.DOES_NOT_FIT


def _judge_with_act(board: Board, parted: Parted, cartridge: Cartridge, event: Event) -> Verdict:
    if (cartridge.id, event.at) in parted.acts:
        return ApartReason.FOLLOWS
    match event:
        case CartridgeHeld() | BufferUsed() if cartridge.id in parted.acted:
            return ApartReason.FOLLOWS
        case ReadingHeld() if cartridge.stage is Stage.VOID:
            return ApartReason.VOIDED_THERE
        case SampleJudged() if event.material not in board.samples.materials:
            return ApartReason.DOES_NOT_FIT
        case _:
            return _STANDS


def _judge_what_fell(
    there: Meanwhile,
    parted: Parted,
    cartridge: Cartridge,
    event: AlertRaised | AlertHeard | CartridgeLapsed,
) -> Verdict:
    """Judge an alert, its being heard, or a lapse.

    An alert of ours on a cartridge that went on elsewhere may be one that has to fall anew
    there: it must not count as raised.
    """
    key = cartridge.id
    match event:
        case AlertRaised() if (event.alert, event.step) in cartridge.raised:
            return Beside.SAME
        case AlertHeard() if (key, event.alert) in there.heard:
            return Beside.SAME
        case CartridgeLapsed() if cartridge.stage is Stage.LAPSED:
            return Beside.SAME
        case AlertRaised() if event.alert is AlertKind.LAPSED:
            lapsed = cartridge.stage is Stage.LAPSED
            return _STANDS if lapsed else ApartReason.FOLLOWS
        case _:
            pass
    ended = _ENDED.get(cartridge.stage)
    if ended is not None:
        return ended
    if key in parted.acted:
        return ApartReason.FOLLOWS
    return ApartReason.DONE_THERE if there.has_touched(key) else _STANDS


def _judge_beside(board: Board, there: Meanwhile, event: Event) -> Verdict:
    """Judge what is about no cartridge: people, lots, the computer and the station itself."""
    match event:
        case PersonRegistered():
            return Beside.SAME if event.person.value in board.persons else _STANDS
        case ParticularNoted() | PartyNoted():
            otherwise = there.said_otherwise(event)
            if otherwise is None:
                return _STANDS
            return ApartReason.SAID_OTHERWISE if otherwise else Beside.SAME
        case ConsentNoted():
            return _judge_consent(there.consent(event.person), event)
        case SymptomsNoted():
            return _judge_symptoms(there.symptoms(event.person), event)
        case LabelledAhead():
            taken = _is_taken(board, event.label, event.person)
            return ApartReason.LABEL_TAKEN if taken else _STANDS
        case PersonLeft():
            return _judge_leaving(board, event)
        case StationJoined():
            known = board.stations.get(event.station)
            has_mark = known is not None and known.mark == event.mark
            return _STANDS if has_mark else ApartReason.NOT_ALONE
        case _:
            return _STANDS


def _judge_consent(said: ConsentNoted | ConsentRefused | None, event: ConsentNoted) -> Verdict:
    if said is None:
        return _STANDS
    if isinstance(said, ConsentRefused):
        return ApartReason.REFUSED_THERE
    same = (said.giver, said.how, said.assays, said.told_to) == (
        event.giver,
        event.how,
        event.assays,
        event.told_to,
    )
    return Beside.SAME if same else ApartReason.SAID_OTHERWISE


def _judge_symptoms(said: SymptomsNoted | None, event: SymptomsNoted) -> Verdict:
    if said is None:
        return _STANDS
    onsets = [None if each.onset is None else each.onset.value for each in (said, event)]
    same = said.present is event.present and onsets[0] == onsets[1]
    return Beside.SAME if same else ApartReason.SAID_OTHERWISE


def _judge_leaving(board: Board, event: PersonLeft) -> Verdict:
    """Judge that somebody left: unless they were begun there, or came again since."""
    if event.person in board.gone:
        return Beside.SAME
    party = board.party_of(event.person) if event.person in board.waiting else None
    came_again = party is not None and party.at > event.at
    is_here = came_again or not may_leave(board, event.person)
    return ApartReason.SAID_OTHERWISE if is_here else _STANDS


def _is_taken(board: Board, label: str, person: str) -> bool:
    """Say whether another device bears `label`, or one that was labelled ahead for somebody else."""
    ahead = board.ahead.get(label)
    return is_label_taken(board, label) or (ahead is not None and ahead.person != person)

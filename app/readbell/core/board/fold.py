"""Board = fold(journal): how each event changes the board.

Only the mapping that an event touches is copied, and ended cartridges are kept
apart from running ones, so an event costs little on a long day too. `replay`
folds a whole journal in place and shows nobody the steps between.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, assert_never

from readbell.core.assay.events import AssayAdopted
from readbell.core.board.board import Board
from readbell.core.board.draft import Draft
from readbell.core.board.events import (
    ActRefused,
    AlarmTested,
    AlertHeard,
    BayFounded,
    ClockJumped,
    ClockUnsure,
    ComputerSlept,
    ProgramStarted,
    ProgramStopped,
    SoundMuted,
    SoundRestored,
)
from readbell.core.cartridge.events import (
    AlertRaised,
    ApplicationStated,
    CartridgeLabelled,
    CartridgeLapsed,
    CartridgeRead,
    CartridgeVoided,
    EarlyPositiveSeen,
    ReadingCorrected,
    StepDone,
)
from readbell.core.cartridge.fold import begin, doubt, fold_cartridge
from readbell.core.errors import BrokenRecordError
from readbell.core.people.events import OperatorRegistered, PartyRegistered, PersonRegistered
from readbell.core.people.party import Party
from readbell.core.policy.events import PolicySet
from readbell.core.stock.events import LotHeld, LotOpened, LotReceived
from readbell.core.stock.lot import Lot

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readbell.core.board.event import Event


def fold(board: Board, event: Event) -> Board:
    """Return `board` as it is after `event`.

    Raises:
        BrokenRecordError: the event cannot have happened on this board.
    """
    return replay((event,), board)


def replay(events: Iterable[Event], board: Board | None = None) -> Board:
    """Return what `events` add up to, on top of `board` or of nothing.

    Raises:
        BrokenRecordError: an event cannot have happened on the board before it.
    """
    draft = Draft(board or Board())
    for event in events:
        _enter(draft, event)
    return draft.board()


def _enter(draft: Draft, event: Event) -> None:
    draft.stopped_cleanly = isinstance(event, ProgramStopped)
    match event:
        case BayFounded():
            _found(draft, event)
        case PolicySet():
            draft.policy = event.policy
        case AssayAdopted():
            draft.assays.put(event.content_hash, event)
        case OperatorRegistered():
            draft.know(draft.operators, event.operator)
        case PersonRegistered():
            draft.know(draft.persons, event.person)
        case PartyRegistered():
            _gather(draft, event)
        case LotReceived():
            draft.assays.want(event.assay, "assay")
            draft.lots.put(event.number, _received(event))
        case LotHeld():
            _stock(draft, replace(draft.lots.want(event.number, "lot"), on_hold=True))
        case LotOpened():
            draft.open_lot = draft.lots.want(event.number, "lot").number
        case CartridgeLabelled():
            _start(draft, event)
        case (
            StepDone()
            | EarlyPositiveSeen()
            | CartridgeRead()
            | ReadingCorrected()
            | CartridgeLapsed()
            | CartridgeVoided()
            | ApplicationStated()
            | AlertRaised()
        ):
            draft.keep(fold_cartridge(draft.cartridge(event.cartridge), event))
        case ClockUnsure():
            for cartridge_id in event.cartridges:
                draft.keep(doubt(draft.cartridge(cartridge_id), event.at))
        case ProgramStarted() | AlertHeard() | SoundMuted() | SoundRestored() | AlarmTested():
            _sound(draft, event)
        case ProgramStopped() | ClockJumped() | ComputerSlept():
            pass  # told to people; no cartridge, lot or person changes
        case ActRefused():
            pass  # a near miss changed nothing, by definition
        case _:
            assert_never(event)


def _sound(
    draft: Draft,
    event: ProgramStarted | AlertHeard | SoundMuted | SoundRestored | AlarmTested,
) -> None:
    match event:
        case ProgramStarted():
            # Who starts anew may sit elsewhere: the sound is on, and nobody has tried it yet.
            draft.muted_until, draft.alarm_test = None, None
        case AlertHeard():
            draft.heard.put(draft.cartridge(event.cartridge).id, event)
        case SoundMuted():
            draft.muted_until = event.until
        case SoundRestored():
            draft.muted_until = None
        case AlarmTested():
            draft.alarm_test = event
        case _:
            assert_never(event)


def _received(event: LotReceived) -> Lot:
    return Lot(number=event.number, assay=event.assay, expires=event.expires, units=event.units)


def _stock(draft: Draft, lot: Lot) -> None:
    """Write `lot` down; one that gives no more cartridges does not stand open."""
    draft.lots.put(lot.number, lot)
    if lot.number == draft.open_lot and (lot.on_hold or lot.is_used_up):
        draft.open_lot = None


def _gather(draft: Draft, event: PartyRegistered) -> None:
    for person in event.persons:
        if person not in draft.names.mapping:
            msg = f"the record speaks of person {person!r}, whom it never introduced"
            raise BrokenRecordError(msg)
        draft.came_with.put(person, event.party.key)
    draft.names.put(event.party.key, event.party.value)
    draft.parties.put(
        event.party.key,
        Party(
            key=event.party.key,
            persons=event.persons,
            at=event.at,
            cartridges_before=len(draft.labels.mapping),
        ),
    )


def _found(draft: Draft, event: BayFounded) -> None:
    if draft.founded is not None:
        msg = f"the record founds the bay {event.bay!r} a second time"
        raise BrokenRecordError(msg)
    draft.founded = event


def _start(draft: Draft, event: CartridgeLabelled) -> None:
    known = draft.running.get(event.cartridge) or draft.ended.get(event.cartridge)
    if known is not None or draft.labels.get(event.label) is not None:
        msg = (
            f"the record starts cartridge {event.cartridge} a second time, or uses its label again"
        )
        raise BrokenRecordError(msg)
    adopted = draft.assays.want(event.assay, "assay")
    lot = draft.lots.want(event.lot, "lot")
    draft.keep(begin(event, adopted.assay, len(draft.labels.mapping) + 1))
    _stock(draft, replace(lot, used=lot.used + 1))
    draft.labels.put(event.label, event.cartridge)
    earlier = draft.history.get(event.subject) or ()
    draft.history.put(event.subject, (*earlier, event.cartridge))

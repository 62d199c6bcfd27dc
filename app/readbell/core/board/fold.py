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
from readbell.core.board.fold_staff import (
    enter_operator,
    enter_refusal,
    enter_staff,
    enter_start_of_program,
    enter_stated_name,
)
from readbell.core.board.keeping_fold import enter_keeping
from readbell.core.board.mixed_up import enter_mix_up
from readbell.core.board.patient_fold import enter_paper_run, enter_patient, take_paper_back
from readbell.core.board.reading_fold import note_reading
from readbell.core.board.sending import enter_export
from readbell.core.board.stations_fold import enter_stations
from readbell.core.board.stock_fold import (
    NOTED,
    enter_lots,
    note_after_recall,
    note_for_samples,
    put_boxes_away,
    write_lot,
)
from readbell.core.board.subjects import is_patients
from readbell.core.board.telling_fold import enter_told
from readbell.core.cartridge.events import (
    AlertRaised,
    ApplicationStated,
    CartridgeLabelled,
    CartridgeLapsed,
    CartridgeRead,
    CartridgeVoided,
    EarlyPositiveSeen,
    ReadingCorrected,
    ResultAmended,
    StepDone,
    StepTakenBack,
)
from readbell.core.cartridge.fold import begin, doubt, fold_cartridge
from readbell.core.climate.climate import fold_climate
from readbell.core.climate.events import ClimateEvent, TemperatureNoted, ThermometerFailed
from readbell.core.errors import BrokenRecordError
from readbell.core.exports.events import ResultsExported
from readbell.core.keeping.events import ArchiveWritten, RecordErased, TraceOpened
from readbell.core.paper.events import PaperRunEntered
from readbell.core.people.events import (
    ConsentNoted,
    ConsentRefused,
    LabelledAhead,
    OperatorRegistered,
    ParticularNoted,
    PartyNoted,
    PartyRegistered,
    PersonLeft,
    PersonRegistered,
    SymptomsNoted,
)
from readbell.core.people.party import Party
from readbell.core.policy.events import PolicySet
from readbell.core.practice.events import (
    InterruptionAnswered,
    LeaptAhead,
    PracticeActed,
    PracticeBegun,
    SpeedSet,
)
from readbell.core.results.telling import ResultTold
from readbell.core.review.events import (
    MixUpFound,
    ReadingHeld,
    ReadingReleased,
    ResultWithdrawn,
)
from readbell.core.shift.book import fold_shift
from readbell.core.shift.events import DaySheetSigned, ShiftClosed, ShiftOpened
from readbell.core.staff.events import (
    CompetenceStated,
    OperatorRetired,
    OperatorUnlocked,
    PinSet,
    RecordOpened,
    RolesGiven,
    SignedIn,
    SignedOut,
    StartSupervised,
    StationLocked,
)
from readbell.core.starts.events import PlanDropped, PlanLoaded
from readbell.core.starts.loaded import plan_after
from readbell.core.stations.events import StationsEvent

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readbell.core.board.event import Event
    from readbell.core.controls.events import SampleEvent
    from readbell.core.keeping.events import KeepingEvent
    from readbell.core.practice.events import PracticeEvent
    from readbell.core.review.events import ReviewEvent
    from readbell.core.shift.events import ShiftEvent
    from readbell.core.staff.events import StaffEvent
    from readbell.core.starts.events import StartsEvent
    from readbell.core.stock.events import LotEvent


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
        # Most of a day first: each line above another is asked first, a million times.
        case (
            StepDone()
            | AlertRaised()
            | StepTakenBack()
            | CartridgeRead()
            | EarlyPositiveSeen()
            | ReadingCorrected()
            | ResultAmended()
            | CartridgeLapsed()
            | CartridgeVoided()
            | ApplicationStated()
        ):
            draft.keep(fold_cartridge(draft.cartridge(event.cartridge), event))
            note_reading(draft, event)
        case CartridgeLabelled():
            _start(draft, event)
        case BayFounded():
            _found(draft, event)
        case ShiftOpened() | ShiftClosed() | DaySheetSigned():
            _enter_shift(draft, event)
        case AssayAdopted():
            draft.assays.put(event.content_hash, event)
        case OperatorRegistered():
            enter_operator(draft, event)
        case PersonRegistered():
            draft.meet(event.person, event.at)
        case PartyRegistered():
            _gather(draft, event)
        case (
            ParticularNoted()
            | ConsentNoted()
            | ConsentRefused()
            | SymptomsNoted()
            | PartyNoted()
            | LabelledAhead()
            | PersonLeft()
        ):
            enter_patient(draft, event)
        case PaperRunEntered():
            enter_paper_run(draft, event)
        case ClockUnsure():
            for cartridge_id in event.cartridges:
                draft.keep(doubt(draft.cartridge(cartridge_id), event.at))
        case ProgramStarted() | AlertHeard() | SoundMuted() | SoundRestored() | AlarmTested():
            _sound(draft, event)
        case ClockJumped():
            # One of a station that was alone may come late: whoever asks looks up by instant.
            draft.clock_jumps = (*sorted((*draft.clock_jumps, (event.at, event.by_span))),)
        case ProgramStopped() | ComputerSlept():
            pass  # told to people; no cartridge, lot or person changes
        case ActRefused():
            enter_refusal(draft, event)  # it changed no cartridge, lot or person, by definition
        case _:
            _enter_further(draft, event)
    if type(event) in NOTED:
        note_for_samples(draft, event)


def _enter_further(
    draft: Draft,
    event: PolicySet
    | ReviewEvent
    | MixUpFound
    | StaffEvent
    | LotEvent
    | SampleEvent
    | StartsEvent
    | PracticeEvent
    | ClimateEvent
    | ResultTold
    | ResultsExported
    | KeepingEvent
    | StationsEvent,
) -> None:
    if isinstance(event, StationsEvent):
        enter_stations(draft, event)
        return
    match event:
        case PolicySet():
            draft.policy = event.policy
        case TemperatureNoted() | ThermometerFailed():
            draft.climate = fold_climate(draft.climate, event, draft.assays.mapping)
        case ResultsExported():
            enter_export(draft, event)
        case TraceOpened() | ArchiveWritten() | RecordErased():
            enter_keeping(draft, event)
        case PlanLoaded() | PlanDropped():
            draft.plan = plan_after(event)
        case ResultTold():
            enter_told(draft, event)
        case PracticeBegun():
            draft.practice = event
        case InterruptionAnswered() | PracticeActed() | SpeedSet() | LeaptAhead():
            pass  # kept for the debrief and a replay; nothing of the bay changes
        case ResultWithdrawn() if event.cartridge in draft.paper_runs.mapping:
            take_paper_back(draft, event)
            note_reading(draft, event)
        case ReadingHeld() | ReadingReleased() | ResultWithdrawn():
            enter_stated_name(draft, event)
            draft.keep(fold_cartridge(draft.cartridge(event.cartridge), event))
            note_reading(draft, event)
        case MixUpFound():
            enter_mix_up(draft, event)
        case (
            RolesGiven()
            | OperatorRetired()
            | PinSet()
            | SignedIn()
            | SignedOut()
            | StationLocked()
            | OperatorUnlocked()
            | CompetenceStated()
            | StartSupervised()
            | RecordOpened()
        ):
            enter_staff(draft, event)
        case _:
            enter_lots(draft, event)


def _sound(
    draft: Draft,
    event: ProgramStarted | AlertHeard | SoundMuted | SoundRestored | AlarmTested,
) -> None:
    match event:
        case ProgramStarted():
            # Who starts anew may sit elsewhere: the sound is on, and nobody has tried it yet.
            draft.muted_until, draft.alarm_test = None, None
            enter_start_of_program(draft)
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


def _gather(draft: Draft, event: PartyRegistered) -> None:
    for person in event.persons:
        if person not in draft.names.mapping:
            msg = f"the record speaks of person {person!r}, whom it never introduced"
            raise BrokenRecordError(msg)
        draft.came_with.put(person, event.party.key)
        draft.waiting.drop(person)  # who comes again waits with the later party, in its order
        draft.waiting.put(person, event.party.key)
        draft.gone.drop(person)
    draft.names.put(event.party.key, event.party.value)
    draft.parties.put(
        event.party.key,
        Party(
            key=event.party.key,
            persons=event.persons,
            at=event.at,
        ),
    )


def _found(draft: Draft, event: BayFounded) -> None:
    if draft.founded is not None:
        msg = f"the record founds the bay {event.bay!r} a second time"
        raise BrokenRecordError(msg)
    draft.founded = event


def _start(draft: Draft, event: CartridgeLabelled) -> None:
    known = draft.running.get(event.cartridge) or draft.ended.get(event.cartridge)
    if known is not None or _is_taken(draft, event.label):
        msg = (
            f"the record starts cartridge {event.cartridge} a second time, or uses its label again"
        )
        raise BrokenRecordError(msg)
    adopted = draft.assays.want(event.assay, "assay")
    lot = draft.lots.want(event.lot, "lot")
    cartridge = begin(event, adopted.assay, len(draft.order.mapping) + 1)
    draft.keep(cartridge)
    write_lot(draft, replace(lot, used=lot.used + 1))
    if lot.is_recalled:
        note_after_recall(draft, lot, event.cartridge)
    draft.labels.put(event.label, event.cartridge)
    draft.order.put(event.cartridge, event.label)
    if not is_patients(cartridge):
        return  # a sample is nobody's: it has no history and is owed no repeat
    draft.begun(cartridge)
    if draft.plan is not None:
        draft.plan = draft.plan.with_start(event.assay, event.at, event.by)


def _is_taken(draft: Draft, label: str) -> bool:
    bearer = draft.labels.get(label)
    return bearer is not None and not draft.shift_book.is_free(draft.cartridge(bearer))


def _enter_shift(draft: Draft, event: ShiftEvent) -> None:
    running = frozenset(draft.running.mapping)
    draft.shift_book = fold_shift(draft.shift_book, event, len(draft.order.mapping), running)
    if isinstance(event, ShiftClosed):
        put_boxes_away(draft)

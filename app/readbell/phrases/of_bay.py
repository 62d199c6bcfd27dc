"""Whatever happens at a bay, one line each; the words a log and a screen reader get."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from readbell.core.assay.events import AssayAdopted
from readbell.core.board.events import (
    ActRefused,
    AlarmTested,
    AlertHeard,
    BayFounded,
    BoardEvent,
    ClockJumped,
    ClockUnsure,
    ComputerSlept,
    Ending,
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
    ResultAmended,
    StepDone,
    StepTakenBack,
)
from readbell.core.climate.events import TemperatureNoted, ThermometerFailed
from readbell.core.controls.events import SampleEvent
from readbell.core.exports.events import ResultsExported
from readbell.core.keeping.events import (
    ArchiveWritten,
    KeepingEvent,
    RecordErased,
    TraceOpened,
)
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
from readbell.core.policy.events import PolicySet
from readbell.core.practice.events import PracticeEvent
from readbell.core.results.telling import ResultTold
from readbell.core.review.events import MixUpFound, ReviewEvent
from readbell.core.shift.events import DaySheetSigned, ShiftClosed, ShiftOpened
from readbell.core.span_text import write_elapsed
from readbell.core.staff.events import StaffEvent
from readbell.core.starts.events import PlanDropped, PlanLoaded
from readbell.core.stations.events import StationsEvent
from readbell.core.stock.events import LotEvent
from readbell.phrases.export_words import tell_of_export
from readbell.phrases.keeping_words import tell_of_keeping
from readbell.phrases.near_miss_words import say_near_miss
from readbell.phrases.of_cartridges import tell_of_cartridge
from readbell.phrases.of_climate import tell_of_temperature, tell_of_thermometer
from readbell.phrases.of_sound import tell_of_sound
from readbell.phrases.paper_words import tell_of_paper
from readbell.phrases.patient_words import tell_of_patient
from readbell.phrases.plan_guide import tell_of_plan
from readbell.phrases.practice_words import tell_of_practice
from readbell.phrases.returning import say_unsure
from readbell.phrases.review_words import tell_of_mix_up, tell_of_review
from readbell.phrases.sample_words import tell_of_sample
from readbell.phrases.shift_words import tell_of_shift
from readbell.phrases.staff_words import tell_of_staff
from readbell.phrases.station_words import tell_of_stations
from readbell.phrases.stock_words import tell_of_stock
from readbell.phrases.telling_words import tell_of_telling

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.phrases.clock_time import ClockFace


_ENDINGS: dict[Ending, str] = {
    Ending.END_OF_INPUT: "there is no more input",
    Ending.SIGNAL: "the computer asked for it",
    Ending.SCENARIO_ENDED: "the scenario has ended",
    Ending.LEFT: "somebody left the board",
}


def tell(event: Event, board: Board, face: ClockFace) -> str:
    """Return the line for `event`; `board` is as it is after it."""
    if isinstance(event, SampleEvent):
        return tell_of_sample(event, board)
    if isinstance(event, ReviewEvent):
        return tell_of_review(event, board)
    if isinstance(event, StaffEvent):
        return tell_of_staff(event, board, face)
    if isinstance(event, PracticeEvent):
        return tell_of_practice(event)
    if isinstance(event, LotEvent):
        return tell_of_stock(event, board, face)
    if isinstance(event, ResultTold):
        return tell_of_telling(event, board)
    match event:
        case (
            CartridgeLabelled()
            | StepDone()
            | StepTakenBack()
            | EarlyPositiveSeen()
            | CartridgeRead()
            | ReadingCorrected()
            | ResultAmended()
            | CartridgeLapsed()
            | CartridgeVoided()
            | ApplicationStated()
            | AlertRaised()
        ):
            return tell_of_cartridge(event, board, face)
        case ShiftOpened() | ShiftClosed() | DaySheetSigned():
            return tell_of_shift(event, board)
        case PlanLoaded() | PlanDropped():
            return tell_of_plan(event)
        case TemperatureNoted() | ThermometerFailed():
            return _tell_of_climate(event, board)
        case PolicySet():
            return "The decisions of this site were entered as its settings have them."
        case AssayAdopted():
            return f"Assay {event.assay.id} adopted, {event.basis}."
        case OperatorRegistered() | PersonRegistered() | PartyRegistered():
            return _tell_of_register(event, board)
        case (
            ParticularNoted()
            | ConsentNoted()
            | ConsentRefused()
            | SymptomsNoted()
            | PersonLeft()
            | PartyNoted()
            | LabelledAhead()
        ):
            return tell_of_patient(event, board)
        case PaperRunEntered():
            return tell_of_paper(event, board)
        case MixUpFound():
            return tell_of_mix_up(event, board)
        case ResultsExported():
            return tell_of_export(event)
        case _:
            return _tell_of_board(event, board, face)


def _tell_of_climate(event: TemperatureNoted | ThermometerFailed, board: Board) -> str:
    if isinstance(event, TemperatureNoted):
        return tell_of_temperature(event, board)
    return tell_of_thermometer(event)


def _tell_of_register(
    event: OperatorRegistered | PersonRegistered | PartyRegistered, board: Board
) -> str:
    match event:
        case OperatorRegistered():
            return f"Operator {event.operator.value or 'erased'} registered."
        case PersonRegistered():
            return f"Person {event.person.value or 'erased'} registered."
        case PartyRegistered():
            names = ", ".join(board.name(each) or "erased" for each in event.persons)
            return f"Party {event.party.value or 'erased'} registered, in this order: {names}."
        case _:
            assert_never(event)


def _tell_of_board(
    event: BoardEvent | KeepingEvent | StationsEvent, board: Board, face: ClockFace
) -> str:
    if isinstance(event, StationsEvent):
        return tell_of_stations(event, board)
    match event:
        case BayFounded():
            return f"{event.bay}: a new journal, {event.mode}, times in {event.timezone}."
        case ProgramStarted():
            return f"Work is taken up. {event.running} running."
        case ProgramStopped():
            return f"Work is laid down: {_ENDINGS[event.why]}."
        case ClockJumped():
            return (
                f"The wall clock jumped by {write_elapsed(event.by_span)}. Countdowns are not "
                f"touched. {_look_at(event.cartridges, board)}"
            )
        case ComputerSlept():
            return (
                f"This computer slept {write_elapsed(event.span)} and no alarm could ring. "
                f"{_look_at(event.cartridges, board)}"
            )
        case ClockUnsure():
            return say_unsure(board, event.cartridges)
        case ActRefused():
            return say_near_miss(event, board)
        case AlertHeard() | SoundMuted() | SoundRestored() | AlarmTested():
            return tell_of_sound(event, board, face)
        case TraceOpened() | ArchiveWritten() | RecordErased():
            return tell_of_keeping(event, board, face)
        case _:
            assert_never(event)


def _look_at(cartridges: Sequence[str], board: Board) -> str:
    return f"Look at {_labels(cartridges, board)}." if cartridges else "Nothing was running."


def _labels(cartridges: Sequence[str], board: Board) -> str:
    found = [board.cartridge(each) for each in cartridges]
    return ", ".join(each.label for each in found if each is not None)

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
    StepDone,
)
from readbell.core.people.events import OperatorRegistered, PartyRegistered, PersonRegistered
from readbell.core.span_text import write_elapsed
from readbell.core.policy.events import PolicySet
from readbell.core.stock.events import LotHeld, LotOpened, LotReceived
from readbell.phrases.of_cartridges import tell_of_cartridge
from readbell.phrases.of_sound import tell_of_sound
from readbell.phrases.returning import say_unsure

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
    match event:
        case (
            CartridgeLabelled()
            | StepDone()
            | EarlyPositiveSeen()
            | CartridgeRead()
            | ReadingCorrected()
            | CartridgeLapsed()
            | CartridgeVoided()
            | ApplicationStated()
            | AlertRaised()
        ):
            return tell_of_cartridge(event, board, face)
        case PolicySet():
            return "The decisions of this site were entered as its settings have them."
        case AssayAdopted():
            return f"Assay {event.assay.id} adopted, {event.basis}."
        case OperatorRegistered():
            return f"Operator {event.operator.value or 'erased'} registered."
        case PersonRegistered():
            return f"Person {event.person.value or 'erased'} registered."
        case PartyRegistered():
            names = ", ".join(board.name(each) or "erased" for each in event.persons)
            return f"Party {event.party.value or 'erased'} registered, in this order: {names}."
        case LotReceived():
            units = "units not counted" if event.units is None else f"{event.units} units"
            return f"Lot {event.number} received: good to {event.expires}, {units}."
        case LotHeld():
            return f"Lot {event.number} on hold. What runs on it is finished."
        case LotOpened():
            return f"Lot {event.number} stands open at the bench."
        case _:
            return _tell_of_board(event, board, face)


def _tell_of_board(event: BoardEvent, board: Board, face: ClockFace) -> str:
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
            act, why = (str(each).replace("-", " ") for each in (event.act, event.code))
            return f"Near miss recorded: {act} refused, {why}."
        case AlertHeard() | SoundMuted() | SoundRestored() | AlarmTested():
            return tell_of_sound(event, board, face)
        case _:
            assert_never(event)


def _look_at(cartridges: Sequence[str], board: Board) -> str:
    return f"Look at {_labels(cartridges, board)}." if cartridges else "Nothing was running."


def _labels(cartridges: Sequence[str], board: Board) -> str:
    found = [board.cartridge(each) for each in cartridges]
    return ", ".join(each.label for each in found if each is not None)

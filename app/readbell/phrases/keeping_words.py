"""The record itself in words: who looked into it, what was archived, what was erased."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from readbell.core.board.keeping import (
    NAMED_IN_REASON,
    NOT_DONE_WITH,
    NOTHING_CLOSED,
    NOTHING_TO_ERASE,
    SOMETHING_RUNS,
)
from readbell.core.keeping.events import (
    ArchiveWritten,
    ErasedScope,
    RecordErased,
    TraceOf,
    TraceOpened,
)
from readbell.phrases.counted import counted

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.core.board.board import Board
    from readbell.core.keeping.events import KeepingEvent
    from readbell.phrases.clock_time import ClockFace

ERASED = "erased"

NOT_ALLOWED: dict[str, str] = {
    NOTHING_CLOSED: (
        "Nothing is closed up to that day: a shift or a cartridge runs on, or nothing is so old. "
        "Name a later day, or close the shift."
    ),
    NOTHING_TO_ERASE: "There is nothing left to erase. Nothing was changed.",
    SOMETHING_RUNS: (
        "Something is running. Nothing was erased. Finish it, or void it, and erase then."
    ),
    NAMED_IN_REASON: (
        "The reason names somebody who is to be forgotten, and would stay. Nothing was erased. "
        "Say why without an ID or a name."
    ),
    NOT_DONE_WITH: (
        "This person waits to be begun, has a result that is held for a supervisor or a positive that "
        "nobody was told, or was told what no longer holds. Nothing was erased. The rooms Patients, "
        "Review and Tell (F9) name them: finish that first, as nobody could afterwards."
    ),
}
"""By what the refusal is about."""

OUT_OF_REACH = (
    "Out of this program's reach: backups, archives and exports made before, what was printed or "
    "sent, and old bytes that a disk may keep. Erase those where they lie."
)
STILL_OLD_BYTES = (
    "The values are erased, but the file may still hold old bytes of them: another program reads "
    "it, or the disk is full. Close that one or make room; the next start finishes it."
)


def tell_of_keeping(event: KeepingEvent, board: Board, face: ClockFace) -> str:
    """Return the line for `event`; `board` is as it is after it."""
    by = board.name(event.by) or ERASED
    match event:
        case TraceOpened():
            return f"{by} opened the trace of {_traced(event, board)}; that is recorded."
        case ArchiveWritten():
            file = event.file.value or ERASED
            return (
                f"{by} archived the record through {_when(event, face)} into {file}: "
                f"{event.events} events, head {event.head}."
            )
        case RecordErased():
            return (
                f"{by} erased {say_erased((event,))}{_whose(event, face)}. The chain stays whole."
            )
        case _:
            assert_never(event)


def say_erasing(events: Sequence[RecordErased], board: Board) -> str:
    """Return what one act erased, however many events it took."""
    by = board.name(events[0].by) or ERASED
    kept = sum(each.kept for each in events)
    stay = (
        f" Still known: {counted(kept, 'person', 'persons')} of the period; they came again, or "
        "something of theirs is still to be done."
        if kept
        else ""
    )
    return f"{by} erased {say_erased(events)} for ever. The chain stays whole.{stay}"


def say_erased(events: Sequence[RecordErased]) -> str:
    """Return how much was erased by the events of one act."""
    values = sum(len(each.keys) for each in events)
    people = sum(each.people for each in events)
    return f"{counted(values, 'value')} of {counted(people, 'person', 'persons')}"


def erasures_told(
    erasures: Sequence[tuple[int, RecordErased]], unexplained: int, board: Board, face: ClockFace
) -> Iterator[str]:
    """Yield a line for each act that erased something, and one for what no act accounts for."""
    for number, event in erasures:
        by = board.name(event.by) or ERASED
        when = face.local(event.at).isoformat(sep=" ", timespec="minutes")
        yield (
            f"event {number}: {say_erased((event,))} erased by {by} at {when}{_whose(event, face)}"
        )
    if unexplained:
        yield f"{counted(unexplained, 'value')} gone that no event says were erased"


def _traced(event: TraceOpened, board: Board) -> str:
    match event.of:
        case TraceOf.CARTRIDGE:
            found = board.cartridge(event.about) or board.paper_runs.get(event.about)
            return f"cartridge {ERASED if found is None else found.label}"
        case TraceOf.LOT:
            return f"lot {event.about}"
        case TraceOf.OPERATOR:
            return f"operator {board.name(event.about) or ERASED}"
        case TraceOf.DAY:
            return event.about
        case TraceOf.FIGURES:
            return "the figures"
        case _:
            assert_never(event.of)


def _whose(event: RecordErased, face: ClockFace) -> str:
    if event.scope is ErasedScope.PERSON or event.through is None:
        return ", at the request of one person"
    return f", of the closed period through {_when(event, face)}"


def _when(event: ArchiveWritten | RecordErased, face: ClockFace) -> str:
    at = event.through
    return "" if at is None else f"{face.local(at).date()} {face.minute(at)}"

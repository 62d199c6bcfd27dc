"""A story told again afterwards: what happened, by whom, and what was written down with it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.concerns import actors_in
from readbell.core.board.events import ActRefused, Mode
from readbell.core.board.patients import file_of
from readbell.core.cartridge.events import CartridgeLabelled
from readbell.core.people.events import ParticularNoted
from readbell.core.reading.bands import Bands
from readbell.core.staff.events import Opened, RecordOpened
from readbell.phrases.near_miss_words import say_given
from readbell.phrases.of_bands import say_bands
from readbell.phrases.of_bay import tell
from readbell.phrases.staff_words import say_in_history

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.instant import Instant
    from readbell.core.private import Private
    from readbell.phrases.clock_time import ClockFace

ERASED = "erased"
CONTROL_LINE = "control line"
_OPENED: dict[Opened, str] = {
    Opened.HISTORY: "The history of {person} was opened.",
    Opened.TRACE: "The whole story of {person} was opened.",
    Opened.EXPORT: "All that is kept of {person} was taken out, to be handed over.",
}
REHEARSAL = "OF A REHEARSAL: nobody in it is real."
NOTHING_ON_RECORD = "Nothing of that is on record."
OLDER_IS_HIDDEN = "What is older is for a supervisor to see."
SECOND_FIRST = "What was seen on a strip that waits for a second reader is not shown before."
CAUTION = (
    "The times are the record's; what was stated afterwards says so. The kit's own instructions "
    "come first, and a negative does not exclude infection."
)


def retell(event: Event, board: Board, face: ClockFace) -> str:
    """Return the lines of `event` in a story, in one; `board` is as it was after it."""
    given = say_given(event, board, face) if isinstance(event, ActRefused) else ""
    said = [_what(event, board, face), _seen(event, board), _place(event), _in_words(event), given]
    return " ".join(each for each in said if each)


def said_by(event: Event, board: Board) -> str:
    """Return who did it, as they were called then; nothing where the program itself did."""
    keys = list(dict.fromkeys(actors_in(event)))
    return ", ".join(board.name(key) or ERASED for key in keys)


def story_line(event: Event, board: Board, face: ClockFace) -> str:
    """Return `event` as a line of a story: when, what, and by whom."""
    when = face.local(event.at).isoformat(sep=" ", timespec="seconds")
    by = said_by(event, board)
    return f"{when}  {retell(event, board, face)}{f'  [{by}]' if by else ''}"


def record_head(
    person: str, board: Board, face: ClockFace, now: Instant, faces: Mapping[str, ClockFace]
) -> Iterator[str]:
    """Yield what stands first in a record that is handed to the person it is about.

    Args:
        person: key of the person.
        board: the bay as it stands.
        face: the site's clock now.
        now: when it is made.
        faces: by the opaque id of each cartridge, the clock as it stood when it was begun.
    """
    founded, file = board.founded, file_of(board, person)
    bay = "" if founded is None else f" at {founded.bay}"
    yield f"All that is kept of {board.name(person) or ERASED}{bay}"
    yield f"made {face.local(now).isoformat(sep=' ', timespec='minutes')}"
    if founded is not None and founded.mode is Mode.REHEARSAL:
        yield REHEARSAL
    yield ""
    for word, said in (("name", file.name), ("born", file.born), ("contact", file.contact)):
        yield f"{word}: {said or 'nothing'}"
    yield ""
    yield "Cartridges"
    cartridges = (board.cartridge(each) for each in board.history.get(person, ()))
    for each in cartridges:
        if each is not None:
            yield f"  {say_in_history(each, faces.get(each.id, face))}"
    yield ""
    yield "Whatever was recorded, in its order. Those who work here stand as operator 1, 2 and so on."


def record_tail() -> Iterator[str]:
    """Yield what stands last in it."""
    yield ""
    yield CAUTION


def _what(event: Event, board: Board, face: ClockFace) -> str:
    if isinstance(event, RecordOpened):
        # Told to whoever opens it, the line has the history itself in it; here it stands below.
        person = board.name(event.person) or ERASED
        return _OPENED[event.what].format(person=person)
    said = tell(event, board, face)
    if isinstance(event, ParticularNoted):
        return f"{said[:-1]}: {event.value.value or ERASED}."
    return said


def _seen(event: Event, board: Board) -> str:
    """Return what the eye saw, where somebody looked."""
    bands = getattr(event, "bands", None)
    if not isinstance(bands, Bands):
        return ""
    cartridge = board.cartridge(getattr(event, "cartridge", None) or "")
    adopted = board.assays.get(getattr(event, "assay", ""))
    assay = adopted.assay if cartridge is None and adopted is not None else None
    assay = assay if cartridge is None else cartridge.assay
    lines = () if assay is None else assay.reading.lines
    return f"Seen: {say_bands(bands, CONTROL_LINE, {each.key: each.name for each in lines})}."


def _place(event: Event) -> str:
    if isinstance(event, CartridgeLabelled) and event.place is not None:
        return f"It lies at {event.place.value or ERASED}."
    return ""


def _in_words(event: Event) -> str:
    words: Private | None = getattr(event, "words", None)
    if words is not None and words.value != "":
        return f"In words: {words.value or ERASED}."
    return ""

"""The last line: which keys do something now, and what; each can be clicked."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.cells import cell_len

from readbell.core.figures.view import DRAWN, TOLD_APART
from readbell.core.made_later import dataclass
from readbell.hand.doing import (
    ChoosingPin,
    Figuring,
    Filling,
    Following,
    Gathering,
    Helping,
    Judging,
    Labelling,
    Leaving,
    Proving,
    Purpose,
    Room,
    Stepping,
    TakingBack,
    Visiting,
    Voiding,
    Watching,
)
from readbell.hand.given import Key
from readbell.ui.ink import Line, Piece, Token, line
from readbell.ui.wrapped import shortened

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from readbell.hand.doing import Doing

NAMES: dict[Key, str] = {
    Key.START: "F2",
    Key.DONE: "F3",
    Key.LOOK: "F4",
    Key.READ: "F5",
    Key.SECOND: "F6",
    Key.HEARD: "F8",
    Key.ROOMS: "F9",
    Key.VOID: "F12",
    Key.HELP: "?",
    Key.LEAVE: "Ctrl+Q",
    Key.BACK: "Esc",
    Key.UP: "Up",
    Key.DOWN: "Down",
    Key.LEFT: "Left",
    Key.RIGHT: "Right",
    Key.PAGE_UP: "PgUp",
    Key.PAGE_DOWN: "PgDn",
    Key.HOME: "Home",
}
"""What stands on the keyboard."""

GAPS = (3, 2)
"""Blanks between two keys; fewer where the line is short."""

_Keys = tuple[tuple[Key, str], ...]

_ROOM_KEYS: dict[Room, tuple[tuple[Key, str], ...]] = {
    Room.LOTS: (
        (Key.START, "New box"),
        (Key.DONE, "Open"),
        (Key.SECOND, "More"),
        (Key.VOID, "Hold"),
        (Key.PAGE_DOWN, "Story"),
    ),
    Room.SAMPLES: ((Key.START, "New material"), (Key.DONE, "Run one"), (Key.SECOND, "Opened")),
    Room.PEOPLE: (
        (Key.DONE, "Acts now"),
        (Key.START, "New"),
        (Key.LOOK, "PIN"),
        (Key.READ, "Roles"),
        (Key.SECOND, "Out"),
        (Key.VOID, "Leaves"),
        (Key.PAGE_DOWN, "Story"),
    ),
    Room.ASSAYS: ((Key.START, "Adopt"), (Key.DONE, "Clear somebody")),
    Room.PATIENTS: (
        (Key.START, "Note"),
        (Key.DONE, "Consent"),
        (Key.VOID, "Gone"),
        (Key.SECOND, "Back in"),
        (Key.LOOK, "Label ahead"),
        (Key.PAGE_DOWN, "Story"),
    ),
    Room.REVIEW: ((Key.DONE, "Release"), (Key.SECOND, "Amend"), (Key.VOID, "Take back")),
    Room.TELLING: ((Key.DONE, "Told"),),
    Room.TEMPERATURE: ((Key.START, "Note one"),),
    Room.TODAY: ((Key.START, "Run from paper"), (Key.PAGE_DOWN, "Story")),
    Room.SHIFT: (
        (Key.START, "Open"),
        (Key.DONE, "Light reads well"),
        (Key.SECOND, "Close"),
        (Key.READ, "Sign sheet"),
    ),
    Room.PLAN: ((Key.START, "Make a plan"), (Key.SECOND, "Drop it")),
    Room.FIGURES: ((Key.START, "All figures"),),
    Room.STATIONS: (
        (Key.DONE, "Entered anew"),
        (Key.SECOND, "Leave apart"),
        (Key.VOID, "Give up"),
    ),
}


_OF_FORM: _Keys = (
    (Key.START, "Save"),
    (Key.RIGHT, "Next line"),
    (Key.LEFT, "Line before"),
)


@dataclass(frozen=True, slots=True)
class KeySpot:
    """Where on the line a key can be clicked."""

    key: Key
    begins: int
    ends: int


def keys_for(
    doing: Doing, heard: str | None, label: str = "", idle: frozenset[Key] = frozenset()
) -> _Keys:
    """Return the keys that do something now, with what they do, the most needed first.

    Args:
        doing: what is in hand.
        heard: whose sound may rest, or None.
        label: what the saving key is about; in the room of sound, what F2 does there;
            on the board, which cartridge lies open.
        idle: the keys that do nothing as things stand: they are not offered.
    """
    rest = () if heard is None else ((Key.HEARD, f"Heard {heard}"),)
    match doing:
        case Watching():
            return (
                (Key.START, "Start"),
                (Key.DONE, "Step"),
                (Key.LOOK, "Look"),
                (Key.READ, "Read"),
                *rest,
                (Key.ROOMS, "Rooms"),
                (Key.HELP, "Help"),
                (Key.BACK, "Close") if label else (Key.RIGHT, "Open"),
                *(((Key.VOID, "Void"),) if Key.VOID not in idle else ()),
                *(((Key.SECOND, "Take back"),) if Key.SECOND not in idle else ()),
                *(((Key.RIGHT, "Story"),) if label else ()),
                (Key.LEAVE, "Leave"),
            )
        case Judging():
            return _of_strip(doing, label, rest)
        case Stepping() | Labelling() | Gathering() | Voiding() | TakingBack():
            return tuple(each for each in _of_task(doing, label, rest) if each[0] not in idle)
        case Visiting(room=Room.SOUND):
            heard_it = rest or ((Key.HEARD, "Heard"),)
            return (
                (Key.DONE, "Ring"),
                *heard_it,
                (Key.SECOND, "Not heard"),
                (Key.START, label or "Mute"),
                (Key.ROOMS, "Board"),
                (Key.RIGHT, "Next room"),
            )
        case Visiting(room=room):
            own = tuple(each for each in _ROOM_KEYS[room] if each[0] not in idle)
            return (*own, (Key.ROOMS, "Board"), (Key.RIGHT, "Next room"), *rest)
        case Filling():
            chooses = () if Key.DOWN in idle else ((Key.DOWN, "Choose"),)
            return (*_OF_FORM, *chooses, *rest, (Key.BACK, "Back"))
        case Proving() | ChoosingPin():
            return ((Key.BACK, "Back"), *rest)
        case Figuring():
            return _of_figures(doing, rest)
        case Following() | Helping():
            return ((Key.BACK, "Back"), (Key.DOWN, "Next page"), *rest)
        case Leaving():
            return ((Key.LEAVE, "Leave"), (Key.BACK, "Stay"), *rest)


def _of_figures(doing: Figuring, rest: _Keys) -> _Keys:
    return (
        (Key.RIGHT, "Next table"),
        *(((Key.START, "Told apart"),) if doing.sheet in TOLD_APART else ()),
        (Key.SECOND, "Days"),
        *(((Key.LOOK, "Picture"),) if doing.sheet in DRAWN else ()),
        (Key.DONE, "Count anew"),
        *rest,
        (Key.BACK, "Back"),
        (Key.DOWN, "Next row"),
        (Key.ROOMS, "Board"),
    )


def locked_keys(heard: str | None) -> _Keys:
    """Return the keys that do something at a locked station."""
    rest = () if heard is None else ((Key.HEARD, f"Heard {heard}"),)
    return (*rest, (Key.READ, "Read under a name"), (Key.HELP, "Help"), (Key.LEAVE, "Leave"))


def _of_task(
    doing: Stepping | Labelling | Gathering | Voiding | TakingBack, label: str, rest: _Keys
) -> _Keys:
    match doing:
        case Stepping():
            return (
                (Key.DONE, f"Done {label}".rstrip()),
                (Key.DOWN, "Further"),
                (Key.UP, "Less far"),
                (Key.SECOND, "Earlier"),
                (Key.LOOK, "Other buffer"),
                *rest,
                (Key.BACK, "Back"),
            )
        case Labelling(again=True):
            return ((Key.START, "Begin another"), *rest, (Key.BACK, "Back"))
        case Labelling(asks_witness=True):
            return ((Key.BACK, "Back"), (Key.LOOK, "Other box"), *rest)
        case Labelling():
            return (
                (Key.START, f"Write {label} on it" if label else "Take it as the label"),
                (Key.SECOND, "Bench place"),
                (Key.LOOK, "Other box"),
                *rest,
                (Key.BACK, "Back"),
                (Key.VOID, "Gone"),
            )
        case Gathering():
            return (
                (Key.START, "All are here"),
                (Key.SECOND, "Take back the last"),
                (Key.DONE, "Lane"),
                *rest,
                (Key.BACK, "Back"),
            )
        case Voiding():
            return (
                (Key.VOID, f"Void {label}".rstrip()),
                (Key.DOWN, "Why"),
                (Key.BACK, "Keep it"),
                *rest,
            )
        case TakingBack():
            return (
                (Key.SECOND, f"Take back on {label}" if label else "Take back"),
                (Key.DOWN, "Why"),
                (Key.BACK, "Keep it"),
                *rest,
            )


def _of_strip(doing: Judging, label: str, rest: _Keys) -> _Keys:
    """Return the keys of a reading; the one that saves comes first and says what it would save."""
    is_look = doing.purpose is Purpose.LOOK
    if is_look and doing.ready is None:
        return ((Key.UP, "Yes"), (Key.DOWN, "No"), *rest, (Key.BACK, "Back"))
    arrows = ((Key.UP, "Stronger"), (Key.DOWN, "Weaker"))
    return (
        (Key.LOOK if is_look else Key.READ, f"Save {label}".rstrip()),
        *(((Key.DOWN, "Why"),) if doing.cannot_be_read else arrows),
        (Key.RIGHT, "Next"),
        *rest,
        (Key.SECOND, "Can be read" if doing.cannot_be_read else "Cannot be read"),
        (Key.BACK, "Back"),
    )


def keys_line(keys: Iterable[tuple[Key, str]], width: int) -> tuple[Line, tuple[KeySpot, ...]]:
    """Return the line, and where each key can be clicked.

    The first key is always there, in fewer words if need be; of the others, what
    has no room is left out whole.
    """
    shown = list(keys)
    gap = next((each for each in GAPS if _needed(shown, each) <= width), GAPS[-1])
    pieces: list[Piece] = [Piece(" ")]
    spots: list[KeySpot] = []
    at = 1
    for place, (key, words) in enumerate(shown):
        name = NAMES[key]
        room = width - at - len(name) - 1
        does = words if cell_len(words) <= room else shortened(words, room) if place == 0 else None
        if does is None:
            continue  # a shorter one behind it, such as Esc, may have room
        taken = len(name) + 1 + cell_len(does)
        pieces += [Piece(name, Token.TEXT, bold=True), Piece(f" {does}", Token.SOFT)]
        pieces.append(Piece(" " * gap))
        spots.append(KeySpot(key, at, at + taken))
        at += taken + gap
    return line(*pieces).fitted(width), tuple(spots)


def _needed(keys: Sequence[tuple[Key, str]], gap: int) -> int:
    return 1 + sum(len(NAMES[key]) + 1 + cell_len(does) + gap for key, does in keys) - gap

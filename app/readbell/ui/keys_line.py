"""The last line: which keys do something now, and what; each can be clicked."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readbell.hand.doing import (
    Filling,
    Gathering,
    Helping,
    Judging,
    Labelling,
    Leaving,
    Purpose,
    Room,
    Stepping,
    Visiting,
    Voiding,
    Watching,
)
from readbell.hand.given import Key
from readbell.ui.ink import Line, Piece, Token, line

if TYPE_CHECKING:
    from collections.abc import Iterable

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

_ROOM_KEYS: dict[Room, tuple[tuple[Key, str], ...]] = {
    Room.LOTS: ((Key.START, "New box"), (Key.DONE, "Open"), (Key.VOID, "Hold")),
    Room.PEOPLE: ((Key.START, "New operator"), (Key.DONE, "Acts now")),
    Room.ASSAYS: ((Key.START, "Adopt"),),
    Room.SOUND: (
        (Key.DONE, "Ring"),
        (Key.HEARD, "Heard"),
        (Key.SECOND, "Not heard"),
        (Key.START, "Mute 5:00, or sound again"),
    ),
    Room.TODAY: (),
}


@dataclass(frozen=True, slots=True)
class KeySpot:
    """Where on the line a key can be clicked."""

    key: Key
    begins: int
    ends: int


def keys_for(doing: Doing, heard: str | None, label: str = "") -> tuple[tuple[Key, str], ...]:
    """Return the keys that do something now, with what they do; `heard` is whose sound may rest."""
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
                (Key.VOID, "Void"),
                (Key.HELP, "Signs and keys"),
            )
        case Stepping():
            return (
                (Key.DONE, f"Done {label}".rstrip()),
                (Key.DOWN, "Further"),
                (Key.UP, "Less far"),
                (Key.SECOND, "Earlier"),
                *rest,
                (Key.BACK, "Back"),
            )
        case Labelling():
            return (
                (Key.START, f"Write {label} on it"),
                (Key.SECOND, "Bench place"),
                *rest,
                (Key.BACK, "Back"),
            )
        case Gathering():
            return (
                (Key.START, "All are here"),
                (Key.SECOND, "Take back the last"),
                *rest,
                (Key.BACK, "Back"),
            )
        case Judging(purpose=purpose):
            saves = Key.LOOK if purpose is Purpose.LOOK else Key.READ
            return (
                (Key.UP, "Stronger"),
                (Key.DOWN, "Weaker"),
                (Key.RIGHT, "Next"),
                (Key.SECOND, "Cannot be read"),
                *rest,
                (saves, f"Save {label}".rstrip()),
                (Key.BACK, "Back"),
            )
        case Voiding():
            return ((Key.DOWN, "Why"), (Key.VOID, f"Void {label}"), *rest, (Key.BACK, "Keep it"))
        case Visiting(room=room):
            return (*_ROOM_KEYS[room], (Key.RIGHT, "Next room"), *rest, (Key.ROOMS, "Board"))
        case Filling():
            return (
                (Key.RIGHT, "Next line"),
                (Key.LEFT, "Line before"),
                (Key.START, "Save"),
                *rest,
                (Key.BACK, "Back"),
            )
        case Helping():
            return ((Key.BACK, "Back"),)
        case Leaving():
            return ((Key.LEAVE, "Leave"), (Key.BACK, "Stay"))


def keys_line(keys: Iterable[tuple[Key, str]], width: int) -> tuple[Line, tuple[KeySpot, ...]]:
    """Return the line, and where each key can be clicked; what has no room is left out whole."""
    pieces: list[Piece] = [Piece(" ")]
    spots: list[KeySpot] = []
    at = 1
    for key, does in keys:
        name = NAMES[key]
        taken = len(name) + 1 + len(does)
        if at + taken > width:
            break
        pieces += [Piece(name, Token.TEXT, bold=True), Piece(f" {does}", Token.SOFT), Piece("   ")]
        spots.append(KeySpot(key, at, at + taken))
        at += taken + 3
    return line(*pieces).fitted(width), tuple(spots)

"""The shift in words: what is checked, what is left undone, what was opened, closed and signed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.refusal import RefusalCode
from readbell.core.shift.checks import Check, CheckState, Item, Left, LeftKind
from readbell.core.shift.events import DaySheetSigned, ShiftClosed, ShiftOpened

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from readbell.core.board.board import Board
    from readbell.core.shift.events import ShiftEvent

ITEMS: dict[Item, str] = {
    Item.ALARM: "alarm heard",
    Item.LIGHT: "light to read by",
    Item.BAY_TEMPERATURE: "temperature, bay",
    Item.STORE_TEMPERATURE: "temperature, store",
    Item.CONTROLS: "control samples",
    Item.LOTS: "lots on the shelf",
    Item.OPEN_BOX: "open box scanned",
    Item.ASSAYS: "assay files",
    Item.DISK: "room on the disk",
    Item.RECORD: "whole record checked",
    Item.CLOCK: "clock set by a time source",
    Item.SETTINGS: "settings",
    Item.KEEPING: "names kept no longer than the site says",
}

TO_DO: dict[Item, str] = {
    Item.ALARM: "Room of sound: F3 rings it, F8 heard, F6 not heard.",
    Item.LIGHT: "Look at the print of a kit under this light; F3 here says that it reads well.",
    Item.BAY_TEMPERATURE: "Room of temperature: F2.",
    Item.STORE_TEMPERATURE: "Room of temperature: F2.",
    Item.CONTROLS: "Room of control samples: F3 runs one.",
    Item.LOTS: "Room of lots: look at each that is named.",
    Item.OPEN_BOX: "Scan the box at the bench in the room of lots; F3 opens it.",
    Item.ASSAYS: "Check them against the kit and adopt them again, or put the old files back.",
    Item.DISK: "Free some room where the record lies.",
    Item.RECORD: "It goes on by itself; if it is broken, tell a supervisor.",
    Item.CLOCK: "Compare it with a clock you trust, and have it set.",
    Item.SETTINGS: "Mend the file of settings: readbell doctor says what is wrong.",
    Item.KEEPING: "A supervisor archives and erases a closed period: readbell erase --through.",
}
"""What is to be done where it is not fine."""

STATES: dict[CheckState, str] = {
    CheckState.FINE: "fine",
    CheckState.DUE: "DUE",
    CheckState.FAULT: "NOT IN ORDER",
    CheckState.UNKNOWN: "not known",
}

SIGNS: dict[CheckState, str] = {
    CheckState.FINE: "+",
    CheckState.DUE: "!",
    CheckState.FAULT: "x",
    CheckState.UNKNOWN: "?",
}

LEFT: dict[LeftKind, str] = {
    LeftKind.UNFINISHED: "still running",
    LeftKind.HELD: "held for review",
    LeftKind.UNTOLD: "not told yet",
    LeftKind.NOT_NOTIFIED: "an office not notified yet",
    LeftKind.UNSENT: "not sent yet",
    LeftKind.NOT_COUNTED: "boxes not counted",
    LeftKind.TEMPERATURE: "temperature due or out of range",
    LeftKind.CONTROLS: "control samples overdue",
}

REFUSED: dict[RefusalCode, str] = {
    RefusalCode.NO_SHIFT: (
        "No shift is open, and here work is done in shifts. "
        "Open one first: room of the shift, F2, or readbell shift open."
    ),
    RefusalCode.STILL_RUNNING: (
        "Still running: {subject}. A strip outlives the shift. "
        "Finish them, or close over them with a reason."
    ),
}

NOT_ALLOWED: dict[str, str] = {
    "shifts off": (
        'This site does not work in shifts. Set shifts = "on" under [policy] in settings.toml.'
    ),
    "shift runs": "A shift is open already. Close it first.",
    "nothing to sign": "No such day sheet waits to be signed. Close the shift first.",
}


def say_check(check: Check) -> str:
    """Return one line of the opening checks, and what is to be done if it is not fine."""
    about = f": {', '.join(check.about)}" if check.about else ""
    said = f"{SIGNS[check.state]} {ITEMS[check.item]} {STATES[check.state]}{about}."
    return said if check.state is CheckState.FINE else f"{said} {TO_DO[check.item]}"


def say_left(left: Left) -> str:
    """Return one thing left undone."""
    return f"{LEFT[left.kind]}: {', '.join(left.about)}"


def say_closed(left: Iterable[Left]) -> str:
    """Return how a shift was closed."""
    return f"closed with {'; '.join(map(say_left, left))}" if left else "closed clean"


def not_fine(checks: Iterable[Check]) -> Iterator[Check]:
    """Yield the checks that ask for something."""
    return (each for each in checks if each.state in (CheckState.DUE, CheckState.FAULT))


def tell_of_shift(event: ShiftEvent, board: Board) -> str:
    """Return the line for `event`."""
    match event:
        case ShiftOpened():
            open_ones = "; ".join(ITEMS[each.item] for each in not_fine(event.checks))
            found = f"Not in order or due: {open_ones}." if open_ones else "All checks are fine."
            return f"Shift {event.number} is open. {found}"
        case ShiftClosed():
            return (
                f"Shift {event.number} {say_closed(event.left)}. Its day sheet waits to be signed."
            )
        case DaySheetSigned():
            own = " Own review." if event.own else ""
            who = board.name(event.by) or "erased"
            return (
                f"Day sheet of shift {event.number} signed by {who} "
                f"at event {event.sequence}, head {event.head}.{own}"
            )

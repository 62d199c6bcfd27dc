"""How strong a line is, why a strip cannot be read, and the slips a reader may own up to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.cartridge.events import SlipReason
from readbell.core.reading.bands import Strength, Unreadable

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readbell.core.reading.bands import Bands

STRENGTHS: dict[Strength, str] = {
    Strength.ABSENT: "absent",
    Strength.FAINT: "faint",
    Strength.CLEAR: "clear",
}

UNREADABLE: dict[Unreadable, str] = {
    Unreadable.BACKGROUND: "background too dark",
    Unreadable.SMEAR: "smear",
    Unreadable.FLOW_STOPPED: "flow stopped",
    Unreadable.FLOODED: "flooded",
    Unreadable.DAMAGED: "damaged",
}

SLIPS: dict[SlipReason, str] = {
    SlipReason.PRESSED_WRONG_KEY: "the wrong key was pressed",
    SlipReason.TOOK_LINE_FOR_ANOTHER: "one line was answered for another",
    SlipReason.OTHER: "something else",
}

FAINT_COUNTS = (
    "A faint line is a line: any colour in its marked place counts. Look in good light, "
    "by the clock, and say what you see."
)
FAINT_SHORT = "A faint line is a line: any colour in its marked place counts."
OUT_OF_PLACE = "A line outside its marked place is none."
_CONTROLS = {True: "present", False: "absent", None: "not answered"}


def say_bands(bands: Bands, control: str, names: Mapping[str, str]) -> str:
    """Return what was seen on a strip, line by line.

    Args:
        bands: what was seen.
        control: what the control line is called.
        names: what each test line is called, by its key.
    """
    if bands.unreadable is not None:
        return f"cannot be read, {UNREADABLE[bands.unreadable]}"
    lines = (
        f"{names.get(each.line, each.line)} {STRENGTHS[each.strength]}" for each in bands.lines
    )
    return ", ".join((f"{control} {_CONTROLS[bands.control]}", *lines))

"""How strong a line is, why a strip cannot be read, and the slips a reader may own up to."""

from __future__ import annotations

from readbell.core.cartridge.events import SlipReason
from readbell.core.reading.bands import Strength, Unreadable

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

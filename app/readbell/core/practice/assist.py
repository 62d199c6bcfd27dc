"""How much the program helps whoever practises."""

from __future__ import annotations

from enum import StrEnum


class Assist(StrEnum):
    """How much help an attempt was given; none of them tells what a strip shows."""

    FULL = "full"
    """As a live bay prompts and sounds, with a line of teaching."""
    ALARMS = "alarms"
    """Sounds and calls, and no word of what to do next."""
    SILENT = "silent"
    """Neither: an examination."""

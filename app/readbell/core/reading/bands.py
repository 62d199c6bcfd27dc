"""Bands: what the eye sees on the strip, before any meaning is given to it.

A faint control line is a control line, and a faint test line is a test line. A
smear or a flooded strip is neither: it cannot be read, and the reason is coded.
"""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence


class Strength(StrEnum):
    """How strong a test line is; faint and clear mean the same."""

    ABSENT = "absent"
    FAINT = "faint"
    CLEAR = "clear"


class Unreadable(StrEnum):
    """Why a strip cannot be read at all."""

    BACKGROUND = "background"
    SMEAR = "smear"
    FLOW_STOPPED = "flow-stopped"
    FLOODED = "flooded"
    DAMAGED = "damaged"


@dataclass(frozen=True, slots=True, kw_only=True)
class LineSeen:
    """One test line as it was seen."""

    line: str
    strength: Strength


@dataclass(frozen=True, slots=True, kw_only=True)
class Bands:
    """Everything seen on one strip at one look."""

    control: bool | None = None
    """Whether the control line is there; None when nobody answered."""
    lines: tuple[LineSeen, ...] = ()
    unreadable: Unreadable | None = None

    def shows(self, line: str) -> bool:
        """Say whether the test line `line` is there, however faint."""
        return any(
            seen.line == line and seen.strength is not Strength.ABSENT for seen in self.lines
        )


def are_whole(bands: Bands, lines: Sequence[str]) -> bool:
    """Say whether `bands` answers for the control line and each of `lines` once.

    An unreadable strip is whole with its reason alone: beside a smear no line
    can be vouched for, so an answer for one would contradict the reason.
    """
    if bands.unreadable is not None:
        return bands.control is None and not bands.lines
    answered = sorted(seen.line for seen in bands.lines)
    return bands.control is not None and answered == sorted(lines)

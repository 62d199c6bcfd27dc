"""Whether the whole record was held against itself since the program was started.

A start takes up a short form of the record and checks the whole of it afterwards, so
for a while nobody knows yet. It is true of this computer now, and stands in no journal.
"""

from __future__ import annotations

from enum import StrEnum

from readbell.core.made_later import dataclass


class RecordState(StrEnum):
    """How far the check has come, and what it found."""

    UNCHECKED = "unchecked"
    """Nobody checks it: whoever looks on, or a rehearsal."""
    CHECKING = "checking"
    WHOLE = "whole"
    BROKEN = "broken"
    NOT_CHECKED = "not-checked"
    """The check itself failed: nothing is known against the record."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordCheck:
    """What is known of the record."""

    state: RecordState
    percent: int = 0
    """How much of it was checked, while it is checked."""
    event: int = 0
    """How many events are whole; where it is broken, the first that is not."""
    why: str = ""
    """What is wrong, where something is."""

    @property
    def is_broken(self) -> bool:
        """Whether something in the record is not what was written."""
        return self.state is RecordState.BROKEN


UNCHECKED = RecordCheck(state=RecordState.UNCHECKED)

"""How the last answer stands to what is shown; every picture of a board asks, long before there is one."""

from __future__ import annotations

from enum import StrEnum


class AnswerState(StrEnum):
    """How the answer at hand stands to the board that is shown."""

    STANDS = "stands"
    PASSED = "passed"
    """Somebody has acted since, or it has had its time: it is being worked out anew."""
    NOT_YET = "not-yet"
    """There is none so far."""
    FAILED = "failed"
    """It could not be worked out, by a fault of this program."""

"""How a result stands: whether it may be told, and whether what was told still holds."""

from __future__ import annotations

from enum import StrEnum


class ResultStatus(StrEnum):
    """One word for each state a result can be in; of several that apply, the graver one."""

    RUNNING = "running"
    """Nothing is reportable yet."""
    PRELIMINARY = "preliminary"
    """A positive was seen early; the reading in the window is still to come."""
    FINAL = "final"
    """Read in its window, or lapsed: then it is invalid, or positive where one was seen early."""
    AMENDED = "amended"
    """A supervisor amended the reading; as it was first read stays on record."""
    HELD = "held"
    """It waits for a supervisor's review."""
    SECOND_DUE = "second-due"
    """Read once; a second reader is asked for, who is not shown what the first one saw."""
    WITHHELD = "withheld"
    """Two looks at one strip disagree, or the second one that was asked for never came."""
    WITHDRAWN = "withdrawn"
    """A supervisor took it back: entered in error."""
    NO_RESULT = "no-result"
    """Void: nothing came of it, and nothing will."""


REPORTABLE = frozenset({ResultStatus.PRELIMINARY, ResultStatus.FINAL, ResultStatus.AMENDED})
"""States in which an outcome may be told as a result, final or not."""

TAKES_BACK = frozenset({ResultStatus.WITHHELD, ResultStatus.WITHDRAWN})
"""States that whoever was told something before has to hear of: it no longer stands."""

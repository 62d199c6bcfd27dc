"""Why bands come to an outcome, in one sentence."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.reading.interpretation import Outcome
from readbell.phrases.of_bands import UNREADABLE

if TYPE_CHECKING:
    from readbell.core.reading.bands import Bands

WINDOW_CLOSED = (
    "The window has closed. Saving keeps what was seen as a late look, not a result. Repeat."
)
RIGHT_NO_MORE = "The window has closed: nothing is put right here any more. Tell a supervisor."
LATE_LOOK = "as a late look"
"""What the key that saves says in place of an outcome, once the window has closed."""


def why(bands: Bands, outcome: Outcome | None, *, is_look: bool) -> str:
    """Return the rule that gives `outcome`; empty while something is open."""
    if is_look and outcome is None:
        return _of_look(bands)
    match outcome:
        case Outcome.INVALID if bands.unreadable is not None:
            return f"The strip cannot be read: {UNREADABLE[bands.unreadable]}. Repeat."
        case Outcome.INVALID:
            return "No control line: nothing proves that the strip ran. Repeat."
        case Outcome.WITHHELD:
            return "It contradicts the early look, so neither counts. Repeat, tell a supervisor."
        case Outcome.POSITIVE if is_look:
            return "A control line and a test line: preliminary. It is read in its window too."
        case Outcome.POSITIVE:
            return "A control line, and a test line: however faint, it counts."
        case Outcome.NEGATIVE:
            return "A control line and no test line. A negative does not exclude infection."
        case None:
            return ""


def _of_look(bands: Bands) -> str:
    if bands.unreadable is not None:
        return "Nothing can be seen yet. Read it in its window."
    if bands.control is False:
        return "No control line yet: it may still come. Look again later."
    if bands.control and bands.lines and not any(bands.shows(each.line) for each in bands.lines):
        return "No test line yet. A negative counts only in the window."
    return ""

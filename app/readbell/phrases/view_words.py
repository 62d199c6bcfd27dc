"""What the figures' own page calls its tables, and says of how far the counting is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.figures.view import TOLD_APART, CountFailed, Counting, Sheet, Stretch
from readbell.phrases.figures_words import HEADINGS

if TYPE_CHECKING:
    from readbell.core.figures.view import By

NAMES: dict[Sheet, str] = {
    Sheet.RATES: "Rates",
    Sheet.MARKS: "Early, faint",
    Sheet.TIMES: "Times",
    Sheet.WAITS: "Time lost",
    Sheet.LOAD: "Load",
    Sheet.CHART: "Invalid chart",
    Sheet.POSITIVES: "Positive chart",
    Sheet.SUM: "Running sum",
    Sheet.SAMPLES: "Control samples",
    Sheet.READERS: "Readers",
    Sheet.NEAR: "Near misses",
}
STRETCHES: dict[Stretch, str] = {
    Stretch.WEEK: "last 7 days",
    Stretch.MONTH: "last 28 days",
    Stretch.QUARTER: "last 91 days",
    Stretch.YEAR: "last 365 days",
    Stretch.ALL: "all days",
}
HIDDEN = "Hidden: nobody has touched a key for a while."
NO_PICTURE = "There is no picture of this table, or nothing to draw."


def say_view(sheet: Sheet, by: By, stretch: Stretch, as_of: str) -> str:
    """Return what is looked at: which table, what is told apart, of which days, and as of when."""
    apart = f" by {HEADINGS[by]}" if sheet in TOLD_APART else ""
    when = f", as of {as_of}" if as_of else ""
    return f"{NAMES[sheet]}{apart}, {STRETCHES[stretch]}{when}"


def say_state(state: Counting | CountFailed | None) -> str:
    """Return how far the counting is, or why nothing can be shown."""
    match state:
        case Counting(what=what, done=done, of=of):
            return f"Being counted: {what}, {done:,} of {of:,} ({100 * done // max(1, of)} %)."
        case CountFailed(why=why):
            return f"Nothing could be counted: {why.rstrip('.')}. F3 tries once more."
        case None:
            return "Being counted."

"""To whom a plain bay owes another strip, as plainly as it can be written down.

Nothing here is taken from the product. Strips are of one visit if each was begun less than four hours
after the one before, or its start was warned of as the second of a day.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Sequence

FOUR_HOURS = 4 * 60 * 60_000


class Strip(NamedTuple):
    """What of one device matters here."""

    label: str
    begun: int
    warned: bool
    """It was begun as the second of a day."""
    failed: int | None
    """Since when nothing comes of it; None: it runs, or has a result."""
    declined: bool = False
    """Whoever it was for wants no other."""
    name: str = ""
    """What stands on the device, where it is not what it is known by here."""


def owed(strips: Sequence[Strip]) -> str | None:
    """Give the one that is owed a repeat, of all that one person had by one assay, in their order."""
    visit: list[Strip] = []
    for each in strips:
        if visit and not each.warned and each.begun - visit[-1].begun >= FOUR_HOURS:
            visit = []
        visit.append(each)
    if not visit or any(each.failed is None for each in visit):
        return None
    # Of two that were begun in one instant, and failed in one, the names decide.
    last = max(visit, key=lambda each: (each.failed or 0, each.begun, each.name or each.label))
    return None if last.declined else last.label

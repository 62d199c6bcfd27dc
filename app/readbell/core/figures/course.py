"""The running sum of one lot, strip by strip, as it can be drawn.

The same sum that flags lots (`watching`): what a picture shows is what is watched.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.figures.case import Came
from readbell.core.figures.tally import IN_WINDOW
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from readbell.core.statistics.cusum import Watch


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """How the running sum of one lot went."""

    steps: tuple[int, ...]
    """The sum after each strip that was read in its window, in the order of labelling."""
    limit: int
    """It flags when the sum has come to so many."""
    flagged_after: int | None
    """So many strips had been read when it first did; None: it never has."""
    invalid: int
    """So many of the strips were invalid."""

    @property
    def read(self) -> int:
        """How many strips of the lot were read."""
        return len(self.steps)


def strip_by_strip(watch: Watch, came: Mapping[int, Came]) -> Iterator[tuple[int, int]]:
    """Yield the sum and the invalid strips so far, after each strip of a lot that was read.

    What was not read in its window tells nothing of a lot.

    Args:
        watch: what is watched for.
        came: what became of each strip, by its place in the order of labelling.
    """
    steps = invalid = 0
    for _, each in sorted(came.items()):
        if each in IN_WINDOW:
            hit = each is Came.INVALID
            steps, invalid = watch.after(steps, hit=hit), invalid + hit
            yield steps, invalid


def course_of(watch: Watch, came: Mapping[int, Came]) -> Course | None:
    """Return how the running sum of a lot went, or None where none of it was ever read.

    Once it has flagged it goes on from where it is: a lot that gets no better is seen to rise.
    """
    found = tuple(strip_by_strip(watch, came))
    if not found:
        return None
    steps = tuple(each for each, _ in found)
    return Course(
        steps=steps,
        limit=watch.limit,
        flagged_after=next(
            (place for place, each in enumerate(steps, 1) if watch.flags(each)), None
        ),
        invalid=found[-1][1],
    )

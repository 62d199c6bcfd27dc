"""From bands to outcome: the reading rules.

Rules of the trade (common practice; the kit's own instructions come first):
a test line counts however faint; no control line means invalid whatever the
test lines show, because nothing then proves that the strip ran; what was
accepted early and is not there in the window is withheld, since two looks at
one strip disagree and nobody may pick one.
"""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from readbell.core.reading.bands import Bands


class Outcome(StrEnum):
    """What a cartridge, or one line of it, says."""

    POSITIVE = "positive"
    NEGATIVE = "negative"
    INVALID = "invalid"
    WITHHELD = "withheld"


@dataclass(frozen=True, slots=True, kw_only=True)
class LineOutcome:
    """The outcome of one analyte."""

    line: str
    outcome: Outcome


def strip_ran(bands: Bands) -> bool:
    """Say whether the strip can be read and proves by its control line that it ran."""
    return bands.unreadable is None and bands.control is True


def lines_shown(lines: Sequence[str], bands: Bands) -> tuple[str, ...]:
    """Return those of `lines` that an early look settles: the ones that show."""
    return tuple(line for line in lines if bands.shows(line)) if strip_ran(bands) else ()


def judge_window(
    lines: Sequence[str], bands: Bands, early: Sequence[str]
) -> tuple[LineOutcome, ...]:
    """Judge each line by a reading inside the window.

    Args:
        lines: the analytes of the assay, in the order of the device.
        bands: what was seen, whole.
        early: analytes that were accepted as positive at an early look.
    """
    return tuple(
        LineOutcome(line=line, outcome=_judge_line(bands, line, accepted_early=line in early))
        for line in lines
    )


def judge_unread(lines: Sequence[str], early: Sequence[str]) -> tuple[LineOutcome, ...]:
    """Judge each line when the window closed and nobody had read the strip."""
    return tuple(
        LineOutcome(line=line, outcome=Outcome.POSITIVE if line in early else Outcome.INVALID)
        for line in lines
    )


def judge_two(
    first: Sequence[LineOutcome], second: Sequence[LineOutcome]
) -> tuple[LineOutcome, ...]:
    """Judge each line by the readings of two people: what they do not agree on is withheld.

    Args:
        first: what the first reading comes to.
        second: what the second one comes to, of the same lines in the same order.
    """
    return tuple(
        one if one == other else LineOutcome(line=one.line, outcome=Outcome.WITHHELD)
        for one, other in zip(first, second, strict=True)
    )


def judge_read_once(lines: Sequence[str]) -> tuple[LineOutcome, ...]:
    """Judge each line when the window closed and the second reader had not come: all withheld."""
    return tuple(LineOutcome(line=line, outcome=Outcome.WITHHELD) for line in lines)


def withhold(outcomes: Sequence[LineOutcome]) -> tuple[LineOutcome, ...]:
    """Withhold each line of `outcomes`, whatever was seen of it."""
    return judge_read_once([each.line for each in outcomes])


def overall(outcomes: Sequence[LineOutcome]) -> Outcome:
    """Return the outcome of the whole cartridge, the gravest doubt first."""
    found = {each.outcome for each in outcomes}
    for outcome in (Outcome.WITHHELD, Outcome.POSITIVE, Outcome.INVALID):
        if outcome in found:
            return outcome
    return Outcome.NEGATIVE


def _judge_line(bands: Bands, line: str, *, accepted_early: bool) -> Outcome:
    if not strip_ran(bands):
        return Outcome.WITHHELD if accepted_early else Outcome.INVALID
    if bands.shows(line):
        return Outcome.POSITIVE
    return Outcome.WITHHELD if accepted_early else Outcome.NEGATIVE

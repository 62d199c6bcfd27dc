"""Whether a control sample showed what it had to.

Common practice: every line must come out as expected, the control line of the
strip among them; an invalid control sample has not passed.
"""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.controls.material import Material
    from readbell.core.reading.interpretation import LineOutcome


class Verdict(StrEnum):
    """What a reading of a sample comes to."""

    PASSED = "passed"
    FAILED = "failed"
    NOTED = "noted"
    """A blind sample: nobody here knows what it should have shown."""


def judge_sample(material: Material, outcomes: Sequence[LineOutcome]) -> Verdict:
    """Judge the outcome of each line against what `material` has to show."""
    if not material.expected:
        return Verdict.NOTED
    found = {each.line: each.outcome for each in outcomes}
    kept = all(found.get(each.line) is each.outcome for each in material.expected)
    return Verdict.PASSED if kept else Verdict.FAILED

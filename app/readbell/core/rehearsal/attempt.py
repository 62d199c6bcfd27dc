"""The figures of one attempt that a trend is made of, and how they are kept."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.instant import seconds
from readbell.core.made_later import dataclass
from readbell.core.rehearsal.score_marks import Area

if TYPE_CHECKING:
    from readbell.core.rehearsal.score import Score


@dataclass(frozen=True, slots=True, kw_only=True)
class AttemptFigures:
    """One attempt in a few figures; it holds nobody but whoever practised."""

    trainee: str = field(repr=False)
    """As they are called; empty: nobody said."""
    title: str
    scenario: str
    """Digest of the scenario and its assays, in hex."""
    head: str
    """The last hash of its journal, in hex: the same attempt is not counted twice."""
    assist: str
    """Empty: the record does not say."""
    windows: tuple[int, int]
    """Right, and of how many; so below."""
    waits: tuple[int, int]
    lines: tuple[int, int]
    faint: tuple[int, int]
    went_through: int
    """Mistakes about people and safety that nothing stopped."""
    refused: int
    """Those that were stopped."""
    took: float
    """Seconds to the last reading."""
    best: float | None
    """Seconds that the best plan takes."""
    kappa: float | None
    strips: int
    left_early: bool = False
    """Whether something was still to come or to be done when it was left."""


def figures_of(score: Score, *, trainee: str, scenario: str, head: str) -> AttemptFigures:
    """Return the figures of `score`.

    Args:
        score: the attempt.
        trainee: who practised.
        scenario: digest of the scenario and its assays, in hex.
        head: the last hash of its journal, in hex.
    """
    grave = (Area.IDENTITY, Area.SAFETY)
    found = score.readings.agreement
    return AttemptFigures(
        trainee=trainee,
        title=score.title,
        scenario=scenario,
        head=head,
        assist="" if score.assist is None else str(score.assist),
        windows=(score.windows.right, score.windows.of),
        waits=(score.waits.right, score.waits.of),
        lines=(score.readings.right.right, score.readings.right.of),
        faint=(score.readings.faint.right, score.readings.faint.of),
        went_through=sum(len(score.of_area(each, refused=False)) for each in grave),
        refused=sum(len(score.of_area(each, refused=True)) for each in grave),
        took=seconds(score.pace.took),
        best=None if score.pace.best is None else seconds(score.pace.best),
        kappa=None if found is None else found.kappa,
        strips=score.readings.strips,
        left_early=score.unfinished.count > 0,
    )

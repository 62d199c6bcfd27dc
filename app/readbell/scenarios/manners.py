"""What each difficulty of a made scenario is: how people come, what strips show, what breaks in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass
from readbell.core.rehearsal.scenario import Difficulty, FlawKind, InterruptionKind

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True, kw_only=True)
class Manner:
    """What a difficulty is; shares are of a hundred."""

    together: tuple[int, ...]
    """How many come together; each as often as it stands here."""
    apart: tuple[int, int]
    """Seconds from one party to the next, for each person of the first and each operator."""
    positive: int
    faint: int
    """Of the positive ones."""
    very_faint: int
    """Of the positive ones."""
    broken: int
    """Devices that never run, or smear."""
    flaws: tuple[FlawKind, ...] = ()
    interruptions: tuple[InterruptionKind, ...] = ()
    names: bool = False
    """Whether people are known by names too, two of them by the same surname."""


MANNERS: Mapping[Difficulty, Manner] = {
    Difficulty.EASY: Manner(
        together=(1,), apart=(260, 340), positive=25, faint=30, very_faint=0, broken=0
    ),
    Difficulty.NORMAL: Manner(
        together=(1, 1, 2, 2, 3),
        apart=(170, 230),
        positive=30,
        faint=45,
        very_faint=5,
        broken=8,
        interruptions=(InterruptionKind.QUESTION,),
    ),
    Difficulty.HARD: Manner(
        together=(1, 2, 2, 3, 4),
        apart=(140, 190),
        positive=35,
        faint=40,
        very_faint=30,
        broken=12,
        flaws=(FlawKind.OUT_OF_DATE, FlawKind.LABEL_SWAPPED),
        interruptions=(
            InterruptionKind.QUESTION,
            InterruptionKind.CALLED_AWAY,
            InterruptionKind.QUESTION,
        ),
        names=True,
    ),
    Difficulty.WORST: Manner(
        together=(1, 2, 3, 4, 4),
        apart=(120, 160),
        positive=40,
        faint=35,
        very_faint=45,
        broken=16,
        flaws=(FlawKind.OUT_OF_DATE, FlawKind.WRONG_ASSAY, FlawKind.LABEL_SWAPPED),
        interruptions=(
            InterruptionKind.QUESTION,
            InterruptionKind.CAR_LEAVES,
            InterruptionKind.CALLED_AWAY,
            InterruptionKind.QUESTION,
            InterruptionKind.LID_CLOSED,
        ),
        names=True,
    ),
}
STRIPS = Manner(together=(1, 2), apart=(150, 190), positive=60, faint=35, very_faint=45, broken=10)

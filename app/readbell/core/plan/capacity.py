"""What is asked about a bay before chance, and by what rule it is worked there."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from readbell.core.instant import Span
    from readbell.core.plan.sustained import Sustained
    from readbell.core.plan.tally import Tally
    from readbell.core.plan.work import Work

QUANTILES = (0.5, 0.9, 0.99)
"""The shares of people whose longest wait is told."""
WAITS = 0.99
"""The share of people who are to wait no longer than the target."""
PLAINLY = 1.25
"""A wait this many times the target is given up early."""


class Rule(StrEnum):
    """By what the hands choose what to do next. Each operator keeps to their own cartridges."""

    CAREFUL = "blocks"
    """One person, or two together, from the first piece to the drops; begun only if all strips
    that develop can be read in time where every piece takes its longest, rare times left out."""
    BUSY = "earliest-limit"
    """Never idle: of what may be done, what reaches its limit first; failing that, somebody new."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Premise:
    """What is taken for granted in every run."""

    assay: str
    """Its title."""
    rule: Rule
    per_hour: float
    """People who come in an hour, on average, independently of each other."""
    people: int
    """In each run; they come to an empty bay, and all are served to the end."""
    spread: float
    """Of the logarithm of each piece's time; its mean is the usual time."""
    seed: int
    gloves: Span
    wishes: bool
    """Whether advisory limits are counted like firm ones."""
    windows: tuple[str, ...]
    """The part that ends each window, in the order of the tally."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """What was counted, of how much that was asked for."""

    tally: Tally
    asked: int
    stopped: bool
    """Somebody stopped it before all was played."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """What is asked of a crew."""

    wait: Span
    """That 99 of 100 people wait no longer."""
    miss: float
    """That a cartridge misses a window less often, with the end of the interval, too."""

    def waits_kept(self, tally: Tally) -> bool:
        """Say whether the waits are short enough."""
        return tally.wait_of(WAITS) <= self.wait

    def misses_kept(self, tally: Tally) -> bool:
        """Say whether so few are missed that chance does not explain it."""
        return tally.missed_share.high < self.miss

    def kept(self, tally: Tally) -> bool:
        """Say whether both are shown."""
        return self.waits_kept(tally) and self.misses_kept(tally)

    def is_hopeless(self, tally: Tally) -> bool:
        """Say whether more runs would plainly not help."""
        too_long = tally.wait_of(WAITS) > self.wait * PLAINLY
        return too_long or tally.missed_share.low > self.miss


@dataclass(frozen=True, slots=True, kw_only=True)
class Capacity:
    """Everything that was worked out."""

    title: str
    """Of the assay."""
    work: Work
    pace: Sustained
    premise: Premise | None
    """None: nobody comes, the pace alone was asked for."""
    tried: tuple[Forecast, ...] = ()
    """Each crew, the last one last."""
    target: Target | None = None
    """None: the crew was given."""
    answer: int | None = None
    """The smallest crew that keeps the target; None: none of them, or nobody asked."""
    fast: bool = False
    """Whether numpy played."""

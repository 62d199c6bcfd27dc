"""Plays a crew's runs in batches, as fast as this computer can, and keeps what is done.

With numpy thousands of runs go side by side; without it one after the other. Both
draw the same numbers and count the same, so a seed brings everything back.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from readbell.core.instant import MINUTE
from readbell.core.made_later import dataclass
from readbell.core.plan.capacity import Forecast
from readbell.core.plan.tally import Tally
from readbell.forecast.job import job_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from readbell.core.plan.capacity import Premise
    from readbell.core.plan.work import Work
    from readbell.forecast.job import Job

    Tell = Callable[[int, int], None]
    """Told after each batch: runs done, runs asked for."""

ABREAST = 4_096
"""Runs of 60 people side by side: enough to pay for each step, few enough for the cache."""
ALONE = 25
"""Runs one after the other between two looks at the progress."""
PEOPLE_ABREAST = ABREAST * 60


class Player(Protocol):
    """Plays runs and counts."""

    def play(self, runs: range) -> Tally:
        """Return what the runs numbered `runs` came to, all together."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """What is the same for every crew that is compared."""

    work: Work
    premise: Premise
    fast: bool
    """Whether numpy plays."""

    @property
    def job(self) -> Job:
        """The work of one person, drawn up for the simulation."""
        premise = self.premise
        apart = 60 * MINUTE / premise.per_hour
        return job_of(self.work, premise.rule, apart=apart, spread=premise.spread)


def has_numpy() -> bool:
    """Say whether the fast way can be taken here."""
    try:
        import numpy as np
    except ImportError:
        return False
    return bool(np.__version__)


def nothing(setting: Setting, operators: int) -> Tally:
    """Return the tally of no runs."""
    return Tally(
        runs=0,
        people=setting.premise.people,
        operators=operators,
        waits=(),
        waited=0,
        delayed=0,
        busy=0,
        lasted=0,
        late=(),
        missed=0,
        missed_squares=0,
        runs_missing=0,
    )


def forecast(setting: Setting, operators: int, runs: int, tell: Tell, done: Tally) -> Forecast:
    """Play runs until there are `runs`, or until somebody presses Ctrl-C.

    Args:
        setting: the bay and who comes.
        operators: how many hands.
        runs: how many runs are wanted, those in `done` included.
        tell: is told the progress.
        done: what was played before, from run 0 on.
    """
    tally, player = done, _player(setting, operators)
    batch = (
        max(1, min(ABREAST, PEOPLE_ABREAST // setting.premise.people)) if setting.fast else ALONE
    )
    try:
        while tally.runs < runs:
            tally = tally.plus(player.play(range(tally.runs, min(runs, tally.runs + batch))))
            tell(tally.runs, runs)
    except KeyboardInterrupt:
        return Forecast(tally=tally, asked=runs, stopped=True)
    return Forecast(tally=tally, asked=runs, stopped=False)


def _player(setting: Setting, operators: int) -> Player:
    job, premise = setting.job, setting.premise
    if setting.fast:
        from readbell.forecast.arrays import ArrayPlayer

        return ArrayPlayer(job, premise.rule, operators, premise.people, premise.seed)
    from readbell.forecast.plain import PlainPlayer

    return PlainPlayer(job, premise.rule, operators, premise.people, premise.seed)

"""How many operators it takes: crews of growing size, all before the same people.

Each crew is played through the same arrivals and the same times, so what differs
between two of them is the crew. A crew that plainly fails is given up after a few
runs; one that may do is played through to the number asked for.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.forecast.forecast import forecast, nothing

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from readbell.core.plan.capacity import Forecast, Target
    from readbell.forecast.forecast import Setting, Tell

FIRST_LOOK = 2_048
"""Runs after which a crew that plainly fails is given up."""


def smallest_crew(
    setting: Setting,
    target: Target,
    crews: Iterable[int],
    runs: int,
    tell: Callable[[int], Tell],
) -> list[Forecast]:
    """Play crews in turn until one keeps the target, or only runs are too few; return them all.

    It ends as well when no crew is left, and with Ctrl-C.

    Args:
        setting: the bay and who comes.
        target: what is asked.
        crews: numbers of operators, from small to large.
        runs: runs of each crew that is not given up.
        tell: returns who is told the progress of a crew.
    """
    found = []
    for operators in crews:
        told = tell(operators)
        look = forecast(
            setting, operators, min(runs, FIRST_LOOK), told, nothing(setting, operators)
        )
        if not look.stopped and not target.is_hopeless(look.tally):
            look = forecast(setting, operators, runs, told, look.tally)
        found.append(look)
        # Where nothing was missed a larger crew would show no more, but more runs would.
        shown_enough = target.waits_kept(look.tally) and look.tally.missed == 0
        if look.stopped or shown_enough or target.kept(look.tally):
            break
    return found

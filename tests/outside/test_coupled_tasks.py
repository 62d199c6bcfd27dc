"""Identical coupled tasks for ever: the search against brute force, a few thousand of them.

Coupled tasks (R. D. Shapiro, 1980, for pulses of a radar) are two pieces of work with a gap
between; what is asked here is how soon one can follow another for ever.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import product

from core.plan.made_up import coupled
from core.plan.rounds_by_hand import shortest
from readbell.core.instant import SECOND
from readbell.core.plan.cyclic import shortest_round


def test_every_small_coupled_task_repeats_as_soon_as_brute_force_says() -> None:
    """Exact gaps and wider ones; broken seconds are told apart by a finer grid."""
    tried = 0
    for first, gap, wide, second in product(range(1, 6), range(10), range(5), range(1, 6)):
        answer = shortest_round(coupled(first, (gap, gap + wide), second), 1)
        assert answer.round is not None
        seconds = answer.round.period / SECOND
        unit = seconds.denominator
        bounds = (gap * unit, (gap + wide) * unit)
        task = ((first * unit, second * unit), (False, False), (bounds,), 0)
        found = shortest(task, 1, unit * (first + gap + wide + second))
        assert found is not None
        assert Fraction(found, unit) == seconds, (first, gap, wide, second)
        tried += 1

    assert tried == 1_250


def test_every_small_pair_of_coupled_tasks_does_too() -> None:
    """Two new ones to a round, on whole seconds where the answer is whole."""
    tried = 0
    for first, gap, wide, second in product(range(1, 4), range(6), range(3), range(1, 4)):
        answer = shortest_round(coupled(first, (gap, gap + wide), second), 2)
        assert answer.round is not None
        seconds = answer.round.period / SECOND
        if seconds.denominator > 1:
            continue
        task = ((first, second), (False, False), ((gap, gap + wide),), 0)
        assert shortest(task, 2, 60) == seconds, (first, gap, wide, second)
        tried += 1

    assert tried >= 140

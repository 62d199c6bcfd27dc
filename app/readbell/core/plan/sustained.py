"""How many people an hour a crew can go on with for ever, at usual times.

Two ways are tried, and the better one is told with its rule. Either each operator
does a round over and over with their own cartridges (one, two or more new people to a
round), the operators side by side; or one person begins at even intervals and any
operator does any piece. The bound holds for every way there is: nobody works less on
a cartridge than its pieces take, and its first touch asks for fresh gloves.
"""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction
from typing import TYPE_CHECKING

from readbell.core.instant import MINUTE
from readbell.core.made_later import dataclass
from readbell.core.plan.cyclic import NODES, least_work, shortest_round
from readbell.core.plan.stagger import even_stagger

if TYPE_CHECKING:
    from readbell.core.plan.cyclic import Round
    from readbell.core.plan.stagger import Stagger
    from readbell.core.plan.work import Work

MOST_PEOPLE = 2
"""New people in a round where nothing else is asked: found and proven in a blink."""


class Way(StrEnum):
    """How a crew keeps the pace."""

    ROUNDS = "rounds"
    """Each operator repeats the round, with cartridges of their own."""
    EVEN = "even"
    """One person at each even interval; see the stagger for its rule."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sustained:
    """The pace of a crew."""

    operators: int
    way: Way
    apart: Fraction
    """Milliseconds from one person to the next, on average."""
    bound: Fraction
    """No way of working, proven or not, can do with less."""
    best_round: Round
    """The best round of one operator."""
    searched: int
    """Rounds of up to so many new people were looked at to the end: none of them is shorter."""
    even: Stagger

    @property
    def per_hour(self) -> float:
        """People an hour."""
        return float(60 * MINUTE / self.apart)

    @property
    def is_proven(self) -> bool:
        """Whether no way of working at all is faster."""
        return self.apart == self.bound


def sustained(
    work: Work, operators: int, *, people: int = MOST_PEOPLE, nodes: int = NODES
) -> Sustained | None:
    """Return the best pace found, or None if one cartridge alone cannot keep its limits.

    Args:
        work: the work of one cartridge, taken at usual times.
        operators: how many pairs of hands, from 1.
        people: new people in a round, at most.
        nodes: how much is looked at for each round size before it is given up.
    """
    even = even_stagger(work, operators)
    if even is None:
        return None
    best, searched, whole = None, 0, True
    for size in range(1, people + 1):
        found = shortest_round(
            work, size, below=None if best is None else best.apart * size, nodes=nodes
        )
        best = found.round or best
        whole = whole and found.proven
        searched = size if whole else searched
    assert best is not None  # noqa: S101  # a cartridge that can be served alone is a round of one
    bound = Fraction(least_work(work), operators)
    by_rounds = best.apart / operators
    return Sustained(
        operators=operators,
        way=Way.ROUNDS if by_rounds <= even.interval else Way.EVEN,
        apart=min(by_rounds, even.interval),
        bound=bound,
        best_round=best,
        searched=searched,
        even=even,
    )

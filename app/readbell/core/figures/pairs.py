"""Who reads with whom, and how far the two of each pair agree.

Of a pair it does not matter who read first: what the one said is held against what the other
did, whichever of them came before. Most pairs of a bay have few strips in common; below
`FEWEST` of them there is no kappa, and every share has an interval that says how little it is.
Assumption, as of all agreement here: each read without being told what the other saw.
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from readbell.core.figures.readers import Twice, readers_of
from readbell.core.made_later import dataclass
from readbell.core.statistics.agreement import FEWEST

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from readbell.core.figures.readers import Readers


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """Two people who read strips together."""

    one: str
    """Key of the one; the rows of `found` are what this one said."""
    other: str
    found: Readers

    @property
    def is_few(self) -> bool:
        """Whether so few strips were read by both that they say little."""
        return self.found.count < FEWEST


def pairs_of(counts: Mapping[Twice, int], called: Callable[[str], str] = str) -> tuple[Pair, ...]:
    """Return how the two of each pair agree, the busiest pair first.

    Args:
        counts: so many strips of each kind.
        called: what somebody is called who goes by a key; the two of a pair stand in this order.
    """
    found: dict[tuple[str, str], Counter[Twice]] = {}
    for each, count in counts.items():
        turned = (called(each.first_by), each.first_by) > (called(each.second_by), each.second_by)
        seen = _turned(each) if turned else each
        found.setdefault((seen.first_by, seen.second_by), Counter())[seen] += count
    made = ((pair, readers_of(strips)) for pair, strips in found.items())
    pairs = [Pair(one=one, other=two, found=each) for (one, two), each in made if each is not None]
    return tuple(
        sorted(pairs, key=lambda each: (-each.found.count, called(each.one), called(each.other)))
    )


def _turned(each: Twice) -> Twice:
    return Twice(each.second, each.first, each.faint, each.second_by, each.first_by)

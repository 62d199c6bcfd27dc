"""How long things took: a count for each length, so that a year of them takes no more room.

Assumption: lengths are whole and there are few different ones, as seconds of a wait are.
The quantile is the one that lies between neighbours in proportion to where it falls between
their ranks (the seventh of R. J. Hyndman, Y. Fan, American Statistician 1996;50:361-365, from
memory; held to numpy's by `tests/outside`). Domain: any number of lengths, none included; shares
from 0 to 1.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(slots=True)
class Spread:
    """Lengths as they come in, counted; for one pass over a record."""

    counts: Counter[int] = field(default_factory=Counter)

    def add(self, length: int, times: int = 1) -> None:
        """Count `times` more of `length`; negative: so many fewer."""
        self.join({length: times})

    def join(self, counts: Mapping[int, int], times: int = 1) -> None:
        """Count each length `times` as often as `counts` says; negative: take it off."""
        own = self.counts
        if not own and times == 1:
            dict.update(own, counts)
            return
        for length, count in counts.items():
            found = own.get(length, 0) + count * times
            if found:
                own[length] = found
            else:
                own.pop(length, None)

    @property
    def count(self) -> int:
        """How many there were."""
        return self.counts.total()

    def within(self, least: int, most: int) -> int:
        """Return how many were from `least` to `most`, both included."""
        return sum(count for length, count in self.counts.items() if least <= length <= most)

    def quantiles(self, *shares: float) -> tuple[float, ...]:
        """Return the length that each of `shares`, rising from 0 to 1, of them do not exceed.

        Nothing was counted: nothing is returned.
        """
        if not self.counts:
            return ()
        ranks = [share * (self.count - 1) for share in shares]
        wanted = {place for rank in ranks for place in (int(rank), int(rank) + 1)}
        found: dict[int, int] = {}
        seen = 0
        for length in sorted(self.counts):
            seen, before = seen + self.counts[length], seen
            found |= {place: length for place in wanted if before <= place < seen}
        highest = max(self.counts)
        return tuple(
            found[int(rank)]
            + (rank - int(rank)) * (found.get(int(rank) + 1, highest) - found[int(rank)])
            for rank in ranks
        )

"""How far two readers of the same things agree: beyond chance, and on one category alone.

Sources: J. Cohen, Educational and Psychological Measurement 1960;20:37-46 (kappa); J. L. Fleiss,
J. Cohen, B. S. Everitt, Psychological Bulletin 1969;72:323-327 (its large-sample standard error).
Both from memory; the figures are held to those of SAS by `tests/outside`. D. V. Cicchetti,
A. R. Feinstein, Journal of Clinical Epidemiology 1990;43:551-558 (agreement on one category, from
memory).

Assumptions: each thing was read once by each of the two, apart from every other thing, and the
categories have no order. Domain: a square table of counts with something in it. Where both put
everything into one category, chance alone agrees wholly and kappa says nothing. The standard error
is one of many things: below about 20 it promises too much, so whoever shows it should not go there;
and where nothing was read differently it is 0, which says that it could not be told, not that it is
sure.
"""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass
from readbell.core.statistics.proportion import Z95, Share, wilson

if TYPE_CHECKING:
    from collections.abc import Sequence

FEWEST = 20
"""So many things have to be read before a kappa is shown."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreement:
    """Cohen's kappa with its 95 % interval."""

    count: int
    """How many things both read."""
    observed: float
    """The share on which they agree."""
    expected: float
    """The share on which chance alone would, given how often each says what."""
    kappa: float
    error: float
    """The large-sample standard error; 0 where they never differ."""
    low: float
    high: float


def cohen(table: Sequence[Sequence[int]]) -> Agreement | None:
    """Return how far rows and columns of `table` agree, or None where that cannot be said.

    Args:
        table: how many things the one put into the category of the row and the other into that
            of the column; as many rows as columns, in the same order.
    """
    count = sum(map(sum, table))
    if count == 0:
        return None
    size = range(len(table))
    share = [[each / count for each in row] for row in table]
    rows = [sum(row) for row in share]
    columns = [sum(share[row][column] for row in size) for column in size]
    agreed = sum(table[each][each] for each in size)
    observed = agreed / count
    expected = sum(rows[each] * columns[each] for each in size)
    if any(sum(table[each]) == count == sum(row[each] for row in table) for each in size):
        return None  # both put everything into one category
    kappa = (observed - expected) / (1 - expected)
    same = sum(
        share[each][each] * (1 - (rows[each] + columns[each]) * (1 - kappa)) ** 2 for each in size
    )
    other = (1 - kappa) ** 2 * sum(
        share[row][column] * (columns[row] + rows[column]) ** 2
        for row in size
        for column in size
        if row != column
    )
    square = same + other - (kappa - expected * (1 - kappa)) ** 2
    # Where they never differ what is left is rounding.
    error = 0.0 if agreed == count else sqrt(max(0.0, square) / count) / (1 - expected)
    return Agreement(
        count=count,
        observed=observed,
        expected=expected,
        kappa=kappa,
        error=error,
        low=max(-1.0, kappa - Z95 * error),
        high=min(1.0, kappa + Z95 * error),
    )


def of_category(table: Sequence[Sequence[int]], place: int) -> Share | None:
    """Return how far both agree where one of them says what stands at `place`; None: neither does.

    Where `a` things are put there by both and `d` by one of them alone it is `2a / (2a + d)`: the
    chance that what one of them, no matter which, puts there is put there by the other too. Among
    the `a + d` things that either puts there `a` is a plain count, and `2a / (2a + d)` rises with
    its share `j` as `2j / (1 + j)`: so the ends of the 95 % interval are those of Wilson's for `j`.

    Args:
        table: as for `cohen`.
        place: of the category, from 0.
    """
    both = table[place][place]
    either = sum(table[place]) + sum(row[place] for row in table) - both
    if either == 0:
        return None
    share = wilson(both, either)
    value, low, high = (2 * each / (1 + each) for each in (share.value, share.low, share.high))
    return Share(value=value, low=low, high=high)

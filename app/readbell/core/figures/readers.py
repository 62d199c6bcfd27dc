"""How two people who read the same strips agree, each told nothing of what the other saw.

Taken are strips of patients that were read twice in their window. Each reading is judged by its
own bands alone, as its reader last corrected it before the other read: what an early look had
shown is no part of it. A strip counts once, however many lines it has, as the lines of one strip are
no separate things.

Strips of which one of the two saw a faint line, and neither a clear one, stand apart as well: they are
where readers part, and among many plain strips they would be lost.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from readbell.core.made_later import dataclass
from readbell.core.reading.bands import Strength
from readbell.core.reading.interpretation import Outcome, judge_window, overall
from readbell.core.statistics.agreement import FEWEST, Agreement, cohen, of_category
from readbell.core.statistics.proportion import Share, wilson

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readbell.core.cartridge.cartridge import Cartridge

SAID = (Outcome.POSITIVE, Outcome.NEGATIVE, Outcome.INVALID)
"""What a reading can come to by itself, in the order of rows and columns."""


class Twice(NamedTuple):
    """A strip that two people read."""

    first: Outcome
    second: Outcome
    faint: bool
    """One of them saw a faint line, and neither a clear one."""
    first_by: str = ""
    """Key of who read it first."""
    second_by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Readers:
    """How first and second readers agree, or the two of one pair."""

    table: tuple[tuple[int, ...], ...]
    """Strips by what the one said, then by what the other did, both as `SAID`."""
    agreed: Share
    """The share on which they said the same."""
    kappa: Agreement | None
    """None: fewer than `FEWEST`, or all of them alike, of which it says nothing."""
    positive: Share | None
    """Agreement on positives; None: neither ever said so."""
    negative: Share | None
    faint: int
    """So many strips with nothing more than a faint line were read twice."""
    faint_agreed: Share
    clear_agreed: Share
    """The share on which they said the same of all others."""

    @property
    def count(self) -> int:
        """How many strips were read twice."""
        return sum(map(sum, self.table))


def twice_read(cartridge: Cartridge) -> Twice | None:
    """Return what two people read of `cartridge`, or None where it was not read twice."""
    if cartridge.reading is None or cartridge.second is None:
        return None
    keys = cartridge.assay.line_keys
    corrections = cartridge.corrections
    bands = corrections[-1].bands if corrections else cartridge.reading.bands
    seen = (bands, cartridge.second.bands)
    first, second = (overall(judge_window(keys, each, ())) for each in seen)
    strengths = {line.strength for each in seen for line in each.lines}
    faint = Strength.FAINT in strengths and Strength.CLEAR not in strengths
    return Twice(
        first=first,
        second=second,
        faint=faint,
        first_by=cartridge.reading.by,
        second_by=cartridge.second.by,
    )


def readers_by_assay(twice: Mapping[str, Mapping[Twice, int]]) -> dict[str, Readers]:
    """Return how readers agree on the strips of each assay; assays that have none are left out."""
    found = {assay: readers_of(counts) for assay, counts in twice.items()}
    return {assay: each for assay, each in found.items() if each is not None}


def readers_of(counts: Mapping[Twice, int]) -> Readers | None:
    """Return how readers agree on so many strips of each kind, or None where there is none."""
    table = [[0] * len(SAID) for _ in SAID]
    same = {True: 0, False: 0}
    of = {True: 0, False: 0}
    for each, count in counts.items():
        table[SAID.index(each.first)][SAID.index(each.second)] += count
        same[each.faint] += count * (each.first is each.second)
        of[each.faint] += count
    count = of[True] + of[False]
    if count <= 0:
        return None
    return Readers(
        table=tuple(map(tuple, table)),
        agreed=wilson(same[True] + same[False], count),
        kappa=cohen(table) if count >= FEWEST else None,
        positive=of_category(table, SAID.index(Outcome.POSITIVE)),
        negative=of_category(table, SAID.index(Outcome.NEGATIVE)),
        faint=of[True],
        faint_agreed=wilson(same[True], of[True]),
        clear_agreed=wilson(same[False], of[False]),
    )

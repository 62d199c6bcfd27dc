"""All the figures of a record, or of a part of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from readbell.core.controls.material import SampleKind
    from readbell.core.controls.verdict import Verdict
    from readbell.core.figures.counted import Counted
    from readbell.core.figures.near_misses import NearMisses
    from readbell.core.figures.table import Table

FEW = 20
"""Of fewer no quantile is given, and a rate is marked: it says little (our own choice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleRun:
    """A control sample that was read, or a blind one."""

    day: str
    """Of the site, as YYYY-MM-DD."""
    time: str
    """At the site, as HH:MM."""
    material: str
    """Its number."""
    kind: SampleKind | None
    """None: the material is not known any more."""
    lot: str
    assay: str | None
    """Its id; None: as for `kind`."""
    verdict: Verdict
    by: str
    """Key of who read it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """What a record adds up to."""

    table: Table
    counted: Counted
    """What all cases of the record came to, whatever is asked about: watching needs all of it."""
    samples: tuple[SampleRun, ...]
    """Those that are asked about, in the order in which they were read."""
    near_misses: NearMisses
    on_paper: int
    """Runs that were entered from paper: they are stated, and in none of the figures."""

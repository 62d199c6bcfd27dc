"""The `[[performance]]` tables of a site's settings: how well an assay did in a study that is named."""

from __future__ import annotations

import re
from typing import Annotated

from pydantic import AfterValidator, StringConstraints

from readbell.toml_tables import Table

_COUNTS = re.compile(r"(\d{1,7})\s*/\s*(\d{1,7})", re.ASCII)


def counts(text: str) -> tuple[int, int]:
    """Return the two numbers of "72/100": so many of so many.

    Raises:
        ValueError: it is nothing of the kind; a share without its counts says nothing of its doubt.
    """
    found = _COUNTS.fullmatch(text.strip())
    if found is None:
        msg = 'write the counts of a study, such as "72/100": a share alone has no interval'
        raise ValueError(msg)
    hits, of = int(found[1]), int(found[2])
    if of == 0 or hits > of:
        msg = "write so many of so many, such as 72/100"
        raise ValueError(msg)
    return hits, of


def _as_counts(text: str) -> str:
    counts(text)
    return text


Counts = Annotated[str, AfterValidator(_as_counts)]
Line = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=300)]


class PerformanceTable(Table):
    """One assay in one study."""

    assay: Line
    """Its id."""
    source: Line
    """Where the counts stand, so that anybody can look them up."""
    sensitivity: Counts
    """Of those who had it, how many came out positive."""
    specificity: Counts
    """Of those who had it not, how many came out negative."""

"""What a site decides about strips that somebody else reads again."""

from __future__ import annotations

from readbell.core.assay.reading_rules import SecondReader
from readbell.core.made_later import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondReaderRule:
    """Which readings of one assay are read again, beside those that its own file names."""

    assay: str = ""
    """Its id; empty: of every assay."""
    when: SecondReader = SecondReader.ALL
    nth: int = 0
    """With `each-nth`: the first of so many."""

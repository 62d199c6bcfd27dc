"""The line that enters a run from paper."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, Annotated, Literal

from pydantic import BeforeValidator, Field

from readbell.core.instant import SECOND, Span
from readbell.core.reading.bands import Bands, LineSeen, Strength, Unreadable
from readbell.scenarios.act_table import Doubt, Name, Seen
from readbell.toml_tables import Table

if TYPE_CHECKING:
    from readbell.core.assay.assay import Assay

USUAL_DOUBT = 60.0
"""Seconds: a clock time on paper is written to the minute."""


def _as_time(written: object) -> datetime:
    try:
        return datetime.fromisoformat(written if isinstance(written, str) else "")
    except ValueError:
        msg = 'write day and clock time of the site, as "2026-03-29T10:02"'
        raise ValueError(msg) from None


ClockTime = Annotated[datetime, BeforeValidator(_as_time)]


class PaperRunLine(Table):
    """Enter a run that was done on paper, with the times that stand there and a witness."""

    do: Literal["enter-paper"]
    by: Name
    operator: Name
    """Who ran it and read it."""
    witness: Name
    cartridge: Name
    person: Name
    lot: Name
    steps: dict[Name, ClockTime]
    """Each step of the assay, and when it was done."""
    read: ClockTime
    give_or_take: Doubt = USUAL_DOUBT
    control: bool | None = None
    test: Seen | dict[str, Seen] | None = None
    unreadable: Annotated[Unreadable, Field(strict=False)] | None = None

    def doubt(self) -> Span:
        """Return how far off each time may be."""
        return Span(round(self.give_or_take * SECOND))

    def bands(self, assay: Assay | None) -> Bands:
        """Return what was seen; a line is named by its key or its printed letter."""
        return Bands(unreadable=self.unreadable, control=self.control, lines=self._lines(assay))

    def _lines(self, assay: Assay | None) -> tuple[LineSeen, ...]:
        if self.test is None:
            return ()
        if isinstance(self.test, Strength):
            # One answer for several lines would be an "all negative": it answers none.
            keys = () if assay is None else assay.line_keys
            only = keys[0] if len(keys) == 1 else ""
            return (LineSeen(line=only, strength=self.test),)
        return tuple(
            LineSeen(line=_key(name, assay), strength=strength)
            for name, strength in self.test.items()
        )


def _key(name: str, assay: Assay | None) -> str:
    line = None if assay is None else assay.line(name)
    return name if line is None else line.key

"""An export was made."""

from __future__ import annotations

from datetime import date

from readbell.core.instant import Instant
from readbell.core.made_later import dataclass
from readbell.core.policy.sending import ReportFormat
from readbell.core.private import Private
from readbell.core.reading.interpretation import Outcome
from readbell.core.results.status import ResultStatus


@dataclass(frozen=True, slots=True, kw_only=True)
class ExportedResult:
    """One result as it left."""

    cartridge: str
    """The opaque id of the cartridge, or of the run on paper."""
    version: int
    """Of the result: a receiver of this one has yet to hear of later ones."""
    status: ResultStatus
    as_correction: bool = False
    """Whether it left as a correction of something final that had left before."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """Which results somebody asked for; whatever is not named is not asked about."""

    since: date | None = None
    """Begun on this day of the site or later."""
    until: date | None = None
    """Begun on this day of the site or sooner."""
    lots: tuple[str, ...] = ()
    assays: tuple[str, ...] = ()
    """Ids."""
    outcomes: tuple[Outcome, ...] = ()
    unsent: bool = False
    """Only those that had not left in this format, or have changed since they did."""


EVERYTHING = Choice()


@dataclass(frozen=True, slots=True, kw_only=True)
class ResultsExported:
    """A file was written and stood in its place. One of many results is several of these."""

    at: Instant
    by: str | None
    """Key of who asked for it; None: nobody said, where nobody has to."""
    export: str
    """Its own opaque id, the same in each part."""
    format: ReportFormat
    count: int
    """How many results are in the file; of a whole record events, of a day sheet cartridges."""
    digest: str
    """SHA-256 of the file, in hexadecimal."""
    where: Private | None
    """The file's name; None where it was not kept, and in every part but the first."""
    choice: Choice
    part: int
    """From 1 on."""
    parts: int
    results: tuple[ExportedResult, ...]
    """Those of this part; none of a form that carries no single results."""

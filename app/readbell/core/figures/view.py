"""What can be looked at of the figures, a table and its picture at a time, and what comes back.

Whoever looks at a board, and the program beside it that counts, speak in these values.
"""

from __future__ import annotations

from enum import StrEnum

from readbell.core.made_later import dataclass


class Sheet(StrEnum):
    """One table, with the picture that belongs to it."""

    RATES = "rates"
    MARKS = "marks"
    """Seen early, faint, repeats, picked, stated."""
    TIMES = "times"
    WAITS = "waits"
    LOAD = "load"
    CHART = "chart"
    """Shares of invalid strips with the limits of chance."""
    POSITIVES = "positives"
    """Shares of positives with the limits of chance."""
    SUM = "sum"
    """The running sum of each lot."""
    SAMPLES = "samples"
    READERS = "readers"
    NEAR = "near"


class By(StrEnum):
    """What cases are told apart by."""

    DAY = "day"
    ASSAY = "assay"
    LOT = "lot"
    OPERATOR = "operator"
    READER = "reader"


class Stretch(StrEnum):
    """Which days are looked at, up to the last one on record."""

    WEEK = "week"
    MONTH = "month"
    QUARTER = "quarter"
    YEAR = "year"
    ALL = "all"


DAYS: dict[Stretch, int | None] = {
    Stretch.WEEK: 7,
    Stretch.MONTH: 28,
    Stretch.QUARTER: 91,
    Stretch.YEAR: 365,
    Stretch.ALL: None,
}
TOLD_APART = frozenset(
    {Sheet.RATES, Sheet.MARKS, Sheet.TIMES, Sheet.WAITS, Sheet.CHART, Sheet.POSITIVES}
)
"""The sheets that are told apart by day, assay, lot, operator or reader."""
DRAWN_BY_ROW = frozenset({Sheet.SUM})
"""The sheets whose picture is of the chosen row."""
DRAWN = frozenset(Sheet) - {Sheet.SAMPLES, Sheet.READERS}
"""The sheets that have a picture."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One table as somebody wants to see it."""

    sheet: Sheet
    by: By
    stretch: Stretch
    wide: int
    """Cells that a row may have."""
    picture: tuple[int, int] | None
    """Columns and rows of the picture; None: there is no room for one."""
    plain_signs: bool
    chosen: str | None = None
    """What the row that is drawn goes by; None: the first."""
    round: int = 0
    """How often it was asked to count anew."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """What there is to see."""

    asked: Asked
    as_of: str
    """When the last event was recorded that is in it, at the site: HH:MM."""
    head: str
    rows: tuple[tuple[str, str], ...]
    """What each goes by, and its cells as one line."""
    notes: tuple[str, ...] = ()
    picture: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Counting:
    """How far it is."""

    what: str
    done: int
    of: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CountFailed:
    """Why there is nothing to see."""

    why: str


Said = Answered | Counting | CountFailed

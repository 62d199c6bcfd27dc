"""When a cartridge of an assay may be read, and which lines it shows."""

from __future__ import annotations

from dataclasses import field
from enum import StrEnum

from readbell.core.instant import Span
from readbell.core.made_later import dataclass
from readbell.core.making import LATER


class SecondReader(StrEnum):
    """Which readings somebody else reads again, inside the same window and unaware of the first."""

    OFF = "off"
    FAINT = "faint"
    """Those on which a test line is faint."""
    EACH_NTH = "each-nth"
    ALL = "all"


@dataclass(frozen=True, slots=True, kw_only=True)
class TestLine:
    """One test line, in the order and with the letter printed on the device."""

    key: str
    mark: str
    name: str
    loinc: str | None = None
    """A code whose source was seen; left out otherwise, and then text alone is exported."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingRules:
    """The instants of the read window, counted from the application."""

    opens: Span
    closes: Span | None
    """Last instant that counts; None where the kit states no upper limit."""
    closing_warning: Span = Span(0)
    """How long before `closes` the window counts as closing."""
    early_from: Span | None = None
    """From here a positive may be seen early; None: the kit gives no such leave."""
    hands_on: Span = Span(15_000)
    control_mark: str = "C"
    lines: tuple[TestLine, ...] = ()
    second_reader: SecondReader = field(default=SecondReader.OFF, metadata=LATER)
    """Which readings the kit's instructions, or whoever adopted them, want read twice."""

"""A temperature becomes part of the record, with the assays it is out of range for."""

from __future__ import annotations

from enum import StrEnum

from readbell.core.instant import Instant
from readbell.core.made_later import dataclass


class Where(StrEnum):
    """Where it was measured."""

    BAY = "bay"
    """At the bench, where the cartridges run."""
    STORE = "store"
    """Where the kits are kept."""


class Source(StrEnum):
    """How the figure came to the record."""

    TYPED = "typed"
    PIPED = "piped"
    """A thermometer's own program said it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TemperatureNoted:
    """So warm it was, there and then."""

    at: Instant
    by: str | None
    """Key of who read the thermometer; None: it spoke for itself."""
    where: Where
    celsius: float
    source: Source
    outside: tuple[str, ...]
    """Content hashes of the adopted assays whose range this leaves."""
    touched: tuple[str, ...]
    """Cartridges of those assays that ran since the last figure in range, by their opaque id."""


class ThermometerFault(StrEnum):
    """What is wrong with a thermometer that should speak for itself."""

    NOT_STARTED = "not-started"
    NO_FIGURE = "no-figure"
    """It printed something that is no temperature."""
    ENDED = "ended"


@dataclass(frozen=True, slots=True, kw_only=True)
class ThermometerFailed:
    """From here on somebody has to read it off, until it speaks again."""

    at: Instant
    where: Where
    fault: ThermometerFault


ClimateEvent = TemperatureNoted | ThermometerFailed

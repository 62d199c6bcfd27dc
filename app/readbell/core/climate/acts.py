"""What may be said about the temperature."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from readbell.core.climate.events import ThermometerFault, Where


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteTemperature:
    """Write down how warm it is."""

    by: str | None = field(repr=False)
    """None: a thermometer's own program says it."""
    where: Where
    celsius: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FailThermometer:
    """Say that a thermometer does not speak for itself any more."""

    by: None = None
    """Nobody: it is the program that notices."""
    where: Where
    fault: ThermometerFault


ClimateAct = NoteTemperature | FailThermometer

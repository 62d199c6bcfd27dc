"""The form on which a temperature is noted."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from readbell.core.assay.check import COLDEST, HOTTEST
from readbell.core.climate.events import Where
from readbell.hand.question import Option
from readbell.phrases.of_climate import PLACES
from readbell.scenarios.climate_lines import TemperatureLine

if TYPE_CHECKING:
    from collections.abc import Mapping

_DEGREES = re.compile(r"[-+]?\d{1,3}(?:[.,]\d{1,2})?", re.ASCII)

ASKED: tuple[tuple[str, str, tuple[Option, ...]], ...] = (
    ("where", "Where it was measured", tuple(Option(each, PLACES[each]) for each in Where)),
    ("celsius", "Degrees Celsius, as the thermometer shows them", ()),
)
"""Key, words and answers of each line of the form."""


def fault_of_degrees(text: str) -> str | None:
    """Say in one sentence what is wrong with `text` as a temperature, or None if nothing is."""
    if _DEGREES.fullmatch(text) is None:
        return f'"{text}" is no temperature. Type degrees Celsius, such as 21.5.'
    if not COLDEST <= degrees_of(text) <= HOTTEST:
        return f"{text} °C is no temperature of a room or a store. Read the thermometer again."
    return None


def degrees_of(text: str) -> float:
    """Return the degrees Celsius that `text` writes; a comma counts as a point."""
    return float(text.replace(",", "."))


def line_of(said: Mapping[str, str], by: str) -> TemperatureLine:
    """Return what a whole form asks of the bay."""
    return TemperatureLine(
        do="note-temperature",
        by=by,
        where=Where(said["where"]),
        celsius=degrees_of(said["celsius"]),
    )

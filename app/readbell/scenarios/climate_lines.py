"""Lines about temperature: how warm it is at the bench or in the store."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from readbell.core.assay.check import COLDEST, HOTTEST
from readbell.core.climate.acts import NoteTemperature
from readbell.core.climate.events import Where
from readbell.scenarios.act_table import Name
from readbell.toml_tables import Table

Degrees = Annotated[float, Field(ge=COLDEST, le=HOTTEST, allow_inf_nan=False)]


class TemperatureLine(Table):
    """Write down how warm it is."""

    do: Literal["note-temperature"]
    by: Name
    where: Annotated[Where, Field(strict=False)] = Where.BAY
    celsius: Degrees

    def to_act(self) -> NoteTemperature:
        """Return what the line asks of the bay."""
        return NoteTemperature(by=self.by, where=self.where, celsius=self.celsius)

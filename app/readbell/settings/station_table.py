"""The tables of a station file, as they are written."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, Field, StringConstraints

from readbell.settings.station_file import HEARS, LONGEST_STATION, is_a_station_name
from readbell.toml_tables import Table


def _station_name(text: str) -> str:
    if not is_a_station_name(text):
        msg = f"use 1 to {LONGEST_STATION} letters that can all be seen"
        raise ValueError(msg)
    return text


class StationTable(Table):
    """The file as it is written."""

    address: Annotated[str, StringConstraints(min_length=1)] = Field(repr=False)
    bay: Annotated[str, StringConstraints(min_length=1)]
    station: Annotated[str, AfterValidator(_station_name)]
    mark: Annotated[str, StringConstraints(pattern=r"^[A-Z]$")]
    hears: Annotated[tuple[Literal["waits", "windows"], ...], Field(strict=False)] = HEARS  # type: ignore[assignment]  # the same two words
    lanes: Annotated[tuple[str, ...], Field(strict=False)] = ()
    sets_policy: bool = False

"""Lines about telling: that somebody was told a result, and what is still to be told."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Literal

from pydantic import Field

from readbell.core.cartridge.events import How
from readbell.core.results.telling import Channel, Hearer
from readbell.scenarios.act_table import Name
from readbell.toml_tables import Table

if TYPE_CHECKING:
    from collections.abc import Mapping


class TellLine(Table):
    """Enter that somebody was told how a result stands."""

    do: Literal["tell"]
    by: Name
    cartridge: Name
    to: Annotated[Hearer, Field(strict=False)]
    how: Annotated[Channel, Field(strict=False)]
    person: Name | None = None
    """The ID, or the second identifier, as whoever is told read it back."""
    person_by: Annotated[How, Field(strict=False)] = How.TYPED
    version: Annotated[int, Field(ge=0)] | None = None
    """Of the result that was told; another one that stands meanwhile is refused."""
    words: Name | None = None
    made: bool = False
    """Of a slip: it was made already, and no other one is to be."""


class ToTellLine(Table):
    """Say what is still to be told."""

    do: Literal["to-tell"]


TELLING_LINES: Mapping[str, type[TellLine | ToTellLine]] = {
    "tell": TellLine,
    "to-tell": ToTellLine,
}
"""By what they ask for."""

"""Lines that ask what lies ahead, and change nothing."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from readbell.scenarios.act_table import Name
from readbell.toml_tables import Table, Time

MOST_BREAKS = 50
NO_STRETCH = 'a break ends after it begins: write "from" before "to", as in "5:00" and "20:00"'


class BreakTable(Table):
    """When an operator will not be at work, both counted from now."""

    operator: Name
    since: Annotated[Time, Field(alias="from")]
    until: Annotated[Time, Field(alias="to")]

    @model_validator(mode="after")
    def _is_a_stretch(self) -> BreakTable:
        if not 0 <= self.since < self.until:
            raise ValueError(NO_STRETCH)
        return self


class NextStartLine(Table):
    """Say when the next person may be begun."""

    do: Literal["next-start"]
    breaks: Annotated[tuple[BreakTable, ...], Field(strict=False, max_length=MOST_BREAKS)] = ()

"""Lines that load a batch plan into a bay, and drop it."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from readbell.core.instant import Span
from readbell.core.starts.acts import DropPlan, LoadPlan
from readbell.core.starts.events import PlannedStart
from readbell.scenarios.act_table import Name
from readbell.toml_tables import Table, Time

MOST_STARTS = 500
MOST_OPERATORS = 20


class StartTable(Table):
    """When one more person is to be begun, counted from now, and by which operator."""

    after: Time
    operator: Annotated[int, Field(ge=1, le=MOST_OPERATORS)]


class LoadPlanLine(Table):
    """Go by this plan from now on; `readbell plan --line` writes it."""

    do: Literal["load-plan"]
    by: Name
    assay: Name
    starts: Annotated[
        tuple[StartTable, ...], Field(strict=False, min_length=1, max_length=MOST_STARTS)
    ]
    ends: Time

    @model_validator(mode="after")
    def _is_in_order(self) -> LoadPlanLine:
        times = [each.after for each in self.starts]
        if times != sorted(times) or self.ends < times[-1]:
            msg = "its starts are not in the order of time, or it ends before them: write it anew"
            raise ValueError(msg)
        return self

    def to_act(self) -> LoadPlan:
        """Return what the line asks of the bay."""
        return LoadPlan(
            by=self.by,
            assay=self.assay,
            starts=tuple(
                PlannedStart(after=Span(each.after), operator=each.operator) for each in self.starts
            ),
            ends=Span(self.ends),
        )


class DropPlanLine(Table):
    """Go by no plan."""

    do: Literal["drop-plan"]
    by: Name

    def to_act(self) -> DropPlan:
        """Return what the line asks of the bay."""
        return DropPlan(by=self.by)


StartsLine = LoadPlanLine | DropPlanLine

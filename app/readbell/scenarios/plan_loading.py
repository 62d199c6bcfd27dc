"""Lines that load a batch plan into a bay, and drop it."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from readbell.core.instant import Span
from readbell.core.starts.acts import DropPlan, LoadPlan
from readbell.core.starts.events import PlannedBreak, PlannedStart
from readbell.scenarios.act_table import Name
from readbell.scenarios.plan_lines import MOST_BREAKS, NO_STRETCH
from readbell.toml_tables import Table, Time

MOST_STARTS = 500
MOST_OPERATORS = 20


class StartTable(Table):
    """When one more person is to be begun, counted from now, and by which operator."""

    after: Time
    operator: Annotated[int, Field(ge=1, le=MOST_OPERATORS)]


class PlannedBreakTable(Table):
    """When an operator of the plan does no work, both counted from now."""

    operator: Annotated[int, Field(ge=1, le=MOST_OPERATORS)]
    since: Annotated[Time, Field(alias="from")]
    until: Annotated[Time, Field(alias="to")]

    @model_validator(mode="after")
    def _is_a_stretch(self) -> PlannedBreakTable:
        if not 0 <= self.since < self.until:
            raise ValueError(NO_STRETCH)
        return self


class LoadPlanLine(Table):
    """Go by this plan from now on; `readbell plan --line` writes it."""

    do: Literal["load-plan"]
    by: Name
    assay: Name
    starts: Annotated[
        tuple[StartTable, ...], Field(strict=False, min_length=1, max_length=MOST_STARTS)
    ]
    ends: Time
    breaks: Annotated[
        tuple[PlannedBreakTable, ...], Field(strict=False, max_length=MOST_BREAKS)
    ] = ()

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
            breaks=tuple(
                PlannedBreak(operator=each.operator, since=Span(each.since), until=Span(each.until))
                for each in sorted(self.breaks, key=lambda each: (each.since, each.operator))
            ),
        )


class DropPlanLine(Table):
    """Go by no plan."""

    do: Literal["drop-plan"]
    by: Name

    def to_act(self) -> DropPlan:
        """Return what the line asks of the bay."""
        return DropPlan(by=self.by)


StartsLine = LoadPlanLine | DropPlanLine

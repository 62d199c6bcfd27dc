"""The `[training]` table of a site's settings: what an attempt has to be before it may count."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from readbell.core.practice.assist import Assist
from readbell.core.rehearsal.passing import PassRule
from readbell.toml_tables import Table

RULE = PassRule()
"""What stands for a key that is left out of the table."""


class TrainingTable(Table):
    """Every key may be left out; a site that has no such table has no rule, and nobody passes."""

    attempts: Annotated[int, Field(ge=1, le=20)] = RULE.attempts
    windows_lost: Annotated[int, Field(ge=0, le=1_000)] = RULE.windows_lost
    went_through: Annotated[int, Field(ge=0, le=1_000)] = RULE.went_through
    refused: Annotated[int, Field(ge=0, le=1_000)] = RULE.refused
    readings_right: Annotated[int, Field(ge=0, le=100)] = RULE.readings_right
    faint_seen: Annotated[int, Field(ge=0, le=100)] = RULE.faint_seen
    least_strips: Annotated[int, Field(ge=1, le=1_000)] = RULE.least_strips
    kappa: Annotated[float, Field(ge=-1, le=1)] | None = RULE.kappa
    most_help: Annotated[Assist, Field(strict=False)] = RULE.most_help
    clears_days: Annotated[int, Field(ge=1, le=3_660)] = RULE.clears_days

    def to_rule(self) -> PassRule:
        """Return the rule."""
        return PassRule(**{name: getattr(self, name) for name in type(self).model_fields})

"""The `[policy]` table of a file: a site's decisions, key by key."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from readbell.core.policy.policy import UNDECIDED, SitePolicy
from readbell.toml_tables import Table


class PolicyTable(Table):
    """Every key may be left out; the settings of a site and a scenario share this table."""

    warn_expiry_days: Annotated[int, Field(ge=0, le=366)] = UNDECIDED.warn_expiry_days

    def to_policy(self) -> SitePolicy:
        """Return the decisions, ready for the record."""
        return SitePolicy(**{name: getattr(self, name) for name in type(self).model_fields})

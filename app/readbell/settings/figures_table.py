"""The `[figures]` table of a site's settings: from when on a lot is out of the ordinary."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Self

from pydantic import Field, model_validator

from readbell.core.figures.watching import (
    BETWEEN_FALSE_ALARMS,
    USUAL_INVALID,
    WORSE_INVALID,
    watch_over_lots,
)
from readbell.toml_tables import Table

if TYPE_CHECKING:
    from readbell.core.statistics.cusum import Watch

Rate = Annotated[float, Field(gt=0, lt=1)]


class FiguresTable(Table):
    """Every key may be left out."""

    usual_invalid: Rate = USUAL_INVALID
    """What share of strips is invalid while all is well."""
    worse_invalid: Rate = WORSE_INVALID
    """What share of them is to be found soon."""
    strips_between_false_alarms: Annotated[int, Field(ge=100, le=1_000_000)] = BETWEEN_FALSE_ALARMS
    """Strips of one lot that pass on average before a good one is flagged, at least."""

    @model_validator(mode="after")
    def _can_be_watched_for(self) -> Self:
        self.to_watch()
        return self

    def to_watch(self) -> Watch:
        """Return what lots are watched by.

        Raises:
            ValueError: what is asked for cannot be watched for.
        """
        found = watch_over_lots(
            self.usual_invalid, self.worse_invalid, self.strips_between_false_alarms
        )
        if found is None:
            msg = (
                "worse_invalid has to lie above usual_invalid, so far that a difference can be "
                "found: as in 0.02 and 0.06"
            )
            raise ValueError(msg)
        return found

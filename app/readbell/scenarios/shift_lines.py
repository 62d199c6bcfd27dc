"""Lines about the shift: it is opened, closed, and its day sheet signed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Literal

from pydantic import Field

from readbell.scenarios.act_table import Name
from readbell.toml_tables import Table

if TYPE_CHECKING:
    from collections.abc import Mapping


class OpenShiftLine(Table):
    """Begin a shift; the checks are made then."""

    do: Literal["open-shift"]
    by: Name
    light: bool = False
    """Whether strips are well lit, as a person sees it."""


class CloseShiftLine(Table):
    """End the running shift."""

    do: Literal["close-shift"]
    by: Name
    why: Name | None = None
    """Wanted where cartridges still run."""


class SignSheetLine(Table):
    """Stand for the day sheet of a closed shift."""

    do: Literal["sign-day-sheet"]
    by: Name
    shift: Annotated[int, Field(ge=1)] | None = None
    """Left out: the oldest that nobody has signed."""


ShiftLine = OpenShiftLine | CloseShiftLine | SignSheetLine

SHIFT_LINES: Mapping[str, type[ShiftLine]] = {
    "open-shift": OpenShiftLine,
    "close-shift": CloseShiftLine,
    "sign-day-sheet": SignSheetLine,
}
"""By what they ask for."""

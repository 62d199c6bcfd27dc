"""What may be asked about the shift."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from datetime import date

    from readbell.core.private import Private
    from readbell.core.shift.checks import Facts


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenShift:
    """Begin a shift with the checks as they now stand."""

    by: str = field(repr=False)
    facts: Facts
    today: date
    """The site's date, against which lots are held."""
    light: bool = False
    """Whether whoever opens says that strips are well lit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CloseShift:
    """End the running shift."""

    by: str = field(repr=False)
    today: date
    words: Private | None = None
    """Why, where cartridges still run."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SignDaySheet:
    """Stand for the day sheet of a closed shift."""

    by: str = field(repr=False)
    head: str
    sequence: int
    number: int | None = None
    """None: the oldest that nobody has signed."""


ShiftAct = OpenShift | CloseShift | SignDaySheet

SHIFT_NAMES: dict[type, str] = {
    OpenShift: "open-shift",
    CloseShift: "close-shift",
    SignDaySheet: "sign-day-sheet",
}
"""What a near miss is recorded under; part of the record, never changed."""

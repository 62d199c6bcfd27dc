"""A shift begins, ends, and is signed for."""

from __future__ import annotations

from readbell.core.instant import Instant
from readbell.core.made_later import dataclass
from readbell.core.private import Private
from readbell.core.shift.checks import Check, Left


@dataclass(frozen=True, slots=True, kw_only=True)
class ShiftOpened:
    """Work begins; the checks stand as they were found then, in order or not."""

    at: Instant
    by: str
    number: int
    """From 1 on, one more for each."""
    checks: tuple[Check, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShiftClosed:
    """Work ends. What has ended gives its labels back; the box at the bench counts as put away."""

    at: Instant
    by: str
    number: int
    left: tuple[Left, ...]
    """Empty: closed clean."""
    words: Private | None = None
    """Why it was closed over cartridges that still run."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DaySheetSigned:
    """A supervisor has looked at the day sheet of a closed shift, and stands for it."""

    at: Instant
    by: str
    number: int
    head: str
    """Hash, in hexadecimal, of the event that the record ended with when it was signed."""
    sequence: int
    """Which event that was."""
    own: bool
    """Own review: nobody else works here."""


ShiftEvent = ShiftOpened | ShiftClosed | DaySheetSigned

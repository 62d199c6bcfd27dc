"""What a virtual cartridge shows as it develops."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.instant import Span
from readbell.core.made_later import dataclass
from readbell.core.reading.bands import Bands, LineSeen, Strength

if TYPE_CHECKING:
    from readbell.core.reading.bands import Unreadable

USUAL_CONTROL_FROM = Span(180_000)
"""When the control line comes if a scenario does not say: 3:00 after the drops."""
WETS_IN = Span(30_000)
"""How long the fluid takes along the strip (our own choice; in life it differs from kit to kit)."""
THOUSANDTHS = 1000


class Shade(StrEnum):
    """How strongly a test line is drawn; a reader has only three words for these four."""

    ABSENT = "absent"
    VERY_FAINT = "very-faint"
    """As weak as a line can be and still be one; it is read as faint."""
    FAINT = "faint"
    CLEAR = "clear"

    @property
    def strength(self) -> Strength:
        """What a reader who sees it rightly enters."""
        return Strength.FAINT if self is Shade.VERY_FAINT else Strength(self.value)


@dataclass(frozen=True, slots=True, kw_only=True)
class Comes:
    """A test line that comes at some time after the drops."""

    line: str
    """Key or printed letter; empty for the only line of a device."""
    start: Span
    strength: Shade


@dataclass(frozen=True, slots=True, kw_only=True)
class Spoilt:
    """From some time after the drops on the strip cannot be read at all."""

    start: Span
    reason: Unreadable


@dataclass(frozen=True, slots=True, kw_only=True)
class Shows:
    """What one virtual cartridge will show, counted from the application."""

    control_from: Span | None = USUAL_CONTROL_FROM
    """None: the control line never comes."""
    tests: tuple[Comes, ...] = ()
    spoilt: Spoilt | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A strip as it is to be drawn at one instant: what the eye is given, and no word for it."""

    control: bool
    lines: tuple[tuple[str, Shade], ...]
    """Each test line by its key, in the order of the device; absent ones too."""
    spoilt: Unreadable | None = None
    """Then the lines are under it: they may be drawn, and nobody can vouch for them."""
    front: int | None = None
    """How far the fluid has run, in thousandths of the strip; None before the drops and once it is wet."""


def drawn_after(shows: Shows, lines: tuple[tuple[str, str], ...], elapsed: Span) -> Drawn:
    """Return what is to be drawn `elapsed` after the application.

    Args:
        shows: what this cartridge shows.
        lines: key and printed letter of each test line of the device, in order.
        elapsed: time since the drops.
    """
    spoilt = shows.spoilt
    return Drawn(
        control=shows.control_from is not None and elapsed >= shows.control_from,
        lines=tuple(
            (key, _shade(shows, (key, mark), elapsed, only=len(lines) == 1)) for key, mark in lines
        ),
        spoilt=spoilt.reason if spoilt is not None and elapsed >= spoilt.start else None,
        front=elapsed * THOUSANDTHS // WETS_IN if 0 < elapsed < WETS_IN else None,
    )


def bands_after(shows: Shows, lines: tuple[tuple[str, str], ...], elapsed: Span) -> Bands:
    """Return the bands that a reader who sees rightly enters `elapsed` after the application.

    Args:
        shows: what this cartridge shows.
        lines: key and printed letter of each test line of the device, in order.
        elapsed: time since the drops.
    """
    drawn = drawn_after(shows, lines, elapsed)
    if drawn.spoilt is not None:
        return Bands(unreadable=drawn.spoilt)
    return Bands(
        control=drawn.control,
        lines=tuple(LineSeen(line=key, strength=shade.strength) for key, shade in drawn.lines),
    )


def came_after(shows: Shows, names: tuple[str, str], *, only: bool) -> Span | None:
    """Return how long after the drops a line comes; None: never.

    Args:
        shows: what this cartridge shows.
        names: key and printed letter of the line.
        only: whether the device has no other test line.
    """
    meant = _meant(shows, names, only=only)
    return min((each.start for each in meant if each.strength is not Shade.ABSENT), default=None)


def _shade(shows: Shows, names: tuple[str, str], elapsed: Span, *, only: bool) -> Shade:
    meant = _meant(shows, names, only=only)
    return next((each.strength for each in meant if elapsed >= each.start), Shade.ABSENT)


def _meant(shows: Shows, names: tuple[str, str], *, only: bool) -> list[Comes]:
    """Return what is said of one line: by its key or letter, or by nothing where it is the only one."""
    return [each for each in shows.tests if each.line in names or (only and not each.line)]

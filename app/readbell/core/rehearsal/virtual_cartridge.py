"""What a virtual cartridge shows as it develops."""

from __future__ import annotations

from dataclasses import dataclass

from readbell.core.instant import Span
from readbell.core.reading.bands import Bands, LineSeen, Strength

USUAL_CONTROL_FROM = Span(180_000)
"""When the control line comes if a scenario does not say: 3:00 after the drops."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Comes:
    """A test line that comes at some time after the drops."""

    line: str
    """Key or printed letter; empty for the only line of a device."""
    start: Span
    strength: Strength


@dataclass(frozen=True, slots=True, kw_only=True)
class Shows:
    """What one virtual cartridge will show, counted from the application."""

    control_from: Span | None = USUAL_CONTROL_FROM
    """None: the control line never comes."""
    tests: tuple[Comes, ...] = ()


def bands_after(shows: Shows, lines: tuple[tuple[str, str], ...], elapsed: Span) -> Bands:
    """Return the bands to be seen `elapsed` after the application.

    Args:
        shows: what this cartridge shows.
        lines: key and printed letter of each test line of the device, in order.
        elapsed: time since the drops.
    """
    return Bands(
        control=shows.control_from is not None and elapsed >= shows.control_from,
        lines=tuple(
            LineSeen(
                line=key,
                strength=_strength(shows, (key, mark), elapsed, only=len(lines) == 1),
            )
            for key, mark in lines
        ),
    )


def _strength(shows: Shows, names: tuple[str, str], elapsed: Span, *, only: bool) -> Strength:
    for comes in shows.tests:
        is_meant = comes.line in names or (only and not comes.line)
        if is_meant and elapsed >= comes.start:
            return comes.strength
    return Strength.ABSENT

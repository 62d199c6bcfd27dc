"""Points and stretches of time, in whole milliseconds.

An `Instant` lies on the bay's own time line: it advances with the clock that
counts sleep, and is therefore safe to subtract. Two instants of one bay may
always be compared, whatever happened to the wall clock between them.
"""

from __future__ import annotations

from typing import NewType

Instant = NewType("Instant", int)
"""Milliseconds on the bay's time line (about UTC since 1970, never stepped)."""

Span = NewType("Span", int)
"""A length of time in milliseconds."""

SECOND = Span(1_000)
MINUTE = Span(60_000)
HOUR = Span(3_600_000)
DAY = Span(86_400_000)
"""So long, whatever the calendar of a place makes of one of its days."""


# To name the type by a call costs more than the sum, and this is asked a million times.


def between(start: Instant, end: Instant) -> Span:
    """Return the span from `start` to `end`; negative if `end` is earlier."""
    return end - start  # type: ignore[return-value]


def later(start: Instant, span: Span) -> Instant:
    """Return the instant that lies `span` after `start`."""
    return start + span  # type: ignore[return-value]


def earlier(end: Instant, span: Span) -> Instant:
    """Return the instant that lies `span` before `end`."""
    return end - span  # type: ignore[return-value]


def seconds(span: Span) -> float:
    """Return `span` in seconds, milliseconds as decimals."""
    return span / SECOND


def whole_seconds_left(now: Instant, due: Instant) -> int:
    """Count down to `due` in seconds, rounded up.

    Rounding up keeps one promise: 0 is never shown while there is time left.
    Past `due` the count is the seconds gone by since, rounded down and negative.
    """
    return -((now - due) // SECOND)

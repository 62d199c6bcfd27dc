"""How people write a span of time: 0:45, 15:00, 14:59.999, 1:30:00."""

from __future__ import annotations

import re

from readbell.core.instant import HOUR, MINUTE, SECOND, Span

_WRITTEN = re.compile(
    r"(?:(?P<hours>\d{1,9}):(?P<of_hour>[0-5]?\d)|(?P<minutes>\d{1,9})):(?P<seconds>[0-5]\d)"
    r"(?:\.(?P<thousandths>\d{1,3}))?",
    re.ASCII,
)


def read_span(text: str) -> Span | None:
    """Return the span that `text` writes as [h:]mm:ss[.mmm], or None if it writes none."""
    found = _WRITTEN.fullmatch(text)
    if found is None:
        return None
    minutes = found["minutes"] or found["of_hour"]
    thousandths = (found["thousandths"] or "").ljust(3, "0")
    return Span(
        int(found["hours"] or 0) * HOUR
        + int(minutes) * MINUTE
        + int(found["seconds"]) * SECOND
        + int(thousandths)
    )


def write_span(span: Span) -> str:
    """Return `span` as m:ss, or h:mm:ss from an hour on; milliseconds only if there are any."""
    sign = "-" if span < 0 else ""
    hours, rest = divmod(abs(span), HOUR)
    minutes, rest = divmod(rest, MINUTE)
    whole, thousandths = divmod(rest, SECOND)
    tail = f".{thousandths:03d}" if thousandths else ""
    if hours:
        return f"{sign}{hours}:{minutes:02d}:{whole:02d}{tail}"
    return f"{sign}{minutes}:{whole:02d}{tail}"


def write_elapsed(span: Span) -> str:
    """Return time gone by in whole seconds, rounded to nothing: none is claimed that is not there."""
    whole = abs(span) // SECOND * SECOND
    return write_span(Span(whole if span >= 0 else -whole))


def write_left(span: Span) -> str:
    """Return time left in whole seconds, rounded up: 0:00 is never shown before the deadline."""
    return write_span(Span(-(-span // SECOND) * SECOND))

"""How tests write scenario files: times, values and tables as TOML."""

from __future__ import annotations

import json
from datetime import date
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping


def clock(at: int) -> str:
    """Write milliseconds as `mm:ss(.mmm)` below the hour, `h:mm:ss(.mmm)` from there."""
    rest = f".{at % 1000:03}" if at % 1000 else ""
    seconds = at // 1000
    if seconds < 3600:
        return f"{seconds // 60:02}:{seconds % 60:02}{rest}"
    return f"{seconds // 3600}:{seconds // 60 % 60:02}:{seconds % 60:02}{rest}"


def millis(text: str) -> int:
    """Read `h:mm:ss` or `mm:ss`, with or without `.mmm`, as milliseconds."""
    whole, _, fraction = text.partition(".")
    seconds = 0
    for part in whole.split(":"):
        seconds = seconds * 60 + int(part)
    return seconds * 1000 + int(fraction.ljust(3, "0") or "0")


def value(thing: Any) -> str:
    """Write one TOML value on one line."""
    if isinstance(thing, dict):
        return "{ " + ", ".join(f"{key} = {value(one)}" for key, one in thing.items()) + " }"
    if isinstance(thing, date):
        return thing.isoformat()
    return json.dumps(thing)


def table(named: Mapping[str, Any]) -> Iterator[str]:
    """Yield the lines of one table."""
    for key, one in named.items():
        yield f"{key} = {value(one)}"

"""A series of labels: C101, C102 and so on, as they are stuck on cartridges."""

from __future__ import annotations

import re

from readbell.core.made_later import dataclass

MOST = 1_000
"""Labels of one series (our own choice)."""
LONGEST = 24
"""Signs of a label that still has a code small enough for a cartridge (our own choice)."""
_PARTS = re.compile(r"(.*?)([0-9]+)", re.ASCII)


@dataclass(frozen=True, slots=True)
class SeriesFault:
    """Why there is no such series."""

    why: str


def series(first: str, count: int) -> tuple[str, ...] | SeriesFault:
    """Return `count` labels from `first` on; its last number is counted up and keeps its width."""
    if not 1 <= count <= MOST:
        return SeriesFault(f"{count} labels cannot be made at once: ask for 1 to {MOST}")
    parts = _PARTS.fullmatch(first)
    if parts is None:
        return SeriesFault(f"{first!r} ends with no number to count up: begin with one, as C101")
    before, number = parts.groups()
    made = tuple(f"{before}{int(number) + each:0{len(number)}d}" for each in range(count))
    return fault_of_label(made[-1]) or made


def fault_of_label(text: str) -> SeriesFault | None:
    """Say why `text` is not printed as a code, or None.

    Code 128 and most scanners are sure of the letters of ASCII alone.
    """
    if not text.isascii() or not text.isprintable() or text != text.strip() or not text:
        return SeriesFault(
            f"{text!r} has signs that not every scanner reads: use letters, digits and - . / alone"
        )
    if len(text) > LONGEST:
        return SeriesFault(f"{text!r} is longer than {LONGEST} signs: take a shorter one")
    return None

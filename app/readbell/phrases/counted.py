"""Numbers in words that go with them."""

from __future__ import annotations


def counted(many: int, one: str, several: str = "") -> str:
    """Return so many of something: 1 strip, 2 strips; 1 person, 2 people."""
    return f"{many} {one if many == 1 else several or one + 's'}"

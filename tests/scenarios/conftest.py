"""A small scenario with one of each table, to be changed by one thing at a time."""

from __future__ import annotations

from typing import Protocol

import pytest

HEAD = """\
title = "A morning"
starts = 2026-03-29T00:40:00+00:00
timezone = "Europe/London"
assay = "respiratory-antigen-nasal"

"""
REST = """\
[[operator]]
id = "op-1"

[[lot]]
number = "L-100"
expires = 2026-12-31
units = 20

[[person]]
id = "P-001"
arrives = "0:05"
[person.bands]
control = "3:00"
test = { from = "6:30", strength = "faint" }

[[act]]
at = "0:10"
by = "op-1"
do = "label"
cartridge = "C1"
person = "P-001"
lot = "L-100"

[[act]]
at = "0:30"
by = "op-1"
do = "step"
cartridge = "C1"
step = "buffer"
"""
WHOLE = HEAD + REST


class Changed(Protocol):
    """Gives the whole file with one thing changed."""

    def __call__(self, old: str = "", new: str = "", *, more: str = "") -> str:
        """Change `old` to `new`, and add `more` at the end."""


@pytest.fixture
def changed() -> Changed:
    """Return what changes the file."""

    def change(old: str = "", new: str = "", *, more: str = "") -> str:
        assert old in WHOLE, old
        return WHOLE.replace(old, new, 1) + more

    return change


@pytest.fixture
def head() -> str:
    """The file up to its first table."""
    return HEAD

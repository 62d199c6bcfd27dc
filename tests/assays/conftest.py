"""Assay files written for one test each: the bundled nasal one with something changed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

import pytest

from readbell.assays.library import BUNDLED

if TYPE_CHECKING:
    from pathlib import Path

NASAL_FILE = BUNDLED / "respiratory-antigen-nasal.toml"


class Writing(Protocol):
    """Writes the nasal assay with pairs of old and new words, and returns the file."""

    def __call__(self, *changes: tuple[str, str], name: str = "own.toml") -> Path:
        """Write the file."""


@pytest.fixture
def write_assay(tmp_path: Path) -> Writing:
    """Return the writer of changed assay files."""

    def write(*changes: tuple[str, str], name: str = "own.toml") -> Path:
        text = NASAL_FILE.read_text(encoding="utf-8")
        for old, new in changes:
            assert old in text, old
            text = text.replace(old, new, 1)
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return path

    return write

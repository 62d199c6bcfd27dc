"""The version of the program; it stands in pyproject.toml and nowhere else."""

from __future__ import annotations

from importlib.metadata import PackageNotFoundError, version


def program_version() -> str:
    """Return the installed version, or "unpacked" for a copy that was never installed."""
    try:
        return version("readbell")
    except PackageNotFoundError:
        return "unpacked"

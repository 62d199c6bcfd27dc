"""Where a computer keeps the programs of a PostgreSQL server, if it has any."""

from __future__ import annotations

import shutil
from pathlib import Path

DEBIAN = Path("/usr/lib/postgresql")
"""Debian and its kin keep each version in a folder of its own here, and none on the path."""
WANTED = ("initdb", "pg_ctl", "postgres")


def server_programs() -> Path | None:
    """Return the folder with the programs of the newest server that is installed, or None."""
    found = shutil.which("pg_ctl")
    near = [] if found is None else [Path(found).resolve().parent]
    versions = sorted(
        (each for each in DEBIAN.glob("*/bin") if each.parent.name.isdecimal()),
        key=lambda each: int(each.parent.name),
        reverse=True,
    )
    whole = (each for each in [*versions, *near] if all((each / name).exists() for name in WANTED))
    return next(whole, None)

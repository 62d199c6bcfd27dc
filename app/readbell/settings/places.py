"""Where this computer keeps a program's records and a site's own files."""

from __future__ import annotations

import platform
from typing import TYPE_CHECKING

import platformdirs

if TYPE_CHECKING:
    from pathlib import Path

PROGRAM = "readbell"
JOURNAL_NAME = "bay.journal"


def default_journal() -> Path:
    """Return where the journal stands when nobody names another place."""
    return platformdirs.user_data_path(PROGRAM) / JOURNAL_NAME


def spill_folders() -> tuple[Path, ...]:
    """Return where acts go when the journal's own folder cannot be written."""
    return (
        platformdirs.user_state_path(PROGRAM),
        platformdirs.user_cache_path(PROGRAM),
    )


def assay_folder() -> Path:
    """Return the folder of a site's own assay files."""
    return platformdirs.user_config_path(PROGRAM) / "assays"


def station_name() -> str:
    """Return what this computer is called."""
    return platform.node() or "station"

"""Where this computer keeps a program's records and a site's own files."""

from __future__ import annotations

import platform
from pathlib import Path

import platformdirs

PROGRAM = "readbell"
JOURNAL_NAME = "bay.journal"
STATION_NAME = "bay.station"
LOCAL_TIME = Path("/etc/localtime")
"""On most systems a link to the rules of the zone, under its name."""
SETTINGS_NAME = "settings.toml"


def default_journal() -> Path:
    """Return where the journal stands when nobody names another place.

    On a computer that joined a shared bay that is its station file.
    """
    station = default_station_file()
    return station if station.exists() else platformdirs.user_data_path(PROGRAM) / JOURNAL_NAME


def default_station_file() -> Path:
    """Return where a computer keeps what it has of a shared bay."""
    return platformdirs.user_data_path(PROGRAM) / STATION_NAME


def spill_folders() -> tuple[Path, ...]:
    """Return where acts go when the journal's own folder cannot be written."""
    return (
        platformdirs.user_state_path(PROGRAM),
        platformdirs.user_cache_path(PROGRAM),
    )


def assay_folder() -> Path:
    """Return the folder of a site's own assay files."""
    return platformdirs.user_config_path(PROGRAM) / "assays"


def settings_file() -> Path:
    """Return where a site says how it wants the program to be."""
    return platformdirs.user_config_path(PROGRAM) / SETTINGS_NAME


def local_time_zone() -> str:
    """Return the name of the computer's own time zone, or UTC where the system does not say."""
    try:
        written = LOCAL_TIME.readlink()
    except OSError:
        return "UTC"
    _, found, name = written.as_posix().partition("/zoneinfo/")
    return name if found else "UTC"


def station_name() -> str:
    """Return what this computer is called."""
    return platform.node() or "station"

"""Say what this computer gives a bay: clocks, disk, database, places."""

from __future__ import annotations

import platform
import shutil
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import DONE

if TYPE_CHECKING:
    import argparse

MEGABYTE = 1024 * 1024


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("doctor", help=__doc__, description=__doc__)
    parser.add_argument("--journal", type=Path, metavar="FILE", help="default: this computer's own")
    parser.set_defaults(run=run, opens_journal=False)


def run(options: argparse.Namespace) -> int:
    """Print one line for each thing a bay depends on."""
    from readbell.clock.system import SystemClock, describe
    from readbell.journal.disk import doubt_about
    from readbell.journal.sqlite import describe_engine
    from readbell.settings.places import (
        assay_folder,
        default_journal,
        settings_file,
        spill_folders,
    )
    from readbell.settings.version import program_version

    journal = options.journal or default_journal()
    there = next(place for place in (journal, *journal.parents) if place.exists())
    free = shutil.disk_usage(there).free // MEGABYTE
    known = SystemClock().read().wall_is_known
    file = settings_file()
    lines = (
        ("program", f"readbell {program_version()}, Python {platform.python_version()}"),
        ("database", describe_engine()),
        ("clock", describe()),
        ("wall clock", "set right" if known else "not synchronised; see to it before a restart"),
        ("journal", f"{journal} ({_state(journal)})"),
        ("disk", doubt_about(journal) or f"{free} MB free, a disk of this computer"),
        ("spills to", ", ".join(str(folder) for folder in spill_folders())),
        ("own assays", str(assay_folder())),
        ("settings", f"{file} ({_settings(file)})"),
        ("keeping", _keeping()),
        ("sound", _sound(file)),
    )
    for name, words in (*lines, *_station(journal)):
        print(f"{name:12}{words}")
    return DONE


def _state(journal: Path) -> str:
    """Say whether a journal is there, and whether it is under a passphrase; it is not opened."""
    from readbell.journal.locked import PLAIN, is_locked
    from readbell.settings.station_file import is_station_file

    if not journal.exists():
        return "not there yet"
    if not journal.is_file():
        return "no file: nothing can be kept there"
    if is_station_file(journal):
        return "there: a station of a shared bay"
    if is_locked(journal):
        return "there, locked: under a passphrase"
    try:
        with journal.open("rb") as file:
            begins = file.read(len(PLAIN))
    except OSError as error:
        return f"there, and cannot be read: {error.strerror}"
    return "there, not locked" if begins in (PLAIN, b"") else "there, and no journal"


def _station(path: Path) -> tuple[tuple[str, str], ...]:
    """Say how the link to the server of a shared bay is; nothing of a bay of one's own."""
    from readbell.settings.station_file import is_station_file, mirror_of, read_station_file
    from readbell.toml_tables import WrongFileError

    if not is_station_file(path):
        return ()
    from readbell.stations.opening import look_at_link

    try:
        file = read_station_file(path)
    except WrongFileError as error:
        return (("station", f"wrong: {error}"),)
    return (
        ("station", f"{file.station}, mark {file.mark}, of bay {file.bay}"),
        ("server", look_at_link(file)),
        ("mirror", f"{mirror_of(path)} ({_state(mirror_of(path))})"),
    )


def _keeping() -> str:
    from readbell.settings.own_facts import keep_days

    days = keep_days()
    if not days:
        return "the site has not said for how long names are kept"
    return f"names for {days} days; the opening checks say when an erasing is due"


def _settings(file: Path) -> str:
    from readbell.settings.site_settings import read_settings
    from readbell.toml_tables import WrongFileError

    if not file.exists():
        return "not there: all is as it comes"
    try:
        read_settings(file)
    except WrongFileError as error:
        return f"wrong: {error}"
    return "there"


def _sound(file: Path) -> str:
    from readbell.assembly import alarm_of
    from readbell.settings.site_settings import read_settings
    from readbell.toml_tables import WrongFileError

    try:
        site = read_settings(file)
    except WrongFileError:
        return "unknown until the settings are mended"
    alarm = alarm_of(site)
    can_sound, has_bell = alarm.can_sound, alarm.has_bell
    alarm.close()
    if not can_sound:
        return "none: no terminal to ring, and no sound command"
    bell = "the terminal's bell" if has_bell else "no bell"
    command = f"and runs {site.sound_command[0]}" if site.sound_command else "and no sound command"
    return f"{bell} {command}; test it where you work"

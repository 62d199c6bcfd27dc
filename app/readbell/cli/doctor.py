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
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Print one line for each thing a bay depends on."""
    from readbell.clock.system import SystemClock, describe
    from readbell.journal.disk import doubt_about
    from readbell.journal.sqlite import describe_engine
    from readbell.settings.places import assay_folder, default_journal, spill_folders
    from readbell.settings.version import program_version

    journal = options.journal or default_journal()
    there = next(place for place in (journal, *journal.parents) if place.exists())
    free = shutil.disk_usage(there).free // MEGABYTE
    known = SystemClock().read().wall_is_known
    lines = (
        ("program", f"readbell {program_version()}, Python {platform.python_version()}"),
        ("database", describe_engine()),
        ("clock", describe()),
        ("wall clock", "set right" if known else "not synchronised; see to it before a restart"),
        ("journal", f"{journal} ({'there' if journal.exists() else 'not there yet'})"),
        ("disk", doubt_about(journal) or f"{free} MB free, a disk of this computer"),
        ("spills to", ", ".join(str(folder) for folder in spill_folders())),
        ("own assays", str(assay_folder())),
    )
    for name, words in lines:
        print(f"{name:12}{words}")
    return DONE

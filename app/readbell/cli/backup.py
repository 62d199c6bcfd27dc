"""Write a checked copy of a journal, also while a bay is using it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import DONE

if TYPE_CHECKING:
    import argparse


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("backup", help=__doc__, description=__doc__)
    parser.add_argument("--journal", type=Path, metavar="FILE", help="default: this computer's own")
    parser.add_argument("--to", type=Path, required=True, metavar="FILE", help="a new file")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Copy the journal out."""
    from readbell.cli.progress import Progress
    from readbell.journal.copies import copy_journal
    from readbell.journal.pin_file import PinFile, pins_beside
    from readbell.settings.places import default_journal, spill_folders
    from readbell.settings.station_file import record_of

    journal = options.journal or default_journal()
    with Progress() as progress:
        head = copy_journal(
            record_of(journal), options.to, spill_folders(), named=journal, tell=progress.tell
        )
    print(f"{options.to}: whole copy of {head.seq} events, head {head.hex}")
    pins = PinFile(pins_beside(options.to))
    if PinFile(pins_beside(journal.resolve())).copy_to(pins):
        print(f"{pins.path}: the hashes of the PINs; keep it where nobody else can read it")
    return DONE

"""Bring a backup back as a journal, where no journal stands."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import DONE

if TYPE_CHECKING:
    import argparse

OF_STATION = (
    "leave its files where they are, and bring the backup back as a journal of its own with "
    "--journal FILE; `readbell journal copy` takes that to a server"
)


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("restore", help=__doc__, description=__doc__)
    parser.add_argument("--from", dest="backup", type=Path, required=True, metavar="FILE")
    parser.add_argument("--journal", type=Path, metavar="FILE", help="default: this computer's own")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Copy the backup in."""
    from readbell.assembly import ready_place
    from readbell.cli.of_station import refuse_station
    from readbell.cli.policy_kept import say_other_policy
    from readbell.cli.progress import Progress
    from readbell.journal.copies import copy_journal
    from readbell.journal.pin_file import PinFile, pins_beside
    from readbell.settings.places import default_journal

    target = options.journal or default_journal()
    refuse_station(target, OF_STATION)
    target = ready_place(target)
    with Progress() as progress:
        head = copy_journal(options.backup, target, tell=progress.tell)
    print(f"{target}: restored {head.seq} events, head {head.hex}")
    pins = PinFile(pins_beside(target))
    if PinFile(pins_beside(options.backup)).copy_to(pins):
        print(f"{pins.path}: the PINs are back as well")
    otherwise = say_other_policy(target)
    if otherwise is not None:
        print(otherwise)
    return DONE

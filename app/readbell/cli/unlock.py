"""Take the passphrase of a journal away: its file can be read by whoever has it then."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import DONE

if TYPE_CHECKING:
    import argparse

OF_STATION = "it has no passphrase here that could be taken away; nothing was done"


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("unlock", help=__doc__, description=__doc__)
    parser.add_argument("--journal", type=Path, metavar="FILE", help="default: this computer's own")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Unlock it."""
    from readbell.cli.of_station import refuse_station
    from readbell.cli.private_memory import keep_memory_private
    from readbell.journal.errors import JournalError
    from readbell.journal.locking import unlock_journal
    from readbell.settings.places import default_journal, spill_folders

    keep_memory_private()
    refuse_station(options.journal or default_journal(), OF_STATION)
    journal = options.journal or default_journal()
    if not journal.is_file():
        msg = f"{journal}: there is no journal: check the name"
        raise JournalError(msg)
    end = unlock_journal(journal.resolve(), spill_folders())
    print(f"{journal}: not locked any more. {end.seq} events, head {end.hex}")
    return DONE

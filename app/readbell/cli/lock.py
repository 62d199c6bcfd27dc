"""Put a journal under a passphrase; a new one where there is none."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import DONE

if TYPE_CHECKING:
    import argparse

OF_STATION = "ask its administrator to encrypt that disk, and encrypt this computer's own"
STAYS_PLAIN = (
    "Kept in plain beside it: the hashes of the PINs, which name nobody. Old backups are as they "
    "were, and a disk may still hold old bytes of the file. While the journal cannot be written, "
    "acts go into a file beside it that is under the same passphrase."
)


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("lock", help=__doc__, description=__doc__)
    parser.add_argument("--journal", type=Path, metavar="FILE", help="default: this computer's own")
    parser.add_argument(
        "--lost-is-lost",
        action="store_true",
        help="say beforehand that a lost passphrase means a lost record; a script has to",
    )
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Lock it, and say what stays in plain."""
    from readbell.assembly import ready_place
    from readbell.cli.of_station import refuse_station
    from readbell.cli.passphrase import choose
    from readbell.cli.private_memory import keep_memory_private
    from readbell.journal.errors import JournalError
    from readbell.journal.locked import is_locked
    from readbell.journal.locking import lock_journal
    from readbell.settings.places import default_journal, spill_folders

    keep_memory_private()
    refuse_station(options.journal or default_journal(), OF_STATION)
    journal = ready_place(options.journal or default_journal())
    if is_locked(journal):
        msg = f"{journal}: it is locked already: nothing was done"
        raise JournalError(msg)
    passphrase = choose(journal, knows=options.lost_is_lost)
    end = lock_journal(journal, passphrase, spill_folders())
    print(f"{journal}: locked. {end.seq} events, head {end.hex}")
    print(STAYS_PLAIN)
    return DONE

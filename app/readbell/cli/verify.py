"""Check that a journal is whole: every event, its hash, and the identifiers beside it."""

from __future__ import annotations

import json
import sys
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import BROKEN, DONE

if TYPE_CHECKING:
    import argparse


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("verify", help=__doc__, description=__doc__)
    parser.add_argument("--journal", type=Path, metavar="FILE", help="default: this computer's own")
    parser.add_argument(
        "--head",
        metavar="HASH",
        help="also check that this hash, noted earlier, is still part of it",
    )
    parser.add_argument("--json", action="store_true", help="one JSON object on standard output")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Verify the journal and say what was found."""
    from readbell.journal.continuation import lying_beside
    from readbell.journal.errors import BrokenChainError, JournalError, NewerJournalError
    from readbell.journal.sqlite import SqliteJournal
    from readbell.journal.verify import verify
    from readbell.settings.places import default_journal, spill_folders

    path = options.journal or default_journal()
    if not path.is_file():
        msg = f"{path}: there is no journal: check the name"
        raise JournalError(msg)
    fault: str | None = None
    seq: int | None = None
    found = None
    beside: list[Path] = []
    try:
        with closing(SqliteJournal.open(path, read_only=True)) as journal:
            found = verify(journal)
            damage = journal.damage(thorough=True)
            beside = lying_beside(journal, path.resolve(), spill_folders())
        if damage is not None:
            fault = f"the file is damaged ({damage}): restore a backup"
        elif options.head is not None and options.head.lower() not in found.heads_seen:
            fault = f"head {options.head} is not part of it: events were taken off its end"
    except BrokenChainError as error:
        fault, seq = str(error), error.seq
    except NewerJournalError:
        raise
    except JournalError as error:
        fault = str(error)
    whole = fault is None
    if options.json:
        print(
            json.dumps(
                {
                    "journal": str(path),
                    "whole": whole,
                    "fault": fault,
                    "event": seq,
                    "events": None if found is None else found.head.seq,
                    "head": None if found is None else found.head.hex,
                    "beside": [str(file) for file in beside],
                }
            )
        )
    elif whole and found is not None:
        mode = "" if found.board.founded is None else f", {found.board.founded.mode}"
        print(f"{path}: whole. {found.head.seq} events{mode}, head {found.head.hex}")
        for file in beside:
            print(f"{path}: more events lie beside it in {file}: open the bay to join them")
    else:
        print(f"{path}: broken: {fault}", file=sys.stderr)
    return DONE if whole else BROKEN

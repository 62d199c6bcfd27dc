"""Where the record stands: prepare a server for shared bays, copy a record there or back, try it out."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import DONE

if TYPE_CHECKING:
    import argparse

PREPARE = "make the tables and the role of the stations; an administrator of the server does"
COPY = "copy a whole record between a file and a server, while nobody writes to it"
TRIAL = "run a PostgreSQL of one's own in a folder, for this user on this computer alone"


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("journal", help=__doc__, description=__doc__)
    deeds = parser.add_subparsers(required=True, metavar="WHAT")
    prepare = deeds.add_parser("prepare", help=PREPARE, description=f"{PREPARE.capitalize()}.")
    prepare.add_argument(
        "address",
        nargs="?",
        metavar="ADDRESS",
        help="postgresql://ADMINISTRATOR@HOST:PORT/DATABASE",
    )
    prepare.add_argument("--app-role", metavar="NAME", help="default: readbell_station")
    prepare.add_argument(
        "--sql", action="store_true", help="print the SQL of it instead, for an administrator"
    )
    prepare.set_defaults(run=_prepare)
    copy = deeds.add_parser("copy", help=COPY, description=f"{COPY.capitalize()}.")
    copy.add_argument(
        "source", metavar="FROM", help="a journal, a station file, or ADDRESS?bay=NAME"
    )
    copy.add_argument("target", metavar="TO", help="a new file, or ADDRESS?bay=NAME")
    copy.add_argument("--json", action="store_true", help="one JSON object on standard output")
    copy.set_defaults(run=_copy)
    trial = deeds.add_parser("trial", help=TRIAL, description=f"{TRIAL.capitalize()}.")
    trial.add_argument("folder", type=Path, metavar="FOLDER", help="a new folder, or one of before")
    trial.add_argument(
        "--port", type=int, metavar="N", help="default: the one it had, or a free one"
    )
    trial.add_argument("--json", action="store_true", help="one JSON object a line")
    trial.set_defaults(run=_trial)


def _prepare(options: argparse.Namespace) -> int:
    from readbell.cli.journal_prepare import prepare_server, print_sql
    from readbell.journal.errors import JournalError
    from readbell.journal.postgres_schema import DEFAULT_ROLE

    role: str = options.app_role or DEFAULT_ROLE
    if options.sql:
        print_sql(role)
    elif options.address is None:
        msg = "say where: readbell journal prepare postgresql://ADMINISTRATOR@HOST:PORT/DATABASE"
        raise JournalError(msg)
    else:
        prepare_server(options.address, role)
    return DONE


def _copy(options: argparse.Namespace) -> int:
    from readbell.cli.journal_copy import copy

    return copy(options.source, options.target, as_json=options.json)


def _trial(options: argparse.Namespace) -> int:
    from readbell.cli.journal_trial import run_trial

    return run_trial(options.folder, options.port, as_json=options.json)

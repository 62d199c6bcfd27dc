"""The command `readbell`: one file for each of its commands.

Heavy parts are imported by the command that needs them, so that a question such
as --version is answered at once; and of the commands only the one that is asked for.
"""

from __future__ import annotations

import argparse
import io
import os
import sys
import threading
import traceback
from importlib import import_module
from typing import TYPE_CHECKING

from readbell.cli.command_line import CommandLine
from readbell.cli.ending import give_closed_streams, give_up_output, is_of_output
from readbell.cli.exit_codes import FAILED, INTERRUPTED
from readbell.cli.spelt_out import spelt_out
from readbell.cli.starting import starting
from readbell.core.errors import ReadbellError

if TYPE_CHECKING:
    from collections.abc import Sequence

OWNER_ONLY = 0o077
COMMANDS = (
    "board",
    "rehearse",
    "scenario",
    "debrief",
    "bay",
    "watch",
    "operator",
    "lot",
    "labels",
    "paper",
    "shift",
    "daysheet",
    "export",
    "figures",
    "tell",
    "slip",
    "review",
    "temperature",
    "capacity",
    "plan",
    "meaning",
    "quality",
    "assay",
    "trace",
    "archive",
    "erase",
    "verify",
    "lock",
    "unlock",
    "backup",
    "restore",
    "join",
    "journal",
    "doctor",
)
"""In the order in which the help names them; each is the name of its file."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status."""
    os.umask(OWNER_ONLY)
    starting()
    give_closed_streams()
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # A letter that this terminal has not must not end the program.
            stream.reconfigure(errors="backslashreplace")
    threading.excepthook = _tell_of_thread
    given = sys.argv[1:] if arguments is None else arguments
    options = parser(next(iter(given), None)).parse_args(given)
    try:
        _give_passphrases(options)
        status: int = options.run(options)
        sys.stdout.flush()
    except ReadbellError as error:
        print(spelt_out(_told(error, options)), file=sys.stderr)
        return error.exit_status
    except BrokenPipeError:
        # Whoever read our output has gone; there is nobody left to tell.
        give_up_output()
        return FAILED
    except KeyboardInterrupt:
        return INTERRUPTED
    except Exception as error:  # noqa: BLE001  # the outer edge: told in full, but without values
        if not is_of_output(error):
            _tell_of_crash(error)
            return FAILED
        give_up_output()
        print(
            f"standard output: {error.strerror}: what was still to be told there is "
            "lost and nothing else; make room, or send it elsewhere",
            file=sys.stderr,
        )
        return FAILED
    return status


def _told(error: ReadbellError, options: argparse.Namespace) -> str:
    """Return what is told of `error`: a mirror of a record is mended otherwise than a record."""
    from readbell.journal.errors import BrokenChainError

    given = getattr(options, "journal", None)
    if isinstance(error, BrokenChainError) and not isinstance(given, list):
        from readbell.cli.of_station import of_mirror
        from readbell.settings.places import default_journal

        return of_mirror(str(error), given or default_journal())
    return str(error)


def _give_passphrases(options: argparse.Namespace) -> None:
    """Ask for what opens a locked journal now: once a board stands nobody could be asked."""
    from readbell.settings.places import default_journal
    from readbell.settings.station_file import is_station_file

    opens = getattr(options, "opens_journal", True)
    for name in ("journal", "backup"):
        if opens and hasattr(options, name):
            given = getattr(options, name) or default_journal()
            for journal in given if isinstance(given, list) else [given]:
                if is_station_file(journal):
                    from readbell.cli.of_station import come_up_to_date

                    come_up_to_date(journal)
                elif journal.is_file():
                    from readbell.cli.passphrase import unlock

                    unlock(journal)


def _tell_of_thread(failed: threading.ExceptHookArgs) -> None:
    if failed.exc_value is not None:
        _tell_of_crash(failed.exc_value)


def _tell_of_crash(error: BaseException) -> None:
    """Say where the program failed; a message or a value might be somebody's identifier."""
    print(
        f"readbell failed ({type(error).__name__}). Nothing acknowledged is lost: "
        "start it again. Where it failed, for whoever mends it:",
        file=sys.stderr,
    )
    for frame in traceback.extract_tb(error.__traceback__):
        print(f"  {frame.filename}:{frame.lineno} in {frame.name}", file=sys.stderr)


def parser(only: str | None = None) -> argparse.ArgumentParser:
    """Return what the command line understands; of the commands the one called `only`, if one is."""
    program = CommandLine(
        prog="readbell",
        description="The timer, the bench mate and the record for rapid lateral-flow tests.",
    )
    program.add_argument("--version", action=_Version, nargs=0, help="say which version this is")
    commands = program.add_subparsers(required=True, metavar="COMMAND")
    for name in [only] if only in COMMANDS else COMMANDS:
        import_module(f"readbell.cli.{name}").add_to(commands)
    return program


class _Version(argparse.Action):
    """Looks the version up only when somebody asks."""

    def __call__(
        self,
        parser: argparse.ArgumentParser,
        namespace: argparse.Namespace,  # noqa: ARG002  # the signature is argparse's
        values: object,  # noqa: ARG002
        option_string: str | None = None,  # noqa: ARG002
    ) -> None:
        from readbell.settings.version import program_version

        print(f"readbell {program_version()}")
        parser.exit()

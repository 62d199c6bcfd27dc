"""The command `readbell`: one file for each of its commands.

Heavy parts are imported by the command that needs them, so that a question such
as --version is answered at once.
"""

from __future__ import annotations

import argparse
import os
import sys
from typing import TYPE_CHECKING

from readbell.cli import assay, backup, bay, rehearse, restore, verify
from readbell.cli.exit_codes import FAILED, WRONG_INPUT
from readbell.core.errors import ReadbellError

if TYPE_CHECKING:
    from collections.abc import Sequence

OWNER_ONLY = 0o077


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status."""
    os.umask(OWNER_ONLY)
    options = _parser().parse_args(arguments)
    try:
        status: int = options.run(options)
    except ReadbellError as error:
        print(error, file=sys.stderr)
        return WRONG_INPUT
    except BrokenPipeError:
        # Whoever read our output has gone; there is nobody left to tell.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return FAILED
    return status


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="readbell",
        description="The timer, the bench mate and the record for rapid lateral-flow tests.",
    )
    parser.add_argument("--version", action=_Version, nargs=0, help="say which version this is")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    for command in (rehearse, bay, assay, verify, backup, restore):
        command.add_to(commands)
    return parser


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

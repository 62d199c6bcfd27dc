"""What was written on the command line, and one sentence for what is wrong with it."""

from __future__ import annotations

import argparse
import re
import sys
from difflib import get_close_matches
from typing import TYPE_CHECKING, NoReturn

from readbell.cli.exit_codes import WRONG_INPUT
from readbell.cli.spelt_out import spelt_out

if TYPE_CHECKING:
    from collections.abc import Sequence

_FAULTS = (
    (r"argument (.+?): invalid int value: (.+)", r"\1: \2 is no whole number"),
    (r"argument (.+?): invalid float value: (.+)", r"\1: \2 is no number"),
    (r"argument (.+?): invalid choice: (.+) \(choose from (.+)\)", r"\1: \2: use one of \3"),
    (r"argument (.+?): expected one argument", r"\1: say what, right behind it"),
    (r"argument (.+?): expected at least one argument", r"\1: say which, right behind it"),
    (r"argument (.+?): not allowed with argument (.+)", r"\1 and \2 do not go together: leave one out"),
    (r"the following arguments are required: (.+)", r"\1: missing"),
    (r"one of the arguments (.+) is required", r"say one of \1"),
    (r"unrecognized arguments: (.+)", r"\1: not known here"),
)  # fmt: skip
"""How the library says a fault, and how it is said here; whatever else it finds stays as it is."""
MOST_LISTED = 12


class CommandLine(argparse.ArgumentParser):
    """Reads a command line; of each command and of what a command does there is one of its own."""

    def parse_known_args(  # type: ignore[override]  # the library's own is overloaded
        self, args: Sequence[str] | None = None, namespace: argparse.Namespace | None = None
    ) -> tuple[argparse.Namespace, list[str]]:
        """Read it; whoever finds what it does not know says so, and not the program above it."""
        found, unknown = super().parse_known_args(args, namespace)
        if unknown:
            self.error(f"unrecognized arguments: {' '.join(unknown)}")
        return found, unknown

    def error(self, message: str) -> NoReturn:
        """Say in one sentence what is wrong, and where it stands what may be written."""
        fault = self._of_commands(message) or _in_our_words(message)
        said = f"{self.prog}: {fault} (usage: {self.prog} --help)"
        print(spelt_out(said), file=sys.stderr)
        raise SystemExit(WRONG_INPUT)

    def _of_commands(self, message: str) -> str | None:
        """Return what is wrong where a word stands that is none of those that can be asked for."""
        below = next(
            (each for each in self._actions if isinstance(each, argparse._SubParsersAction)),  # noqa: SLF001  # the library names it nowhere else
            None,
        )
        if below is None:
            return None
        known = list(below.choices)
        if message == f"the following arguments are required: {below.metavar}":
            return f"say what to do, one of {_listed(known)}"
        found = re.fullmatch(rf"argument {below.metavar}: invalid choice: '(.*)' \(.*\)", message)
        if found is None:
            return None
        like = get_close_matches(found[1], known, n=1)
        return f"{found[1]!r} is not known here: " + (
            f"did you mean {like[0]}?" if like else f"use one of {_listed(known)}"
        )


def _listed(words: Sequence[str]) -> str:
    """Return the words that may be said; of very many none, for nobody would read them."""
    if len(words) > MOST_LISTED:
        return "those that the usage lists"
    return f"{', '.join(words[:-1])} or {words[-1]}" if len(words) > 1 else "".join(words)


def _in_our_words(message: str) -> str:
    for fault, ours in _FAULTS:
        if re.fullmatch(fault, message):
            return re.sub(fault, ours, message)
    return message

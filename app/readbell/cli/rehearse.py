"""Play a scenario on a simulated clock, through the same bay a real day runs through."""

from __future__ import annotations

import asyncio
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import DONE, WRONG_INPUT

if TYPE_CHECKING:
    import argparse

FASTEST = 100_000.0


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("rehearse", help=__doc__, description=__doc__)
    parser.add_argument("file", type=Path, metavar="FILE", help="the scenario, a TOML file")
    parser.add_argument(
        "--unattended",
        action="store_true",
        help="play it to its end by itself, and say what came of it",
    )
    parser.add_argument(
        "--json",
        action="store_true",
        help="one JSON object on standard output instead of lines",
    )
    parser.add_argument(
        "--pace",
        type=float,
        metavar="N",
        help="N times as fast as real time (default: as fast as it goes)",
    )
    parser.add_argument(
        "--journal",
        type=Path,
        metavar="FILE",
        help="keep the journal here; it stays a rehearsal's",
    )
    parser.set_defaults(run=run, opens_journal=False)  # it makes a new one


def run(options: argparse.Namespace) -> int:
    """Play the scenario and print what came of it."""
    from readbell.assembly import load_script, rehearse
    from readbell.cli.rehearsal_voices import LineByLine, WholeReport

    if not options.unattended:
        print(
            "A rehearsal with a person at the keys needs the board, which this version has not: "
            "add --unattended.",
            file=sys.stderr,
        )
        return WRONG_INPUT
    if options.pace is not None and not 0 < options.pace <= FASTEST:
        print(
            f"--pace {options.pace:g}: name a number above 0, up to {FASTEST:g}.",
            file=sys.stderr,
        )
        return WRONG_INPUT
    script = load_script(options.file)
    voice = WholeReport(script) if options.json else LineByLine(script)
    found = asyncio.run(rehearse(script, options.journal, options.pace, voice.news, voice.played))
    voice.sum_up(found)
    return DONE

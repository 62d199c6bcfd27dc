"""Rehearse a scenario: on the board with virtual cartridges, or --unattended by itself."""

from __future__ import annotations

import asyncio
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import DONE, WRONG_INPUT

if TYPE_CHECKING:
    import argparse

FASTEST = 100_000.0
LEVELS = ("full", "alarms", "silent")
ALONE = ("json", "pace", "replay")
ATTENDED = ("assist", "trainee", "plain", "quiet", "ascii", "light")
"""Options that go with one of the two ways alone."""


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("rehearse", help=__doc__, description=__doc__)
    parser.add_argument("file", type=Path, metavar="FILE", help="the scenario, a TOML file")
    parser.add_argument(
        "--journal",
        type=Path,
        metavar="FILE",
        help="keep the journal here; it stays a rehearsal's",
    )
    board = parser.add_argument_group("on the board")
    board.add_argument(
        "--assist",
        choices=LEVELS,
        help="full: as live, and a line of teaching; alarms: nothing is advised; "
        "silent: an examination (default: full)",
    )
    board.add_argument("--trainee", metavar="NAME", help="who practises; kept in the journal")
    board.add_argument("--plain", action="store_true", help="lines in and out, no screen")
    board.add_argument("--quiet", action="store_true", help="make no sound")
    board.add_argument("--ascii", action="store_true", help="draw with plain signs alone")
    board.add_argument("--light", action="store_true", help="dark letters on a light ground")
    alone = parser.add_argument_group("by itself")
    alone.add_argument(
        "--unattended",
        action="store_true",
        help="play it to its end by itself, and say what came of it",
    )
    alone.add_argument(
        "--json",
        action="store_true",
        help="one JSON object on standard output instead of lines",
    )
    alone.add_argument(
        "--pace",
        type=float,
        metavar="N",
        help="N times as fast as real time (default: as fast as it goes)",
    )
    alone.add_argument(
        "--replay",
        type=Path,
        metavar="JOURNAL",
        help="do again what somebody did who rehearsed this scenario on the board",
    )
    parser.set_defaults(run=run, opens_journal=False)  # it makes a new one


def run(options: argparse.Namespace) -> int:
    """Play the scenario and print what came of it."""
    from readbell.cli.rehearsal_voices import LineByLine, WholeReport
    from readbell.rehearsals import load_script, rehearse

    wrong = _fault_of(options)
    if wrong is not None:
        print(wrong, file=sys.stderr)
        return WRONG_INPUT
    script = load_script(options.file)
    if not options.unattended:
        from readbell.cli.rehearse_attended import attend

        return attend(script, options)
    voice = WholeReport(script) if options.json else LineByLine(script)
    found = asyncio.run(
        rehearse(
            script,
            options.journal,
            options.pace,
            voice.news,
            voice.played,
            practised=options.replay,
        )
    )
    voice.sum_up(found)
    return DONE


def _fault_of(options: argparse.Namespace) -> str | None:
    """Return what does not make sense together, in one sentence."""
    others = ATTENDED if options.unattended else ALONE
    given = next((each for each in others if getattr(options, each) not in (None, False)), None)
    if given is not None and options.unattended:
        return (
            f"--{given} is for a rehearsal on the board: leave it out, or leave out --unattended."
        )
    if given is not None:
        return f"--{given} is for a rehearsal that plays by itself: add --unattended."
    if options.pace is not None and not 0 < options.pace <= FASTEST:
        return f"--pace {options.pace:g}: name a number above 0, up to {FASTEST:g}."
    return None

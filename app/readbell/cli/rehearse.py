"""Play a scenario on a simulated clock, through the same bay a real day runs through."""

from __future__ import annotations

import asyncio
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import DONE, WRONG_INPUT

if TYPE_CHECKING:
    import argparse
    from typing import Any

    from readbell.assembly import Run, Script
    from readbell.bay.news import News
    from readbell.bay.rehearsal import Played
    from readbell.core.instant import Instant

FASTEST = 100_000.0


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("rehearse", help=__doc__, description=__doc__)
    parser.add_argument(
        "file", type=Path, metavar="FILE", help="the scenario, a TOML file"
    )
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
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Play the scenario and print what came of it."""
    from readbell.assembly import load_script, rehearse

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
    if options.json:
        found = asyncio.run(
            rehearse(script, options.journal, options.pace, _say_nothing, _say_nothing)
        )
        print(json.dumps(_report(script, found), ensure_ascii=False, indent=2))
        return DONE
    print(f"REHEARSAL  {script.scenario.title}")
    teller = _Teller(script)
    found = asyncio.run(
        rehearse(script, options.journal, options.pace, teller.news, teller.played)
    )
    teller.sum_up(found)
    return DONE


def _say_nothing(_: object) -> None:
    """Take what happens in silence; the report says it all at the end."""


class _Teller:
    """Says each thing as it happens, one line at a time."""

    def __init__(self, script: Script) -> None:
        self._face = script.face

    def news(self, news: News) -> None:
        """Tell of what happened; refusals are told with their reasons elsewhere."""
        from readbell.core.board.events import ActRefused
        from readbell.phrases.of_bay import tell

        for event in news.events:
            if not isinstance(event, ActRefused):
                self._say(event.at, tell(event, news.board, self._face))

    def played(self, played: Played) -> None:
        """Tell why an act was refused."""
        from readbell.phrases.refusals import say_refusal, tried

        answer = played.answer
        if answer.refusal is not None:
            said = say_refusal(
                answer.refusal, tried(played.entry, answer.at), self._face
            )
            self._say(answer.at, f"no  {said}")

    def sum_up(self, found: Run) -> None:
        """Say what each cartridge came to, and that the kit's own words go first."""
        from readbell.phrases.summary import sum_up

        for line in sum_up(found.board):
            print(line)
        print(f"Journal: {found.head.seq} events, head {found.head.hex}")

    def _say(self, at: Instant, words: str) -> None:
        print(f"{self._face.time(at)}  {words}", flush=True)


def _report(script: Script, found: Run) -> dict[str, Any]:
    from readbell.phrases.of_bay import tell
    from readbell.phrases.refusals import say_refusal, tried
    from readbell.reports.run_report import ActLine, run_report

    def says(played: Played) -> str:
        answer = played.answer
        if answer.refusal is not None:
            return say_refusal(
                answer.refusal, tried(played.entry, answer.at), script.face
            )
        return " ".join(
            tell(event, played.board, script.face) for event in answer.events
        )

    return run_report(
        title=script.scenario.title,
        starts=found.starts,
        acts=[
            ActLine(
                at=played.answer.at,
                refusal=None
                if played.answer.refusal is None
                else played.answer.refusal.code,
                says=says(played),
            )
            for played in found.played
        ],
        alerts=found.alerts,
        board=found.board,
        events=found.head.seq,
        head=found.head.hex,
    )

"""The two ways to tell of a rehearsal: line by line as it goes, or whole at the end."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from readbell.core.board.events import ActRefused
from readbell.phrases.of_bay import tell
from readbell.phrases.refusals import say_refusal, tried
from readbell.phrases.summary import sum_up
from readbell.reports.run_report import ActLine, run_report

if TYPE_CHECKING:
    from readbell.assembly import Run, Script
    from readbell.bay.news import News
    from readbell.bay.rehearsal import Played
    from readbell.core.instant import Instant
    from readbell.phrases.clock_time import ClockFace


class LineByLine:
    """Says each thing as it happens."""

    def __init__(self, script: Script) -> None:
        self._face = script.face
        print(f"REHEARSAL  {script.scenario.title}")

    def news(self, news: News) -> None:
        """Tell of what happened; refusals are told below, with their reasons."""
        for event in news.events:
            if not isinstance(event, ActRefused):
                self._say(event.at, tell(event, news.board, self._face))

    def played(self, played: Played) -> None:
        """Tell why an act was refused."""
        if not played.answer.accepted:
            self._say(played.answer.at, f"no  {says(played, self._face)}")

    def sum_up(self, run: Run) -> None:
        """Say what each cartridge came to, and that the kit's own words go first."""
        for line in sum_up(run.board):
            print(line)
        print(f"Journal: {run.head.seq} events, head {run.head.hex}")

    def _say(self, at: Instant, words: str) -> None:
        print(f"{self._face.time(at)}  {words}", flush=True)


class WholeReport:
    """Keeps quiet, notes each act, and prints one JSON object at the end."""

    def __init__(self, script: Script) -> None:
        self._script = script
        self._acts: list[ActLine] = []

    def news(self, news: News) -> None:
        """Take what happens in silence."""

    def played(self, played: Played) -> None:
        """Note what became of an act."""
        refusal = played.answer.refusal
        self._acts.append(
            ActLine(
                at=played.answer.at,
                refusal=None if refusal is None else refusal.code,
                says=says(played, self._script.face),
            )
        )

    def sum_up(self, run: Run) -> None:
        """Print the report."""
        report = run_report(
            title=self._script.scenario.title,
            starts=run.starts,
            acts=self._acts,
            alerts=run.alerts,
            board=run.board,
            events=run.head.seq,
            head=run.head.hex,
        )
        print(json.dumps(report, ensure_ascii=False, indent=2))


def says(played: Played, face: ClockFace) -> str:
    """Return what became of an act, in words."""
    answer = played.answer
    if answer.refusal is not None:
        return say_refusal(answer.refusal, tried(played.entry, answer.at), face)
    return " ".join(tell(event, played.board, face) for event in answer.events)

"""The two ways to tell of a rehearsal: line by line as it goes, or whole at the end."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from readbell.core.board.events import ActRefused
from readbell.phrases.of_bay import tell
from readbell.phrases.refusals import say_refusal, tried
from readbell.phrases.summary import sum_up
from readbell.phrases.telling import tell_all
from readbell.reports.run_report import ActLine, run_report

if TYPE_CHECKING:
    from readbell.bay.news import Answer, News
    from readbell.core.board.entry import Entry
    from readbell.core.instant import Instant
    from readbell.phrases.clock_time import ClockFace
    from readbell.rehearsals import Run, Script


class LineByLine:
    """Says each thing as it happens."""

    def __init__(self, script: Script) -> None:
        self._face = script.face
        print(f"REHEARSAL  {script.scenario.title}")

    def news(self, news: News) -> None:
        """Tell of what happened; refusals are told below, with their reasons."""
        for event in news.events:
            if not isinstance(event, ActRefused):
                self._say(news.at, tell(event, news.board, self._face))

    def played(self, entry: Entry, answer: Answer) -> None:
        """Tell why an act was refused."""
        if not answer.accepted:
            words = says(entry, answer, self._face)
            whose = "" if entry.cartridge in words else f"{entry.cartridge}: "
            self._say(answer.at, f"no  {whose}{words}")

    def sum_up(self, run: Run) -> None:
        """Say what each cartridge came to, and that the kit's own words go first."""
        for line in sum_up(run.board, run.ends):
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

    def played(self, entry: Entry, answer: Answer) -> None:
        """Note what became of an act."""
        refusal = answer.refusal
        self._acts.append(
            ActLine(
                at=answer.at,
                refusal=None if refusal is None else refusal.code,
                says=says(entry, answer, self._script.face),
            )
        )

    def sum_up(self, run: Run) -> None:
        """Print the report."""
        report = run_report(
            title=self._script.scenario.title,
            starts=run.starts,
            ends=run.ends,
            acts=self._acts,
            alerts=run.alerts,
            board=run.board,
            events=run.head.seq,
            head=run.head.hex,
        )
        print(json.dumps(report, ensure_ascii=False, indent=2))


def says(entry: Entry, answer: Answer, face: ClockFace) -> str:
    """Return what became of an act, in words."""
    if answer.refusal is not None:
        return say_refusal(answer.refusal, tried(entry, answer.at), face)
    return tell_all(answer.events, answer.board, face)

"""A bay told line by line: what happens, what was answered, how things stand.

Plain lines suit a log, a pipe and a screen reader alike: no cursor moves, no
colour, one thing a line.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from readbell.bay.news import UNKNOWN
from readbell.bay.site_time import time_zone
from readbell.cli.next_start_line import next_start_said
from readbell.cli.spelt_out import spelt_out
from readbell.core.board.events import (
    ClockJumped,
    ClockUnsure,
    ComputerSlept,
    ProgramStopped,
)
from readbell.core.board.record_check import RecordState
from readbell.core.cartridge.events import AlertRaised, CartridgeLapsed
from readbell.core.catalogue import NAMES
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.next_start_words import say_unknown
from readbell.phrases.of_bay import tell
from readbell.phrases.of_sound import LISTEN, what_changed
from readbell.phrases.record_words import tell_record
from readbell.phrases.refusals import Tried, say_refusal, tried
from readbell.phrases.returning import welcome
from readbell.phrases.review_words import what_is_held
from readbell.phrases.standing import where_all_stand
from readbell.phrases.telling import tell_all
from readbell.scenarios.line import EntryLine

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.bay.news import Answer, News, Return
    from readbell.core.board.event import Event
    from readbell.core.instant import Instant
    from readbell.core.plan.answer import Answer as Ahead
    from readbell.journal.keeper import Branch
    from readbell.scenarios.line import Line


UNASKED = (
    AlertRaised,
    CartridgeLapsed,
    ClockJumped,
    ClockUnsure,
    ComputerSlept,
    ProgramStopped,
)
"""What happens without anybody having asked for it; the rest is told as answers."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """One line for people, and the same for a program."""

    words: str
    fields: dict[str, Any]

    def as_text(self, *, as_json: bool) -> str:
        """Return the line to print."""
        return json.dumps(self.fields, ensure_ascii=False) if as_json else spelt_out(self.words)


class LineMode:
    """Finds the words for a bay; keeps only what it needs to tell news from old."""

    def __init__(self) -> None:
        self._face = ClockFace(zone=time_zone("UTC"))
        self._not_saved_told = False
        self._sounding_told = UNKNOWN
        self._record_told = RecordState.WHOLE

    def news(self, news: News) -> Iterator[Said]:
        """Yield a line for each thing that happened."""
        yield from self.saving(news)
        yield from self._sound(news)
        yield from self.record(news)
        for event in news.events:
            if isinstance(event, UNASKED):
                words = tell(event, news.board, self._face)
                yield self._said(news.at, words, {"news": NAMES[type(event)]})

    def saving(self, news: News) -> Iterator[Said]:
        """Yield a line if the journal has ceased or begun to be saved since last told."""
        self._set_face(news)
        if (news.not_saved is not None) is not self._not_saved_told:
            self._not_saved_told = news.not_saved is not None
            yield self._saving(news)

    def record(self, news: News) -> Iterator[Said]:
        """Yield a line if it became known how the whole record stands, or that it is looked at."""
        self._set_face(news)
        check = news.record_check
        words = tell_record(check)
        if words is not None and check.state is not self._record_told:
            self._record_told = check.state
            yield self._said(news.at, words, {"news": "records", "state": check.state})

    def line(self, news: News, event: Event) -> str:
        """Return the line for any event, asked for or not."""
        self._set_face(news)
        return self._said(event.at, tell(event, news.board, self._face), {}).words

    def welcome(self, found: Return, present: News) -> Iterator[Said]:
        """Yield what is told first when the bay is taken up."""
        self._set_face(present)
        now = present.at
        lines = welcome(
            board=present.board,
            is_new=found.is_new,
            clean=found.clean,
            away=found.away,
            fell_due=found.fell_due,
            unsure=found.unsure,
        )
        for words in lines:
            yield self._said(now, words, {"news": "return"})
        for branch in found.branches:
            yield self._said(now, say_branch(branch), {"news": "branch"})
        yield from self.standing(present)
        yield from self.record(present)

    def standing(self, present: News) -> Iterator[Said]:
        """Yield where every running cartridge stands."""
        self._set_face(present)
        for words in where_all_stand(present.board, present.at, self._face):
            yield self._said(present.at, f"    {words}", {"news": "standing", "says": words})

    def next_start(self, present: News, found: Ahead | None, why_not: str) -> Said:
        """Return when the next person may be begun, by which rule and why."""
        self._set_face(present)
        if found is None:
            return self.fault(why_not or say_unknown(present.board))
        return self._said(present.at, *next_start_said(found, present, self._face))

    def held(self, present: News) -> Iterator[Said]:
        """Yield what is held for review, and what a supervisor reviewed of their own."""
        self._set_face(present)
        for words in what_is_held(present.board, self._face):
            yield self._said(present.at, f"    {words}", {"news": "held", "says": words})

    def answer(self, line: Line, answer: Answer, present: News) -> Said:
        """Return what became of `line`."""
        self._set_face(present)
        refusal = answer.refusal
        fields: dict[str, Any] = {
            "answer": getattr(line, "do", None) or _kind(line),
            "accepted": answer.accepted,
            "refusal": None if refusal is None else str(refusal.code),
        }
        if refusal is None:
            # Nothing comes of a test until somebody says whether it was heard.
            told = tell_all(answer.events, present.board, self._face)
            words = told or LISTEN
            return self._said(answer.at, f"ok  {words}", fields | {"says": words})
        what = (
            tried(line.entry, answer.at)
            if isinstance(line, EntryLine)
            else Tried(cartridge=getattr(line, "cartridge", ""), now=answer.at)
        )
        words = say_refusal(refusal, what, self._face)
        return self._said(answer.at, f"no  {words}", fields | {"says": words})

    def fault(self, words: str) -> Said:
        """Return that a line could not be understood; nothing happened."""
        return Said(
            words=f"no  {words}",
            fields={"answer": None, "accepted": False, "says": words},
        )

    def _saving(self, news: News) -> Said:
        lost = news.not_saved
        if lost is None:
            return self._said(
                news.at, "Saved again: the journal has all that was told.", {"saved": True}
            )
        where = (
            "nowhere to write to: keep results on paper"
            if lost.continuation is None
            else f"acts go to {lost.continuation}"
        )
        words = f"NOT SAVED: {lost.why}; {where}. Start nobody; finish what runs."
        return self._said(news.at, words, {"saved": False, "why": lost.why})

    def _sound(self, news: News) -> Iterator[Said]:
        """Yield a line for what has newly gone wrong, or well again, with the alarm."""
        told, now = self._sounding_told, news.sounding
        self._sounding_told = now
        for words in what_changed(told, now):
            yield self._said(news.at, words, {"news": "alarm"})

    def _set_face(self, news: News) -> None:
        founded = news.board.founded
        if founded is not None:
            self._face = ClockFace(zone=time_zone(founded.timezone), apart=news.wall - news.at)

    def _said(self, at: Instant, words: str, fields: dict[str, Any]) -> Said:
        return Said(
            words=f"{self._face.time(at)}  {words}",
            fields={"at": self._face.local(at).isoformat(), "says": words} | fields,
        )


def say_branch(branch: Branch) -> str:
    """Return that a continuation file does not follow from the journal, and what to do with it."""
    return f"{branch.path} could not be joined: {branch.why}. Keep it for a supervisor."


def _kind(line: Line) -> str | None:
    return str(line.entry.do) if isinstance(line, EntryLine) else None

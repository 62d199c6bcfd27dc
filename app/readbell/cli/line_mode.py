"""A bay told line by line: what happens, what was answered, how things stand.

Plain lines suit a log, a pipe and a screen reader alike: no cursor moves, no
colour, one thing a line.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from readbell.bay.news import UNKNOWN
from readbell.bay.site_face import face_now
from readbell.bay.site_time import time_zone
from readbell.cli.next_start_line import next_start_said
from readbell.cli.spelt_out import spelt_out
from readbell.core.board.events import (
    ActRefused,
    AlertHeard,
    ClockJumped,
    ClockUnsure,
    ComputerSlept,
    ProgramStopped,
)
from readbell.core.board.record_check import RecordState
from readbell.core.cartridge.events import AlertRaised, CartridgeLapsed, EarlyPositiveSeen
from readbell.core.catalogue import NAMES
from readbell.core.made_later import dataclass
from readbell.core.stations.events import (
    ActKeptApart,
    CartridgeHeld,
    JoinedUp,
    StationGivenUp,
    StationJoined,
    StationLeft,
)
from readbell.hand.scene import Scene
from readbell.hand.stations_room import aloud as stations_aloud
from readbell.phrases.around_words import (
    CLOCK_RIGHT,
    LINKED,
    MIRROR_WELL,
    NOT_SHARED,
    tell_alone,
    tell_clock,
    tell_mirror,
    tell_moves,
    tell_twin,
)
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
from readbell.phrases.telling_words import what_is_to_tell
from readbell.phrases.wall_words import FOLLOWED_AGAIN, tell_lost
from readbell.scenarios.line import EntryLine

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.bay.around import Around
    from readbell.bay.news import Answer, News, Return
    from readbell.core.board.event import Event
    from readbell.core.instant import Instant
    from readbell.core.plan.answer import Answer as Ahead
    from readbell.core.refusal import Refusal
    from readbell.journal.keeper import Branch
    from readbell.scenarios.line import Line


UNASKED = (
    AlertRaised,
    CartridgeLapsed,
    ClockJumped,
    ClockUnsure,
    ComputerSlept,
    ProgramStopped,
    ActKeptApart,
    JoinedUp,
    StationGivenUp,
)
"""What happens without anybody having asked for it; the rest is told as answers."""


NOT_TOLD_ELSEWHERE = (
    ActRefused,
    AlertHeard,
    CartridgeHeld,
    EarlyPositiveSeen,
    StationJoined,
    StationLeft,
)
"""What other stations did and nobody here needs to hear of; who comes and goes is told otherwise.
What was seen early must not be in the ear of whoever reads the strip in its window."""


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
        self._around_told: Around | None = None
        self._lost_told = False

    def news(self, news: News) -> Iterator[Said]:
        """Yield a line for each thing that happened."""
        yield from self.saving(news)
        yield from self.around(news)
        yield from self._sound(news)
        yield from self.record(news)
        for event in news.events:
            kind = {"news": NAMES[type(event)]}
            if isinstance(event, UNASKED):
                yield self._said(news.at, tell(event, news.board, self._face), kind)
            elif news.is_elsewhere and not isinstance(event, NOT_TOLD_ELSEWHERE):
                words = tell(event, news.board, self._face)
                fields = kind | {"elsewhere": True, "says": words}
                yield self._said(news.at, f"elsewhere  {words}", fields)

    def saving(self, news: News) -> Iterator[Said]:
        """Yield a line if the journal has ceased or begun to be saved since last told."""
        self._set_face(news)
        if (news.not_saved is not None) is not self._not_saved_told:
            self._not_saved_told = news.not_saved is not None
            yield self._saving(news)

    def around(self, news: News) -> Iterator[Said]:
        """Yield a line if this station is newly alone, or no more; and who came or went away."""
        self._set_face(news)
        told, now = self._around_told, news.around
        self._around_told = now
        was_alone = told is not None and told.alone is not None
        if now is None:
            # Whoever looks on knows of a station that is alone, and of the others nothing.
            if was_alone:
                yield self._said(news.at, LINKED, {"news": "linked"})
            return
        is_alone = now.alone is not None
        refused = "" if told is None or told.alone is None else told.alone.refused
        if now.alone is not None and (not was_alone or now.alone.refused not in ("", refused)):
            mark = now.mark if now.began is None else ""
            words = tell_alone(now.alone.why, mark, now.alone.refused)
            why = now.alone.refused or now.alone.why
            yield self._said(news.at, words, {"news": "alone", "why": why})
        elif was_alone and not is_alone:
            yield self._said(news.at, LINKED, {"news": "linked"})
        if now.has_twin and now.began is None and not (told is not None and told.has_twin):
            yield self._said(news.at, tell_twin(now.station), {"news": "twin"})
        yield from self._clock(news.at, told, now)
        was_ill = "" if told is None else told.mirror_ailment
        if bool(now.mirror_ailment) is not bool(was_ill):
            words = tell_mirror(now.mirror_ailment) or MIRROR_WELL
            yield self._said(news.at, words, {"news": "mirror", "why": now.mirror_ailment})
        if told is None or was_alone or is_alone:
            return  # of the others nothing is known that could have changed
        before, here = (frozenset(each.station for each in one.seen) for one in (told, now))
        for words in tell_moves(before, here, now.away):
            yield self._said(news.at, words, {"news": "stations"})

    def following(self, news: News) -> Iterator[Said]:
        """Yield a line if an onlooker newly follows no more, or follows again."""
        self._set_face(news)
        if (news.lost_since is not None) is self._lost_told:
            return
        self._lost_told = news.lost_since is not None
        words = FOLLOWED_AGAIN
        if news.lost_since is not None:
            words = tell_lost(news.lost_since, self._face)
        yield self._said(news.at, words, {"news": "followed", "followed": not self._lost_told})

    def _clock(self, at: Instant, told: Around | None, now: Around) -> Iterator[Said]:
        """Yield a line if the clock of this computer is newly far from the server's, or no more."""
        was, words = "" if told is None else tell_clock(told.wall_apart), tell_clock(now.wall_apart)
        if bool(words) is not bool(was):
            fields = {"news": "clock", "apart_ms": now.wall_apart}
            yield self._said(at, words or CLOCK_RIGHT, fields)

    def stations(self, present: News) -> Iterator[Said]:
        """Yield who is here and who is away, and what is kept apart."""
        self._set_face(present)
        scene = Scene(board=present.board, now=present.at, face=self._face, around=present.around)
        lines = [each.strip() for each in stations_aloud(scene)] or [NOT_SHARED]
        for words in lines:
            yield self._said(present.at, f"    {words}", {"news": "stations", "says": words})

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
            new_station=found.new_station,
        )
        for words in lines:
            yield self._said(now, words, {"news": "return"})
        for branch in found.branches:
            yield self._said(now, say_branch(branch), {"news": "branch"})
        yield from self.standing(present)
        yield from self.record(present)
        yield from self.around(present)

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

    def to_tell(self, present: News) -> Iterator[Said]:
        """Yield what is still to be told, the most urgent first."""
        self._set_face(present)
        for words in what_is_to_tell(present.board, present.at, self._face):
            yield self._said(present.at, f"    {words}", {"news": "to-tell", "says": words})

    def answer(self, line: Line, answer: Answer, present: News) -> Said:
        """Return what became of `line`."""
        self._set_face(present)
        refusal = answer.refusal
        fields: dict[str, Any] = {
            "answer": getattr(line, "do", None) or _kind(line),
            "accepted": answer.accepted,
            "refusal": None if refusal is None else str(refusal.code),
            **_first(refusal, self._face),
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
        if news.board.founded is not None:
            self._face = face_now(news.board, news.wall - news.at)

    def _said(self, at: Instant, words: str, fields: dict[str, Any]) -> Said:
        return Said(
            words=f"{self._face.time(at)}  {words}",
            fields={"at": self._face.local(at).isoformat(), "says": words} | fields,
        )


def say_branch(branch: Branch) -> str:
    """Return that a continuation file does not follow from the journal, and what to do with it."""
    return f"{branch.path} could not be joined: {branch.why}. Keep it for a supervisor."


def _first(refusal: Refusal | None, face: ClockFace) -> dict[str, Any]:
    """Return who was first, where that was at another station of a shared bay."""
    if refusal is None or refusal.elsewhere is None:
        return {}
    first = refusal.elsewhere
    at = face.local(first.at).isoformat()
    return {"elsewhere": {"station": first.station, "by": first.by, "did": first.kind, "at": at}}


def _kind(line: Line) -> str | None:
    return str(line.entry.do) if isinstance(line, EntryLine) else None

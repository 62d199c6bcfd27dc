"""A scenario played through the very bay that a real day runs through.

The clock jumps, the journal is real, the rules are the same; only the people
and the strips are made up.
"""

from __future__ import annotations

import asyncio
import heapq
from dataclasses import replace
from itertools import groupby, islice
from typing import TYPE_CHECKING

from readbell.bay.rehearsal_setup import set_up
from readbell.bay.site_time import site_date, time_zone
from readbell.core.board.entry import Do, Entry
from readbell.core.board.events import Ending
from readbell.core.board.patients import ASKED
from readbell.core.instant import Instant, Span, between, later
from readbell.core.made_later import dataclass
from readbell.core.private import Private
from readbell.core.reading.interpretation import Outcome
from readbell.core.rehearsal.steady_hands import Box, Deed, SteadyHands, Visitor
from readbell.core.rehearsal.trouble import trouble_of
from readbell.core.rehearsal.truth import seen_at
from readbell.core.rehearsal.workload import FAR
from readbell.core.stock.lot import refuse_lot

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from readbell.bay.bay import Bay
    from readbell.bay.identifiers import Identifiers
    from readbell.bay.news import Answer
    from readbell.bay.rehearsal_replay import PlayedAgain
    from readbell.clock.clock import Sleeper
    from readbell.core.assay.assay import Assay
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.reading.bands import Bands
    from readbell.core.rehearsal.scenario import Scenario, ScriptedAct

PLAYER_RANK = 0
"""At one instant the script goes before the alerts."""
AFTERWARDS = Span(1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Method:
    """An assay of the scenario with its fingerprint."""

    assay: Assay
    content_hash: str


class Rehearsal:
    """Plays one scenario on an open bay, from its first act until nothing is pending.

    Args:
        methods: by the name the scenario gives each assay.
        sleeper: waits on the bay's simulated clock, in front of everybody else.
        told: hears of each entry and what became of it.
        played_again: what a person did who sat at the keys; None: the scenario's own acts,
            or steady hands.
    """

    def __init__(
        self,
        *,
        bay: Bay,
        scenario: Scenario,
        methods: Mapping[str, Method],
        identifiers: Identifiers,
        sleeper: Sleeper,
        told: Callable[[Entry, Answer], None],
        played_again: PlayedAgain | None = None,
    ) -> None:
        self._bay = bay
        self._scenario = scenario
        self._methods = methods
        self._identifiers = identifiers
        self._sleeper = sleeper
        self._told = told
        self._played_again = played_again
        self._zone = time_zone(scenario.timezone)
        self._repeated: set[str] = set()
        self._seen_ended = 0
        self.starts = bay.now()

    async def play(self) -> None:
        """Set the bay up, play the script, and go on until nothing is pending."""
        running = asyncio.create_task(self._bay.run())
        playing = asyncio.create_task(self._play())
        try:
            await asyncio.wait({running, playing}, return_when=asyncio.FIRST_COMPLETED)
            if running.done():
                running.result()  # a bay that failed would let the script wait for ever
            await playing
            await running
        finally:
            running.cancel()
            playing.cancel()

    async def _play(self) -> None:
        await self._set_up()
        if self._played_again is not None:
            await self._played_again.play(self._bay, self._sleep_until, self._told)
            self._sleeper.retire()
            await self._bay.close(Ending.LEFT)
            return
        if self._scenario.acts:
            await self._play_acts()
        else:
            await self._play_steady_hands()
        while (due := self._bay.next_due()) is not None:
            # What fell due long ago is announced now: wait for that all the same.
            await self._sleep_until(later(max(due, self._bay.now()), AFTERWARDS))
        self._sleeper.retire()
        await self._bay.close(Ending.SCENARIO_ENDED)

    async def _set_up(self) -> None:
        attended = self._played_again is not None
        for act in list(set_up(self._scenario, self._methods, self._private, attended=attended)):
            await self._bay.do(act)

    def _read_back(self, entry: Entry) -> Entry:
        """Return what steady hands enter, with what their person is known by where it is asked."""
        what = ASKED[self._bay.board.policy.second_identifier]
        if what is None or entry.do not in (Do.LABEL, Do.LOOK, Do.READ):
            return entry
        cartridge = self._bay.board.labelled(entry.cartridge)
        of = None if cartridge is None else self._bay.board.name(cartridge.labelled.subject)
        known = {person.id: dict(person.particulars) for person in self._scenario.persons}
        return replace(entry, second=known.get(entry.person or of or "", {}).get(what))

    async def _play_acts(self) -> None:
        for at, acts in groupby(self._scenario.acts, key=lambda act: act.at):
            await self._sleep_until(later(self.starts, at))
            await self._enter([self._placed(act) for act in acts])

    async def _play_steady_hands(self) -> None:
        arrivals = sorted(self._scenario.persons, key=lambda person: person.arrives)
        hands = SteadyHands(
            self._scenario.operators,
            [
                Visitor(person=each.id, arrives=later(self.starts, each.arrives))
                for each in arrivals
            ],
            self._open_box,
            trouble_of(self._scenario, self.starts),
        )
        agenda: list[tuple[Instant, int, Deed | None]] = [
            (self.starts, place, None) for place in range(len(self._scenario.operators))
        ]
        agenda += self._answers()
        heapq.heapify(agenda)
        while agenda:
            when, place, deed = heapq.heappop(agenda)
            await self._sleep_until(when)
            if deed is not None:
                (answer,) = await self._enter([self._read_back(deed.entry)])
                if deed.entry.do is Do.LABEL and answer.refusal is not None:
                    hands.label_refused(deed.entry, self._bay.now(), answer.refusal.code)
                if deed.entry.do is Do.ANSWER:
                    continue  # of nobody's hands
                if deed.entry.do is Do.READ:
                    self._have_read_again(hands, deed.entry, agenda)
            for person in self._newly_invalid():
                hands.ask_again(person, self._bay.now())
            following = hands.next_deed(self._scenario.operators[place], self._bay.now())
            if isinstance(following, Deed):
                heapq.heappush(agenda, (following.ends, place, following))
            elif following < FAR:
                heapq.heappush(agenda, (following, place, None))

    def _have_read_again(
        self,
        hands: SteadyHands,
        entry: Entry,
        agenda: list[tuple[Instant, int, Deed | None]],
    ) -> None:
        """Have somebody else look about at once for a strip that was read by the first of two."""
        cartridge = self._bay.board.labelled(entry.cartridge)
        if cartridge is None or not cartridge.awaits_second or cartridge.applied is None:
            return
        reader = hands.read_again(entry, cartridge.assay, cartridge.applied.said)
        if reader is None:
            return
        place = self._scenario.operators.index(reader)
        if any(each[1] == place and each[2] is not None for each in agenda):
            return  # busy: they look about when that is done
        agenda[:] = [each for each in agenda if each[1] != place]
        agenda.append((self._bay.now(), place, None))
        heapq.heapify(agenda)

    def _answers(self) -> Iterator[tuple[Instant, int, Deed]]:
        """Yield how each question is answered: rightly, and as soon as it is asked."""
        operators = self._scenario.operators
        for number, each in enumerate(self._scenario.interruptions, start=1):
            if each.answers and operators:
                at = later(self.starts, each.at)
                entry = Entry(
                    do=Do.ANSWER, by=operators[0], interruption=number, words=each.answers[0]
                )
                yield at, len(operators) + number, Deed(entry=entry, ends=at)

    def _newly_invalid(self) -> list[str]:
        """Return who came to an invalid end since last asked, and was given no second test."""
        ended = self._bay.board.ended
        fresh = [
            self._bay.board.name(each.labelled.subject)
            for each in islice(ended.values(), self._seen_ended, None)
            if each.outcome is Outcome.INVALID
        ]
        self._seen_ended = len(ended)
        found = [person for person in fresh if person is not None and person not in self._repeated]
        self._repeated.update(found)
        return found

    def _open_box(self) -> Box | None:
        today = site_date(self._scenario.starts + between(self.starts, self._bay.now()), self._zone)
        for lot in self._bay.board.lots.values():
            if refuse_lot(lot, today) is None:
                return Box(lot=lot.number, assay=self._bay.board.assays[lot.assay].assay)
        return None

    def _placed(self, act: ScriptedAct) -> Entry:
        """Return the entry of `act`, its stated time placed on the bay's time line."""
        done_at = None if act.done_at is None else later(self.starts, act.done_at)
        return replace(act.entry, done_at=done_at)

    async def _enter(self, entries: Sequence[Entry]) -> list[Answer]:
        answers = await self._bay.enter_together(entries, self._shown)
        for entry, answer in zip(entries, answers, strict=True):
            self._told(entry, answer)
        return answers

    def _shown(self, cartridge: Cartridge, now: Instant) -> Bands:
        return seen_at(self._scenario, self._bay.board, cartridge, now)

    async def _sleep_until(self, when: Instant) -> None:
        while (left := between(self._bay.now(), when)) > 0:
            await self._sleeper.sleep(Span(left))

    def _private(self, value: str) -> Private:
        return Private(
            key=self._identifiers.new("key"),
            salt=self._identifiers.new("salt"),
            value=value,
        )

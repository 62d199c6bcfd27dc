"""A scenario played through the very bay that a real day runs through.

The clock jumps, the journal is real, the rules are the same; only the people
and the strips are made up.
"""

from __future__ import annotations

import asyncio
import heapq
from dataclasses import dataclass, replace
from itertools import groupby, islice
from typing import TYPE_CHECKING

from readbell.bay.rehearsal_staff import staff_acts
from readbell.bay.site_time import site_date, time_zone
from readbell.core.assay.events import Basis
from readbell.core.board.acts import (
    AdoptAssay,
    ReceiveLot,
    RegisterOperator,
    RegisterPerson,
)
from readbell.core.board.entry import Do
from readbell.core.board.events import Ending
from readbell.core.board.patients import ASKED
from readbell.core.controls.acts import ReceiveMaterial
from readbell.core.instant import Instant, Span, between, later
from readbell.core.people.acts import NoteConsent
from readbell.core.private import Private
from readbell.core.reading.interpretation import Outcome
from readbell.core.rehearsal.steady_hands import Box, Deed, SteadyHands, Visitor
from readbell.core.rehearsal.virtual_cartridge import bands_after
from readbell.core.rehearsal.workload import FAR
from readbell.core.stock.lot import refuse_lot

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from readbell.bay.bay import Bay
    from readbell.bay.identifiers import Identifiers
    from readbell.bay.news import Answer
    from readbell.clock.clock import Sleeper
    from readbell.core.assay.assay import Assay
    from readbell.core.board.acts import Act
    from readbell.core.board.entry import Entry
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
    ) -> None:
        self._bay = bay
        self._scenario = scenario
        self._methods = methods
        self._identifiers = identifiers
        self._sleeper = sleeper
        self._told = told
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
        acts: list[Act] = [
            AdoptAssay(
                by=None,
                assay=method.assay,
                content_hash=method.content_hash,
                basis=Basis.REHEARSAL,
                instructions_version="",
            )
            for method in {each.content_hash: each for each in self._methods.values()}.values()
        ]
        acts += [
            RegisterOperator(by=None, operator=self._private(operator))
            for operator in self._scenario.operators
        ]
        acts += staff_acts(self._scenario)
        acts += [
            RegisterPerson(
                by=None,
                person=self._private(person.id),
                particulars=tuple((what, self._private(said)) for what, said in person.particulars),
            )
            for person in self._scenario.persons
        ]
        acts += [
            ReceiveLot(
                by=None,
                number=lot.number,
                assay=self._methods[lot.assay].assay.id,
                expires=lot.expires,
                units=lot.units,
            )
            for lot in self._scenario.lots
        ]
        acts += [
            ReceiveMaterial(
                by=None,
                number=each.number,
                kind=each.kind,
                assay=self._methods[each.assay].assay.id,
                expires=each.expires,
                expected=each.expected,
            )
            for each in self._scenario.samples
        ]
        acts += self._consents()
        for act in acts:
            await self._bay.do(act)

    def _consents(self) -> Iterator[NoteConsent]:
        """Yield what people consent to, as the first operator notes it before the start."""
        today = site_date(self._scenario.starts, self._zone)
        for operator in self._scenario.operators[:1]:
            for person in self._scenario.persons:
                if person.consent is not None:
                    yield NoteConsent(
                        by=operator,
                        person=person.id,
                        giver=person.consent.giver,
                        how=person.consent.how,
                        told_to=person.consent.told_to,
                        assays=person.consent.assays,
                        words=None,
                        today=today,
                    )

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
        )
        agenda: list[tuple[Instant, int, Deed | None]] = [
            (self.starts, place, None) for place in range(len(self._scenario.operators))
        ]
        while agenda:
            when, place, deed = heapq.heappop(agenda)
            await self._sleep_until(when)
            if deed is not None:
                (answer,) = await self._enter([self._read_back(deed.entry)])
                if deed.entry.do is Do.LABEL and answer.refusal is not None:
                    hands.label_refused(deed.entry, self._bay.now(), answer.refusal.code)
            for person in self._newly_invalid():
                hands.ask_again(person, self._bay.now())
            following = hands.next_deed(self._scenario.operators[place], self._bay.now())
            if isinstance(following, Deed):
                heapq.heappush(agenda, (following.ends, place, following))
            elif following < FAR:
                heapq.heappush(agenda, (following, place, None))

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
        applied = cartridge.applied
        elapsed = Span(0) if applied is None else between(applied.said, now)
        shows = self._scenario.shows(
            cartridge.label, self._bay.board.name(cartridge.labelled.subject)
        )
        lines = tuple((line.key, line.mark) for line in cartridge.assay.reading.lines)
        return bands_after(shows, lines, elapsed)

    async def _sleep_until(self, when: Instant) -> None:
        while (left := between(self._bay.now(), when)) > 0:
            await self._sleeper.sleep(Span(left))

    def _private(self, value: str) -> Private:
        return Private(
            key=self._identifiers.new("key"),
            salt=self._identifiers.new("salt"),
            value=value,
        )

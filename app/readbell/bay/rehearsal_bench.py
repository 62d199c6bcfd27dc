"""The bench of a rehearsal: who stands there, what lies there, and what breaks in.

This is the world, and not a help: it tells what eyes and ears would, at one instant, and
nothing that is still to come. Of a strip it gives what is to be drawn and no word for it.
Nothing that offers, asks, answers or refuses ever gets to see it.
"""

from __future__ import annotations

from dataclasses import field
from itertools import groupby
from typing import TYPE_CHECKING

from readbell.core.instant import Instant, Span, between, later
from readbell.core.made_later import dataclass
from readbell.core.people.particulars import Particular
from readbell.core.rehearsal.labels import as_labelled
from readbell.core.rehearsal.score_people import owed_still
from readbell.core.rehearsal.truth import drawn_at

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.rehearsal.scenario import (
        Interruption,
        Scenario,
        ScriptedPerson,
    )
    from readbell.core.rehearsal.virtual_cartridge import Drawn


@dataclass(frozen=True, slots=True, kw_only=True)
class Papers:
    """What somebody at the window says of themselves."""

    person: str = field(repr=False)
    beside: tuple[str, ...] = field(default=(), repr=False)
    """What they are known by beside the ID."""

    @property
    def words(self) -> str:
        """It in one text; what is beside the ID is told apart from it, for it is no second ID."""
        return f"{self.person} ({', '.join(self.beside)})" if self.beside else self.person


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxSeen:
    """A box, or a control material, as its print says."""

    number: str
    expires: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Device:
    """The chosen cartridge as it lies on the bench."""

    label: str
    pouch: str
    """The assay that stands on the pouch it came from."""
    expires: date | None
    """The day on the pouch."""
    written: str = field(repr=False)
    """Whom a colleague wrote beside the label; empty for a sample."""
    marks: tuple[str, ...]
    """What is printed beside the lines: that of the control line, then each test line's."""
    drawn: Drawn
    papers: Papers | None
    """Whoever answers when the person of this cartridge is asked; None: a sample, or they left."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BrokenIn:
    """An interruption that nobody has taken note of yet."""

    number: int
    interruption: Interruption


@dataclass(frozen=True, slots=True, kw_only=True)
class OnBench:
    """What eyes and ears would tell at one instant."""

    waiting: tuple[tuple[Papers, ...], ...]
    """Who came and has no cartridge yet; those who came together stand together."""
    boxes: tuple[BoxSeen, ...]
    badges: tuple[str, ...]
    """Who of the operators is here."""
    call: BrokenIn | None
    """What broke in first."""
    calls: int
    """How many interruptions wait."""
    behind: tuple[BrokenIn, ...]
    """What broke in behind the first, and waits for it."""
    device: Device | None
    lie_here: bool
    """Whether there are cartridges that one could look at."""
    is_over: bool
    """Whether nobody will come any more, and nothing is left to do."""


class RehearsalBench:
    """Knows the whole scenario, and tells of it what is so at an instant."""

    def __init__(self, scenario: Scenario, starts: Instant) -> None:
        self._scenario = scenario
        self._starts = starts

    @property
    def teaching(self) -> str:
        """The line that the scenario is to leave behind."""
        return self._scenario.teaching

    @property
    def goal(self) -> str:
        """What is to be brought about."""
        return self._scenario.goal

    def at(
        self, board: Board, now: Instant, chosen: str | None, answered: frozenset[int]
    ) -> OnBench:
        """Return what is so.

        Args:
            board: of the bay.
            now: the instant.
            chosen: opaque id of the cartridge that is looked at.
            answered: the interruptions that were taken note of, by their number.
        """
        passed = between(self._starts, now)
        cartridge = None if chosen is None else board.cartridge(chosen)
        calls = [*self._calls(passed, answered)]
        waiting = [*self._waiting(board, passed)]
        return OnBench(
            waiting=tuple(waiting),
            boxes=(
                *(BoxSeen(number=lot.number, expires=lot.expires) for lot in self._scenario.lots),
                *(
                    BoxSeen(number=sample.number, expires=sample.expires)
                    for sample in self._scenario.samples
                ),
            ),
            badges=tuple(each for each in self._scenario.operators if not self._away(each, passed)),
            call=calls[0] if calls else None,
            calls=len(calls),
            behind=tuple(calls[1:]),
            device=None if cartridge is None else self._device(board, cartridge, now),
            lie_here=bool(board.running),
            is_over=not (waiting or calls or board.running or self._owes(board) or board.waiting)
            and self.next_after(now) is None,
        )

    def _owes(self, board: Board) -> bool:
        return next(owed_still(self._scenario, board), None) is not None

    def came(self, person: str) -> Instant | None:
        """Return when somebody comes, or None if the scenario does not know them."""
        found = self._known(person)
        return None if found is None else later(self._starts, found.arrives)

    def next_after(self, now: Instant) -> Instant | None:
        """Return when next somebody comes, leaves or is back, or something breaks in."""
        passed = between(self._starts, now)
        times = [
            *(each.arrives for each in self._scenario.persons),
            *(each.at for each in self._scenario.interruptions),
            *(each.until for each in self._scenario.interruptions if each.until is not None),
        ]
        found = min((each for each in times if each > passed), default=None)
        return None if found is None else later(self._starts, found)

    def _waiting(self, board: Board, passed: Span) -> Iterator[tuple[Papers, ...]]:
        came = sorted(
            (each for each in self._scenario.persons if each.arrives <= passed),
            key=lambda each: each.arrives,
        )
        for _, together in groupby(came, key=lambda each: each.arrives):
            found = tuple(
                _papers(each)
                for each in together
                if not self._has_left(each.id, passed) and not _was_begun(board, each.id)
            )
            if found:
                yield found

    def _has_left(self, person: str, passed: Span) -> bool:
        leaves = self._scenario.leaves(person)
        return leaves is not None and leaves <= passed

    def _away(self, operator: str, passed: Span) -> bool:
        return any(at <= passed < until for at, until in self._scenario.away(operator))

    def _calls(self, passed: Span, answered: frozenset[int]) -> Iterator[BrokenIn]:
        for number, each in enumerate(self._scenario.interruptions, start=1):
            if each.at <= passed and number not in answered:
                yield BrokenIn(number=number, interruption=each)

    def _device(self, board: Board, cartridge: Cartridge, now: Instant) -> Device:
        scenario = as_labelled(self._scenario, board.labels)
        flaw = scenario.flaw_of(cartridge.label)
        lot = board.lots.get(cartridge.labelled.lot)
        rules = cartridge.assay.reading
        own = board.name(cartridge.labelled.subject) or ""
        person = self._known(own)
        has_left = person is not None and self._has_left(own, between(self._starts, now))
        return Device(
            label=cartridge.label,
            pouch=(flaw.assay if flaw is not None else "") or cartridge.assay.title,
            expires=(None if flaw is None else flaw.expires)
            or (None if lot is None else lot.expires),
            written=_written(scenario, board, cartridge, own),
            marks=(rules.control_mark, *(each.mark for each in rules.lines)),
            drawn=drawn_at(scenario, board, cartridge, now),
            papers=None if person is None or has_left else _papers(person),
        )

    def _known(self, person: str) -> ScriptedPerson | None:
        return next((each for each in self._scenario.persons if each.id == person), None)


def _written(scenario: Scenario, board: Board, cartridge: Cartridge, own: str) -> str:
    """Return whom the device was really taken for: a swapped label is seen by this alone."""
    label = scenario.device(cartridge.label)
    meant = cartridge if label == cartridge.label else board.labelled(label)
    return own if meant is None else board.name(meant.labelled.subject) or own


def _papers(person: ScriptedPerson) -> Papers:
    beside = (said for what, said in person.particulars if what is not Particular.CONTACT)
    return Papers(person=person.id, beside=tuple(beside))


def _was_begun(board: Board, person: str) -> bool:
    key = board.persons.get(person)
    return key is not None and bool(board.history.get(key))

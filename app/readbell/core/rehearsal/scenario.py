"""A scenario: a day at the bay as a script, with or without acts."""

from __future__ import annotations

from dataclasses import field
from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass
from readbell.core.policy.policy import UNDECIDED, SitePolicy
from readbell.core.rehearsal.virtual_cartridge import Shows

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from datetime import date

    from readbell.core.board.entry import Entry
    from readbell.core.controls.material import SampleKind
    from readbell.core.instant import Span
    from readbell.core.people.particulars import ConsentBy, ConsentHow, Particular, ToldTo
    from readbell.core.reading.interpretation import LineOutcome
    from readbell.core.staff.roles import Role
    from readbell.core.stock.events import Storage


@dataclass(frozen=True, slots=True, kw_only=True)
class ScriptedLot:
    """A box of kits on the shelf."""

    number: str
    assay: str
    """The assay's id, or a path relative to the scenario."""
    expires: date
    units: int | None
    storage: Storage | None = None
    """None, here as below: nothing is said of it."""
    buffer: str | None = None
    good_days: int | None = None
    """So many days after it was opened it is still good."""

    @property
    def is_described(self) -> bool:
        """Whether anything is said of it beside number, day and units."""
        return (self.storage, self.buffer, self.good_days) != (None, None, None)


@dataclass(frozen=True, slots=True, kw_only=True)
class ScriptedConsent:
    """What a person consents to as they come."""

    giver: ConsentBy
    how: ConsentHow
    told_to: ToldTo
    assays: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ScriptedPerson:
    """Somebody who comes to be tested."""

    id: str
    arrives: Span
    shows: Shows
    particulars: tuple[tuple[Particular, str], ...] = ()
    """What they are known by or reached by beside the ID."""
    consent: ScriptedConsent | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ScriptedSample:
    """A control material on the shelf, and what a device shows that is given a sample of it."""

    number: str
    kind: SampleKind
    assay: str
    """As for a lot."""
    expires: date
    expected: tuple[LineOutcome, ...]
    """By key or printed letter; empty: as is usual for its kind."""
    shows: Shows


@dataclass(frozen=True, slots=True, kw_only=True)
class ScriptedAct:
    """An entry, and when it is made after the start."""

    at: Span
    entry: Entry
    done_at: Span | None = None
    """When the step was done, after the start, if that is stated afterwards."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Nap:
    """The lid is shut: the computer sleeps and nothing rings until it is opened."""

    shut: Span
    open: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class ScriptedStaff:
    """What an operator may do, and is cleared for."""

    operator: str
    roles: tuple[Role, ...] | None
    """None: nothing was said."""
    cleared: tuple[tuple[str, date], ...]
    """Ids of assays, each with its last day."""


class Difficulty(StrEnum):
    """How much a scenario asks of whoever practises."""

    EASY = "easy"
    NORMAL = "normal"
    HARD = "hard"
    WORST = "worst"


class FlawKind(StrEnum):
    """What is wrong with one device, and can be seen on it alone."""

    OUT_OF_DATE = "out-of-date"
    """Its pouch bears a day that is past, whatever the box says."""
    WRONG_ASSAY = "wrong-assay"
    """It is a device of another assay that lay in the box."""
    LABEL_SWAPPED = "label-swapped"
    """A colleague wrote two labels and took one device for the other."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Flaw:
    """A device that must not be read as what its label says: it is voided, and a fresh one taken."""

    cartridge: str
    kind: FlawKind
    expires: date | None = None
    """Of one out of date: the day on its pouch."""
    assay: str = ""
    """Of another assay: what stands on its pouch."""
    other: str = ""
    """Of a swapped label: the label it should bear."""


class InterruptionKind(StrEnum):
    """What breaks into the work."""

    QUESTION = "question"
    CAR_LEAVES = "car-leaves"
    CALLED_AWAY = "called-away"
    LID_CLOSED = "lid-closed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Interruption:
    """Something that breaks into the work at a given time."""

    at: Span
    kind: InterruptionKind
    says: str
    """What whoever practises is told; the scenario's own words."""
    answers: tuple[str, ...] = ()
    """Of a question: what is right, each a whole answer; case and blanks do not matter."""
    persons: tuple[str, ...] = ()
    """Of a car that leaves: who is in it; nobody of them can be begun from then on."""
    operator: str = ""
    """Of somebody called away: who."""
    until: Span | None = None
    """When the operator is back, or the lid open again."""

    def is_right(self, answer: str) -> bool:
        """Say whether `answer` is one of the right ones."""
        return _plain(answer) in {_plain(each) for each in self.answers}


@dataclass(frozen=True, slots=True, kw_only=True)
class Scenario:
    """Everything a rehearsal needs besides the assays themselves."""

    title: str
    starts: int
    """UTC milliseconds since 1970."""
    timezone: str
    assay: str
    operators: tuple[str, ...]
    lots: tuple[ScriptedLot, ...]
    persons: tuple[ScriptedPerson, ...]
    acts: tuple[ScriptedAct, ...] = ()
    """Empty: a steady pair of hands for each operator does the work."""
    cartridges: Mapping[str, Shows] = field(default_factory=dict)
    """By label: a device that shows something of its own, whoever it is run for."""
    naps: tuple[Nap, ...] = ()
    samples: tuple[ScriptedSample, ...] = ()
    policy: SitePolicy = UNDECIDED
    staff: tuple[ScriptedStaff, ...] = ()
    """What is said of operators beside their ids."""
    goal: str = ""
    """What whoever plays it is to bring about."""
    teaching: str = ""
    """One line of practice that it is meant to leave behind."""
    difficulty: Difficulty | None = None
    interruptions: tuple[Interruption, ...] = ()
    """In the order of time."""
    flaws: tuple[Flaw, ...] = ()

    def flaw_of(self, label: str) -> Flaw | None:
        """Return what is wrong with the device `label`; a swapped label concerns both devices."""
        return next((each for each in self.flaws if label in (each.cartridge, each.other)), None)

    def device(self, label: str) -> str:
        """Return the label that the device with `label` on it should bear; mostly the same."""
        for each in self.flaws:
            if each.other and label in (each.cartridge, each.other):
                return each.other if label == each.cartridge else each.cartridge
        return label

    def away(self, operator: str) -> tuple[tuple[Span, Span], ...]:
        """Return from when to when `operator` is called away, in order."""
        return tuple(
            (each.at, each.until)
            for each in self.interruptions
            if each.operator == operator and each.until is not None
        )

    def broken_in(self, by: Span) -> tuple[Interruption, ...]:
        """Return what has broken in so long after the start."""
        return tuple(each for each in self.interruptions if each.at <= by)

    def leaves(self, person: str) -> Span | None:
        """Return when the car with `person` in it leaves, or None if it stays."""
        return next((each.at for each in self.interruptions if person in each.persons), None)

    def shows(self, label: str, person: str | None) -> Shows:
        """Return what the cartridge `label` of `person` shows: the device goes first."""
        own = self.cartridges.get(label)
        if own is not None:
            return own
        given = (*((each.id, each.shows) for each in self.persons), *self._of_samples())
        found = next((shows for name, shows in given if name == person), None)
        return found or Shows()

    def _of_samples(self) -> Iterator[tuple[str, Shows]]:
        return ((each.number, each.shows) for each in self.samples)


def _plain(words: str) -> str:
    return " ".join(words.casefold().split())

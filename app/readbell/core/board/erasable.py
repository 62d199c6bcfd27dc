"""What an erasing erases: every identifier and free text about those who are to be forgotten.

Of one person: the ID, all that was noted of them, free text about their cartridges, the
name of the party they came in, what was entered in acts about them that were refused,
and whatever other text has their ID or their name in it.

Of a closed period: the same of everybody who was last seen in it, and all free text
about cartridges, parties and refused acts of it, whoever they were. Who came again
later, or is not done with, keeps the ID and what is known beside it: the next visit
goes by that. Those who work here keep their names, and so do lots and shifts: they are
answerable for the work, and a record of a lot names nobody who was tested.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from readbell.core.board.closed_period import ClosedPeriod
from readbell.core.board.concerns import Links, entered_in, kept_apart_in
from readbell.core.board.events import ActRefused
from readbell.core.keeping.acts import Erasable
from readbell.core.made_later import dataclass
from readbell.core.people.events import OperatorRegistered, ParticularNoted, PersonRegistered
from readbell.core.people.particulars import Particular
from readbell.core.review.events import ReadingHeld
from readbell.core.staff.events import RecordOpened
from readbell.core.stations.events import ActKeptApart

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from readbell.core.board.event import Event
    from readbell.core.private import Private

SHORTEST = 3
"""A text with fewer letters is no sign that somebody is meant (our own choice)."""
WORDS = re.compile(r"[^\s\"'(){}\[\],;:!?]+")
"""What stands between blanks and marks; a full stop may be part of an ID."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Kept:
    """One value beside the chain."""

    key: str
    place: int
    """The number of its event."""
    person: str | None = None
    party: str | None = None
    is_entry: bool = False
    """Whether it is what was entered in an act that was refused, or that is kept apart."""
    is_known_by: bool = False
    """Whether it is an ID, or something noted beside one: a later visit goes by it."""
    about: str | None = None
    """The cartridge, the run on paper, the person or the party that it is a text about."""


class Gathering:
    """Walks along a record and notes what of it could be erased, and whose it is."""

    def __init__(self) -> None:
        self._links = Links()
        self._places = 0
        self._kept: list[_Kept] = []
        self._texts: dict[str, str] = {}
        self._ids: dict[str, str] = {}
        self._called: dict[str, list[str]] = {}
        self._seen: dict[str, int] = {}
        self._parties: dict[str, tuple[str, ...]] = {}
        self.period = ClosedPeriod()

    def see(self, event: Event, *, in_time: bool) -> None:
        """Take in the next event; `in_time`: whether a wanted period may still hold it."""
        self._places += 1
        links = self._links
        links.note(event)
        self.period.see(event, in_time=in_time)
        party, person = links.party_of(event), links.person_of(event)
        if party is not None:
            self._parties[party[0]] = party[1]
        if isinstance(event, ActRefused) and person is None:
            person = self._ids.get(entered_in(event, "person"))
        self._note_contact(event, person, () if party is None else party[1])
        self._note_called(event)
        named = person if party is None else party[0]
        about = links.cartridge_of(event) or named
        for each in _about_those_tested(event):
            if each.value is None:
                continue  # erased before
            self._kept.append(
                _Kept(
                    key=each.key,
                    place=self._places,
                    person=person,
                    party=None if party is None else party[0],
                    is_entry=isinstance(event, (ActRefused, ActKeptApart)),
                    is_known_by=isinstance(event, (PersonRegistered, ParticularNoted)),
                    about=about,
                )
            )
            self._texts[each.key] = each.value

    def _note_contact(self, event: Event, person: str | None, others: tuple[str, ...]) -> None:
        """Note that somebody was here: to look at what is on record of them is no visit."""
        if isinstance(event, (RecordOpened, ActRefused)):
            return
        for each in (person, *others):
            if each is not None:
                self._seen[each] = self._places

    def _note_called(self, event: Event) -> None:
        match event:
            case PersonRegistered(person=known) if known.value is not None:
                self._ids[known.value] = known.key
                self._called.setdefault(known.key, []).append(known.value)
            case ParticularNoted(what=what, value=said, person=key) if said.value is not None:
                # One word alone may be anybody's name; a date of birth is many people's.
                is_telling = what is Particular.CONTACT or (
                    what is Particular.NAME and len(said.value.split()) > 1
                )
                if is_telling:
                    self._called.setdefault(key, []).append(said.value)
            case _:
                pass

    def of_person(self, person: str) -> Erasable:
        """Return what is to go of the person with this key."""
        found = {each.key for each in self._kept if self._is_about(each, person)}
        return self._erasable(found, (person,))

    def _is_about(self, kept: _Kept, person: str) -> bool:
        if kept.party is not None:
            return person in self._parties[kept.party]
        return kept.person == person

    def of_period(self, undone: frozenset[str]) -> Erasable:
        """Return what is to go of the longest closed period.

        Args:
            undone: keys of persons who wait, whose cartridge runs, or with whose result
                something is still to be done.
        """
        end = self.period.found.events
        known = {
            each.person: None
            for each in self._kept
            if each.person is not None and each.is_known_by and each.place <= end
        }
        gone = tuple(each for each in known if self._seen[each] <= end and each not in undone)
        going = frozenset(gone)
        found = {
            each.key
            for each in self._kept
            if each.person in going
            or (each.place <= end and not each.is_known_by and self._is_free(each, undone))
        }
        return self._erasable(found, gone, kept=len(known) - len(gone))

    def _is_free(self, kept: _Kept, undone: frozenset[str]) -> bool:
        """Say whether a free text is about a person, a party or a refused act that is done with."""
        if kept.party is not None:
            return not undone.intersection(self._parties[kept.party])
        if kept.person is not None:
            return kept.person not in undone
        return kept.is_entry

    def names_one_of(self, text: str, persons: tuple[str, ...]) -> bool:
        """Say whether `text` has in it what one of `persons` is called."""
        return self._called_as(persons).are_in(text)

    def _called_as(self, persons: tuple[str, ...]) -> Called:
        return Called(each for person in persons for each in self._called.get(person, ()))

    def _erasable(self, found: set[str], persons: tuple[str, ...], kept: int = 0) -> Erasable:
        called = self._called_as(persons)
        gone = {
            each.key: each.about
            for each in self._kept
            # An ID or a name is of one person, whatever somebody else's looks like.
            if each.key in found or (not each.is_known_by and called.are_in(self._texts[each.key]))
        }
        whose = {key: each for key, each in gone.items() if each is not None}
        return Erasable(keys=tuple(gone), persons=persons, kept=kept, whose=whose)


class Called:
    """IDs, names and contacts of those who are to be forgotten, to be looked for in free text."""

    def __init__(self, called: Iterable[str]) -> None:
        self._single: set[str] = set()
        self._several: dict[str, list[str]] = {}
        """By their first word."""
        for each in called:
            folded = each.casefold().strip()
            words = WORDS.findall(folded)
            if len(folded) < SHORTEST or not words:
                continue
            if words == [folded]:
                self._single.add(folded)
            else:
                self._several.setdefault(words[0], []).append(folded)

    def are_in(self, text: str) -> bool:
        """Say whether one of them is in `text`."""
        folded = text.casefold()
        found = {word for each in WORDS.findall(folded) for word in (each, each.rstrip("."))}
        return not self._single.isdisjoint(found) or any(
            name in folded for word in found for name in self._several.get(word, ())
        )


def _about_those_tested(event: Event) -> Iterator[Private]:
    """Yield what `event` brought in, save what those who work here are called."""
    if isinstance(event, (OperatorRegistered, ReadingHeld)):
        return
    yield from kept_apart_in(event)

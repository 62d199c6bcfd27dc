"""Whom and what an event is about: learned from the record, in its order.

An event names a person by key, or a cartridge whose person was named when it was
labelled, or a party. So whoever asks what concerns somebody walks the record from its
first event and learns on the way whose everything is. What an event is about is read
off the names of its fields, which are the same for every kind: a kind that comes later
is found by them too.
"""

from __future__ import annotations

import json
from dataclasses import fields
from functools import cache
from typing import TYPE_CHECKING

from readbell.core.cartridge.events import CartridgeLabelled, SubjectKind
from readbell.core.paper.events import PaperRunEntered
from readbell.core.people.events import PartyRegistered, PersonRegistered
from readbell.core.private import Private

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.event import Event
    from readbell.core.board.events import ActRefused

ACTORS = ("by", "operator", "witness")
"""Fields that name somebody who works here, by key."""
SEVERAL = ("cartridges", "touched", "concerned", "paper_runs", "results")
"""Fields that name many cartridges at once, or runs on paper; or hold values that each name one."""
LOTS = ("lot", "number")


class Links:
    """Which cartridge is whose and of which lot, and who came together, as far as it was told."""

    def __init__(self) -> None:
        self._person_of: dict[str, str] = {}
        self._lot_of: dict[str, str] = {}
        self._party: dict[str, tuple[str, ...]] = {}

    def note(self, event: Event) -> None:
        """Take in what `event` says about whose something is."""
        match event:
            case CartridgeLabelled():
                self._lot_of[event.cartridge] = event.lot
                if event.subject_kind is SubjectKind.PATIENT:
                    self._person_of[event.cartridge] = event.subject
            case PaperRunEntered():
                self._lot_of[event.run] = event.lot
                self._person_of[event.run] = event.person
            case PartyRegistered():
                self._party[event.party.key] = event.persons
            case _:
                pass

    def cartridge_of(self, event: Event) -> str | None:
        """Return the one cartridge, or run on paper, that `event` is about."""
        found = getattr(event, "cartridge", None) or getattr(event, "run", None)
        return found if isinstance(found, str) else None

    def owner_of(self, cartridge: str) -> str | None:
        """Return the person for whom a cartridge, or a run on paper, was begun."""
        return self._person_of.get(cartridge)

    def person_of(self, event: Event) -> str | None:
        """Return the one person whom `event` is about, by name or through a cartridge of theirs."""
        if isinstance(event, PersonRegistered):
            return event.person.key
        named = getattr(event, "person", None)
        if isinstance(named, str):
            return named
        cartridge = self.cartridge_of(event)
        return None if cartridge is None else self.owner_of(cartridge)

    def party_of(self, event: Event) -> tuple[str, tuple[str, ...]] | None:
        """Return the party that `event` is about, by key, and the persons in it."""
        if isinstance(event, PartyRegistered):
            return event.party.key, event.persons
        named = getattr(event, "party", None)
        return (named, self._party.get(named, ())) if isinstance(named, str) else None

    def cartridges_in(self, event: Event) -> Iterator[str]:
        """Yield each cartridge, or run on paper, that `event` names, of many at once too."""
        one = self.cartridge_of(event)
        if one is not None:
            yield one
        for name in SEVERAL:
            many = getattr(event, name, ())
            each_named = many if isinstance(many, tuple) else ()
            named = (getattr(each, "cartridge", each) for each in each_named)
            yield from (each for each in named if isinstance(each, str))

    def persons_in(self, event: Event) -> Iterator[str]:
        """Yield each person whom `event` is about, alone or among others; some more than once."""
        one = self.person_of(event)
        if one is not None:
            yield one
        party = self.party_of(event)
        if party is not None:
            yield from party[1]
        named = getattr(event, "persons", ())
        yield from named if isinstance(named, tuple) else ()
        for cartridge in self.cartridges_in(event):
            found = self.owner_of(cartridge)
            if found is not None:
                yield found

    def lots_in(self, event: Event) -> Iterator[str]:
        """Yield each lot that `event` names, itself or through a cartridge."""
        for name in LOTS:
            named = getattr(event, name, None)
            if isinstance(named, str):
                yield named
        for cartridge in self.cartridges_in(event):
            found = self._lot_of.get(cartridge)
            if found is not None:
                yield found


def actors_in(event: Event) -> Iterator[str]:
    """Yield the key of each operator whom `event` names."""
    for name in ACTORS:
        named = getattr(event, name, None)
        if isinstance(named, str):
            yield named
        elif isinstance(named, Private):  # the very event that makes them known
            yield named.key


def kept_apart_in(event: Event) -> Iterator[Private]:
    """Yield each identifier or free text that `event` brought in."""
    kind: type = type(event)
    for name in _may_hold_private(kind):
        found = getattr(event, name)
        if isinstance(found, Private):
            yield found


@cache
def _may_hold_private(kind: type) -> tuple[str, ...]:
    return tuple(each.name for each in fields(kind) if "Private" in str(each.type))


def entered_in(event: ActRefused, name: str) -> str:
    """Return what was entered under `name` in an act that was refused; nothing if it is erased."""
    entered = None if event.entered is None else event.entered.value
    if entered is None:
        return ""
    try:
        found = json.loads(entered)
    except ValueError:
        return ""
    said = found.get(name) if isinstance(found, dict) else None
    return said if isinstance(said, str) else ""

"""A person's own record as it may be handed to them: nobody else's identifiers in it.

Whoever works here stands in it as "operator 1", "operator 2": who did what stays the
record's own, where a supervisor finds it by the number of the event. Whoever else was
tested is "another person". In free text whatever reads like an ID or a name of somebody
else is left out, and the note of a party is left out whole, for it was written of all.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import fields, replace
from typing import TYPE_CHECKING, Any

from readbell.core.board.concerns import SEVERAL, actors_in
from readbell.core.board.erasable import SHORTEST, WORDS
from readbell.core.board.events import ActRefused
from readbell.core.people.events import PartyNoted, PersonRegistered
from readbell.core.people.particulars import OfParty
from readbell.core.private import Private
from readbell.core.review.events import ReadingHeld

if TYPE_CHECKING:
    import re

    from readbell.bay.tracing import Told
    from readbell.core.board.board import Board
    from readbell.core.board.event import Event

SOMEBODY_ELSE = "[somebody else]"
LEFT_OUT = "[left out: it may be about others]"
ANOTHER = "another person"


class Discretion:
    """Takes out of a person's story who else is in it.

    Args:
        person: key of the person.
        board: the bay as it stands, which knows everybody.
    """

    def __init__(self, person: str, board: Board) -> None:
        self._person = person
        self._mine = {person, *board.history.get(person, ()), *board.on_paper.get(person, ())}
        self._operators: dict[str, str] = {}
        own = {
            each
            for said in (board.name(person), *_names_of(board, person))
            for each in _words(said or "")
        }
        self._others = frozenset(_words_of_others(board, person)) - own
        self._id = board.name(person) or ""

    def discreet(self, told: Told) -> Told:
        """Return `told` with nobody named in it but the person."""
        event = told.event
        for key in actors_in(event):
            self._operators.setdefault(key, f"operator {len(self._operators) + 1}")
        parties = {key for key, each in told.board.parties.items() if self._person in each.persons}
        names = _Masked(told.board.names, self._operators, self._mine | parties)
        return replace(
            told,
            envelope=replace(told.envelope, event=self._masked(event)),
            board=replace(told.board, names=names),
        )

    def names_in(self, found: Any) -> Any:
        """Return what was parsed of an event with each key of an operator as they are called here."""
        if isinstance(found, dict):
            return {key: self.names_in(each) for key, each in found.items()}
        if isinstance(found, list):
            return [self.names_in(each) for each in found]
        return self._operators.get(found, found) if isinstance(found, str) else found

    def _masked(self, event: Event) -> Event:
        changed: dict[str, Any] = {}
        for each in fields(event):
            value = getattr(event, each.name)
            if each.name in SEVERAL and isinstance(value, tuple):
                changed[each.name] = tuple(one for one in value if _name_of(one) in self._mine)
            elif isinstance(value, Private) and value.value is not None:
                changed[each.name] = replace(value, value=self._said(event, value.value))
        persons = getattr(event, "persons", None)
        if isinstance(persons, tuple):
            changed["persons"] = tuple(
                each if each == self._person else ANOTHER for each in persons
            )
        return replace(event, **changed)

    def _said(self, event: Event, text: str) -> str:
        match event:
            case PersonRegistered():
                return text
            case PartyNoted(what=OfParty.NOTE):
                return LEFT_OUT
            case ReadingHeld():
                return SOMEBODY_ELSE  # a name that an operator typed
            case ActRefused():
                return self._entered(text)
            case _:
                return self._scrubbed(text)

    def _entered(self, text: str) -> str:
        try:
            found = json.loads(text)
        except ValueError:
            return LEFT_OUT
        kept = {
            name: (said if said == self._id else SOMEBODY_ELSE)
            if name in ("by", "operator", "witness", "person", "second")
            else self._each_scrubbed(said)
            for name, said in found.items()
            if said is not None
        }
        return json.dumps(kept, ensure_ascii=False)

    def _each_scrubbed(self, said: Any) -> Any:
        """Return what was entered with nobody else in it; an instant or a list stays what it is."""
        if isinstance(said, list):
            return [self._each_scrubbed(each) for each in said]
        return self._scrubbed(said) if isinstance(said, str) else said

    def _scrubbed(self, text: str) -> str:
        def other(found: re.Match[str]) -> str:
            word = found[0].casefold()
            hit = word in self._others or word.rstrip(".") in self._others
            return SOMEBODY_ELSE if hit else found[0]

        return WORDS.sub(other, text)


class _Masked(Mapping[str, str | None]):
    """Names by key: the person's own, operators by number, of everybody else that they are another."""

    def __init__(
        self, names: Mapping[str, str | None], operators: Mapping[str, str], mine: set[str]
    ) -> None:
        self._names, self._operators, self._mine = names, operators, mine

    def __getitem__(self, key: str) -> str | None:
        if key in self._mine:
            return self._names[key]
        return self._operators.get(key, ANOTHER)

    def __iter__(self) -> Iterator[str]:
        return iter(self._names)

    def __len__(self) -> int:
        return len(self._names)


def _name_of(one: object) -> object:
    return getattr(one, "cartridge", one)


def _words(text: str) -> Iterator[str]:
    return (each.casefold() for each in WORDS.findall(text) if len(each) >= SHORTEST)


def _names_of(board: Board, person: str) -> tuple[str | None, ...]:
    file = board.person_files.get(person)
    return () if file is None else (file.name, file.contact, file.born)


def _words_of_others(board: Board, person: str) -> Iterator[str]:
    """Yield each word that somebody else is known by here."""
    for said in (*board.operators, *board.persons):
        yield from _words(said)
    for key, file in board.person_files.items():
        if key != person:
            yield from _words(f"{file.name or ''} {file.contact or ''}")

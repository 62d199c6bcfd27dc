"""Somebody who was entered leaves before anything is begun for them: nobody waits for them any more.

They declined nothing, so no consent is touched; and nothing came to nothing, so no repeat is owed.
Whoever comes back is entered again, or begun at once. What runs for somebody is given up by itself.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.instant import DAY, Span, earlier
from readbell.core.people.events import PersonLeft
from readbell.core.refusal import Refusal, RefusalCode

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.board.draft import Draft
    from readbell.core.instant import Instant
    from readbell.core.people.acts import NoteLeft
    from readbell.core.private import Private

NOT_WAITING = "not waiting"
GONE_ALREADY = "gone already"
NOBODY_WAITS = "nobody of the party waits"
UNKNOWN_PARTY = "unknown party"

STAYS = Span(2 * DAY)
"""How long a board knows of those who left: longer than any day; the record has them for good."""


def decide_left(
    board: Board, act: NoteLeft, by: str, now: Instant
) -> tuple[PersonLeft, ...] | Refusal:
    """Judge that somebody has left, or all of a party who still wait."""
    persons = _who(board, act)
    if isinstance(persons, Refusal):
        return persons
    return tuple(
        PersonLeft(at=now, by=by, person=each, reason=act.reason, words=_of_each(act.words, place))
        for place, each in enumerate(persons)
    )


def may_leave(board: Board, person: str) -> bool:
    """Say whether the person with this key was entered, and nothing was begun for them yet."""
    if person in board.waiting:
        return True
    is_tested = person in board.history or person in board.on_paper
    return not is_tested and person not in board.gone


def left_with(board: Board, person: str) -> tuple[str, ...]:
    """Return the keys of those who left with the person with this key, in one act, all together."""
    event = board.gone[person]
    party = board.party_of(person)
    together = () if party is None else party.persons
    same = (each for each in together if each in board.gone and board.gone[each].at == event.at)
    return tuple(same) or (person,)


def enter_left(draft: Draft, event: PersonLeft) -> None:
    """Enter that somebody has left, and let those go who left on another day."""
    draft.waiting.drop(event.person)
    since = earlier(event.at, STAYS)
    for key in [key for key, each in draft.gone.mapping.items() if each.at < since]:
        draft.gone.drop(key)
    draft.gone.put(event.person, event)


def _who(board: Board, act: NoteLeft) -> tuple[str, ...] | Refusal:
    if act.party is not None:
        waiting = tuple(
            key for key, party in board.waiting.items() if board.name(party) == act.party
        )
        if waiting:
            return waiting
        is_known = any(board.name(key) == act.party for key in board.parties)
        subject = NOBODY_WAITS if is_known else UNKNOWN_PARTY
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=subject)
    person = board.persons.get(act.person or "")
    if person is None:
        return Refusal(code=RefusalCode.UNKNOWN_PERSON)
    if may_leave(board, person):
        return (person,)
    why = GONE_ALREADY if person in board.gone else NOT_WAITING
    return Refusal(code=RefusalCode.NOT_ALLOWED, subject=why)


def _of_each(words: Private | None, place: int) -> Private | None:
    """Return the words for one of several events, under a key of its own: each is kept apart."""
    if words is None or place == 0:
        return words
    return replace(words, key=f"{words.key}-{place}")

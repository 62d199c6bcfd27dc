"""Somebody was erased in the shared record while a station was alone: what it said of them goes too.

It could not know of it. Its words would bring back a name under a key that names nobody any more,
where no erasing of a person could find it. So what came home of such words is erased in the same
append, in the name of whoever erased the person.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.concerns import kept_apart_in
from readbell.core.board.erasable import Called
from readbell.core.keeping.events import RecordErased
from readbell.core.people.events import OperatorRegistered, PersonRegistered
from readbell.core.review.events import ReadingHeld

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.instant import Instant

STAY = (OperatorRegistered, ReadingHeld, PersonRegistered)
"""Names of those who work here, and who came again: they were entered anew, and are somebody else."""


def erased_meanwhile(
    base: Board, theirs: Iterable[Event], board: Board, ours: Iterable[Event], at: Instant
) -> tuple[RecordErased, ...]:
    """Return what erases the words in `ours` about those who were erased in `theirs`.

    Args:
        base: the board when the link was lost; it knows what they were called.
        theirs: what the others recorded since.
        board: the one with everything that came home.
        ours: what is to be recorded of what was done alone.
        at: when that is.
    """
    erasings = [each for each in theirs if isinstance(each, RecordErased)]
    gone = frozenset(key for each in erasings for key in each.keys)
    called = Called(_called(base, gone))
    whose: dict[str, str | None] = {}
    for event in ours:
        if isinstance(event, STAY):
            continue
        about, is_theirs = _about(board, event, gone)
        for each in kept_apart_in(event):
            if each.value is not None and (is_theirs or called.are_in(each.value)):
                whose[each.key] = about
    if not whose:
        return ()
    last = erasings[-1]
    return (
        RecordErased(
            at=at,
            by=last.by,
            scope=last.scope,
            through=last.through,
            people=0,
            kept=0,
            keys=tuple(whose),
            words=None,
            whose=tuple(dict.fromkeys(each for each in whose.values() if each is not None)),
        ),
    )


def _called(base: Board, gone: frozenset[str]) -> Iterator[str]:
    for key in gone:
        known = base.name(key)
        if known is not None:
            yield known
        file = base.person_files.get(key)
        if file is not None and file.name is not None and len(file.name.split()) > 1:
            yield file.name


def _about(board: Board, event: Event, gone: frozenset[str]) -> tuple[str | None, bool]:
    """Return what `event` is about, and whether that is somebody of `gone`."""
    cartridge = getattr(event, "cartridge", None)
    found = None if cartridge is None else board.cartridge(cartridge)
    if found is not None:
        return found.id, found.labelled.subject in gone
    party = board.parties.get(getattr(event, "party", None) or "")
    if party is not None:
        return party.key, not gone.isdisjoint(party.persons)
    person = getattr(event, "person", None)
    return person, person in gone

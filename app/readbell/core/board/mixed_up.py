"""One person's specimen or device was taken for another's: everything concerned is taken back.

A result is never moved from one person to another. Each person concerned has to be told, and
gives a new specimen; until they have a fresh cartridge they stand on a list.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.board.reviewed import key_of, reviewed
from readbell.core.board.subjects import is_patients
from readbell.core.cartridge.events import CartridgeVoided, Identified, VoidReason
from readbell.core.made_later import dataclass
from readbell.core.paper.events import PaperRunEntered
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.review.events import MixUpFound, ResultWithdrawn
from readbell.core.review.reasons import WithdrawReason

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.board import Board
    from readbell.core.board.draft import Draft
    from readbell.core.board.reviewed import Reviewed
    from readbell.core.instant import Instant
    from readbell.core.private import Private
    from readbell.core.review.acts import WithdrawResult

MIXED_UP = frozenset({WithdrawReason.ANOTHER_PERSON, WithdrawReason.ANOTHER_CARTRIDGE})
NO_MIX_UP = "no mix-up"
"""Others are named, and the reason is none that concerns others."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonMixedUp:
    """One person who is to be told, and to give a new specimen."""

    at: Instant
    cartridges: tuple[str, ...]
    """Opaque ids of all that was mixed up, this person's own or another's."""


def with_others(
    board: Board, act: WithdrawResult, first: Reviewed, event: ResultWithdrawn
) -> tuple[ResultWithdrawn | CartridgeVoided | MixUpFound, ...] | Refusal:
    """Return what comes of a withdrawal that may concern others too.

    Args:
        board: the bay.
        act: what is asked for.
        first: the cartridge, or the run on paper, that it names first.
        event: the withdrawal of that one.
    """
    if not act.others and not act.persons:
        return (event,)
    if act.reason not in MIXED_UP:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=NO_MIX_UP)
    concerned = {key_of(first): first}
    for named in act.others:
        found = reviewed(board, named, event.at)
        if found is None:
            return Refusal(code=RefusalCode.UNKNOWN_CARTRIDGE, subject=named)
        concerned[key_of(found)] = found
    persons = [each for found in concerned.values() for each in _persons(found)]
    for person in act.persons:
        key = board.persons.get(person)
        if key is None:
            return Refusal(code=RefusalCode.UNKNOWN_PERSON)
        persons.append(key)
    others = (
        each for each in concerned.values() if each is not first and not is_taken_back(board, each)
    )
    taken_back = [
        taken
        for place, each in enumerate(others, start=1)
        for taken in _taken_back(each, replace(event, words=_written_again(act.words, place)))
    ]
    mixed_up = MixUpFound(
        at=event.at,
        by=event.by,
        cartridges=tuple(concerned),
        persons=tuple(dict.fromkeys(persons)),
        reason=event.reason,
        own=event.own,
    )
    return event, *taken_back, mixed_up


def enter_mix_up(draft: Draft, event: MixUpFound) -> None:
    """Enter who is to be told and to give a new specimen."""
    for person in event.persons:
        mixed_up = PersonMixedUp(at=event.at, cartridges=event.cartridges)
        draft.new_specimen.put(person, mixed_up)


def _written_again(words: Private, place: int) -> Private:
    """Return the same words for one more event, under a key of their own: each is kept apart."""
    return replace(words, key=f"{words.key}-{place}")


def is_taken_back(board: Board, found: Reviewed) -> bool:
    """Say whether a supervisor took the result of it back already."""
    if isinstance(found, PaperRunEntered):
        return found.run in board.paper_withdrawn
    return found.withdrawn is not None


def _persons(found: Reviewed) -> tuple[str, ...]:
    """Return the key of the person it was run for; nothing of a sample."""
    if isinstance(found, PaperRunEntered):
        return (found.person,)
    return (found.labelled.subject,) if is_patients(found) else ()


def _taken_back(
    found: Reviewed, like: ResultWithdrawn
) -> Iterator[ResultWithdrawn | CartridgeVoided]:
    """Yield how a further one is taken back; nothing where nothing can come of it."""
    if isinstance(found, PaperRunEntered) or found.reading is not None or found.early_looks:
        yield replace(like, cartridge=key_of(found))
    elif not found.has_ended:
        yield CartridgeVoided(
            at=like.at,
            by=like.by,
            cartridge=found.id,
            reason=VoidReason.LABEL_ERROR,
            words=None,
            identified=Identified(),
        )

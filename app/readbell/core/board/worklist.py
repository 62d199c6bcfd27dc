"""The worklist of results to tell, and who may hear each of them."""

from __future__ import annotations

from itertools import islice
from typing import TYPE_CHECKING

from readbell.core.board.layered import backwards
from readbell.core.board.results import result_called
from readbell.core.board.telling_fold import rule_for
from readbell.core.cartridge.at_instant import closed_unread
from readbell.core.instant import HOUR, Span, later
from readbell.core.made_later import dataclass
from readbell.core.people.events import ConsentNoted
from readbell.core.people.file import NOTHING_KNOWN
from readbell.core.people.particulars import ToldTo
from readbell.core.results.telling import Hearer
from readbell.core.results.to_tell import Urgency, is_to_notify, misled_by, urgency_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from readbell.core.board.board import Board
    from readbell.core.instant import Instant
    from readbell.core.results.result import Result
    from readbell.core.results.telling import ResultTold

MOST = 200
"""Of each kind so many are looked at, the newest; a bay that tells its results has fewer."""

_MAY_HEAR = {
    ToldTo.PERSON: (Hearer.PERSON,),
    ToldTo.GUARDIAN: (Hearer.PERSON, Hearer.GUARDIAN),
    ToldTo.OTHER: (Hearer.PERSON, Hearer.OTHER),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice:
    """An office that has to be notified, and by when."""

    office: str
    due: Instant


@dataclass(frozen=True, slots=True, kw_only=True)
class ToTell:
    """One line of the worklist."""

    result: Result
    urgency: Urgency
    at: Instant
    """Since when it is to be told."""
    told: tuple[ResultTold, ...]
    """Everything that was told of it so far."""
    misled: tuple[ResultTold, ...]
    """The last word to each who was told what no longer holds: they are told each."""
    may_hear: tuple[Hearer, ...]
    notice: Notice | None = None
    """Where an office is to be notified: which, and by when."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Worklist:
    """What is to be told, the most urgent first."""

    waiting: tuple[ToTell, ...]
    more: int = 0
    """How many older ones there are beside those."""


_RANKS: Mapping[Urgency, int] = {each: place for place, each in enumerate(Urgency)}


def worklist(board: Board, now: Instant, back_to: Instant | None = None) -> Worklist:
    """Return what is still to be told.

    What misled somebody comes first, then what an office should have heard by now, then
    positives; of one kind whoever has waited longest comes first.

    Args:
        board: the bay.
        now: to say which notices are overdue.
        back_to: leave out what was begun before; None: show everything.
    """
    rest = (_to_tell(board, each) for each in _newest(board, board.to_tell))
    found = (*pressing(board, now), *(each for each in rest if each is not None))
    seen = (each for each in found if back_to is None or begun_at(board, each.result) >= back_to)
    ledgers = (board.to_put_right, board.to_tell_first, board.to_tell, board.to_notify)
    more = sum(max(0, len(each) - MOST) for each in ledgers)
    return Worklist(waiting=tuple(sorted(seen, key=lambda each: _order(each, now))), more=more)


def pressing(board: Board, now: Instant) -> tuple[ToTell, ...]:
    """Return what no shift should end with: what misled somebody, positives, and notices."""
    found = (
        *(_to_tell(board, each) for each in _newest(board, board.to_put_right)),
        *(_to_tell(board, each) for each in _newest(board, board.to_tell_first)),
        *_notices(board),
    )
    told = (each for each in found if each is not None)
    return tuple(sorted(told, key=lambda each: _order(each, now)))


def is_notice_overdue(board: Board, now: Instant) -> bool:
    """Say whether an office should have been notified of something by now."""
    return any(each.at <= now for each in _notices(board))


def may_hear(board: Board, result: Result) -> tuple[Hearer, ...]:
    """Return to whom `result` may be told: the person, and whom the consent on file names.

    Where no consent is on file, it was refused, or it is for other assays, the person alone.
    What is confidential is told to nobody else, whatever consent says. Whoever was told
    something of it before may always be told that it no longer holds.
    """
    consent = board.person_files.get(result.subject, NOTHING_KNOWN).consent
    named: tuple[Hearer, ...] = (Hearer.PERSON,)
    if isinstance(consent, ConsentNoted) and not result.assay.confidential:
        covers = not consent.assays or result.assay.id in consent.assays
        named = _MAY_HEAR[consent.told_to] if covers else named
    misled = misled_by(board.told.get(result.cartridge, ()), result)
    return tuple(dict.fromkeys((*named, *(each.to for each in misled))))


def known_at(board: Board, result: Result) -> Instant:
    """Return since when `result` is as it stands, as near as it is needed to put it in order.

    As a rule that is when it was taken back, read or seen early, or when the window of a strip
    that nobody read closed.
    """
    key, early = result.cartridge, result.early
    cartridge = board.cartridge(key)
    withdrawn = board.paper_withdrawn.get(key) if cartridge is None else cartridge.withdrawn
    times = (
        None if withdrawn is None else withdrawn.at,
        result.read_at,
        None if early is None else early.at,
        None if cartridge is None else closed_unread(cartridge),
        begun_at(board, result),
    )
    return next(each for each in times if each is not None)


def _newest(board: Board, ledger: Mapping[str, str]) -> Iterator[Result]:
    """Yield the results that a ledger names, the one entered last first, and not too many.

    Of a person who was erased nobody knows any more whom to tell.
    """
    found = (result_called(board, key) for key in islice(backwards(ledger), MOST))
    return (each for each in found if each is not None and board.name(each.subject) is not None)


def _to_tell(board: Board, result: Result) -> ToTell | None:
    told = board.told.get(result.cartridge, ())
    urgency = urgency_of(told, result)
    is_owed = result.on_paper or result.cartridge in board.owed
    if urgency is None or (urgency is Urgency.REPEAT and not is_owed):
        return None  # where a repeat was begun the person knows
    return ToTell(
        result=result,
        urgency=urgency,
        at=known_at(board, result),
        told=told,
        misled=misled_by(told, result),
        may_hear=may_hear(board, result),
    )


def _notices(board: Board) -> Iterator[ToTell]:
    for result in _newest(board, board.to_notify):
        told, rule = board.told.get(result.cartridge, ()), rule_for(board.policy, result.assay.id)
        if rule is not None and is_to_notify(told, result, rule):
            due = later(known_at(board, result), Span(rule.hours * HOUR))
            yield ToTell(
                result=result,
                urgency=Urgency.NOTICE,
                at=due,
                told=told,
                misled=(),
                may_hear=(Hearer.OFFICE,),
                notice=Notice(office=rule.office, due=due),
            )


def _order(waiting: ToTell, now: Instant) -> tuple[int, bool, Instant, str]:
    notice = waiting.notice
    overdue = notice is not None and notice.due <= now
    rank = _RANKS[Urgency.POSITIVE] if overdue else _RANKS[waiting.urgency]
    # An overdue notice goes before the positives, and after what misled somebody.
    return rank, not overdue, waiting.at, waiting.result.cartridge


def begun_at(board: Board, result: Result) -> Instant:
    """Return when `result` was begun; of a run on paper, when it was entered."""
    cartridge = board.cartridge(result.cartridge)
    return board.paper_runs[result.cartridge].at if cartridge is None else cartridge.labelled.at

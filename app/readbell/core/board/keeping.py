"""Whether somebody may look into the record, archive a part of it, or erase who is in it."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, assert_never

from readbell.core.board.patients import NO_SUCH_DAY
from readbell.core.board.review import NO_REASON
from readbell.core.board.staff import sees_back_to
from readbell.core.keeping.acts import EraseRecords, OpenTrace, WriteArchive
from readbell.core.keeping.events import (
    ArchiveWritten,
    ErasedScope,
    RecordErased,
    TraceOf,
    TraceOpened,
)
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.staff.roles import Role

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.board import Board
    from readbell.core.instant import Instant
    from readbell.core.keeping.acts import KeepingAct
    from readbell.core.keeping.events import KeepingEvent

AT_ONCE = 2_000
"""Keys in one event: about 60 kB of it, and as much again of whose they are (our own choice)."""
NOTHING_CLOSED = "nothing closed"
NOTHING_TO_ERASE = "nothing to erase"
SOMETHING_RUNS = "something runs"
NOT_DONE_WITH = "not done with"
NAMED_IN_REASON = "named in reason"


def decide_keeping(
    board: Board, act: KeepingAct, now: Instant
) -> tuple[KeepingEvent, ...] | Refusal:
    """Judge an act about the record itself; whether its doer has the role was asked before."""
    by = board.operators.get(act.by)
    if by is None:
        return Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=act.by)
    match act:
        case OpenTrace():
            return _open(board, act, by, now)
        case WriteArchive() | EraseRecords() if not (act.words.value or "").strip():
            return Refusal(code=RefusalCode.NOT_ALLOWED, subject=NO_REASON)
        case WriteArchive():
            return _archive(act, by, now)
        case EraseRecords():
            return _erase(board, act, by, now)
        case _:
            assert_never(act)


def undone_with(board: Board) -> frozenset[str]:
    """Return the keys of the persons with whom something is still to be done.

    They wait in a party, a cartridge of theirs runs, or a result waits for a supervisor or
    was told otherwise than it now is: to erase them now would leave something that nobody
    could finish.
    """
    return frozenset(
        (
            *board.waiting,
            *board.held.values(),
            *board.to_put_right.values(),
            *(each.labelled.subject for each in board.running.values()),
            *(each.person for each in board.ahead.values()),
        )
    )


def _open(board: Board, act: OpenTrace, by: str, now: Instant) -> tuple[TraceOpened] | Refusal:
    since = sees_back_to(board, by, act.since)
    about: str = act.about
    match act.of:
        case TraceOf.CARTRIDGE:
            found = _begun(board, about)
            if found is None:
                return Refusal(code=RefusalCode.UNKNOWN_CARTRIDGE, subject=about)
            about, begun = found
            hidden = since is not None and begun < since
        case TraceOf.LOT:
            if about not in board.lots:
                return Refusal(code=RefusalCode.UNKNOWN_LOT, subject=about)
            hidden = False
        case TraceOf.OPERATOR:
            key = board.operators.get(about)
            if key is None:
                return Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=about)
            about = key
            # What a colleague did is for those who answer for it.
            hidden = since is not None and key != by
        case TraceOf.DAY:
            if not _is_day(about):
                return Refusal(code=RefusalCode.NOT_ALLOWED, subject=NO_SUCH_DAY)
            hidden = False
        case TraceOf.FIGURES:
            about = ""
            # They tell how well each of those who work here does.
            hidden = since is not None
        case _:
            assert_never(act.of)
    if hidden:
        return Refusal(code=RefusalCode.ROLE_MISSING, subject=Role.SUPERVISOR)
    return (TraceOpened(at=now, by=by, of=act.of, about=about, since=since),)


def _begun(board: Board, named: str) -> tuple[str, Instant] | None:
    """Return the opaque id of a cartridge, or of a run on paper, and when it was entered."""
    cartridge = board.cartridge(named) or board.labelled(named)
    if cartridge is not None:
        return cartridge.id, cartridge.labelled.at
    run = board.paper_runs.get(named)
    return None if run is None else (run.run, run.at)


def _is_day(text: str) -> bool:
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True


def _archive(act: WriteArchive, by: str, now: Instant) -> tuple[ArchiveWritten] | Refusal:
    if act.period.events == 0:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=NOTHING_CLOSED)
    return (
        ArchiveWritten(
            at=now,
            by=by,
            through=act.period.through,
            events=act.period.events,
            head=act.head,
            digest=act.digest,
            file=act.file,
            words=act.words,
        ),
    )


def _erase(
    board: Board, act: EraseRecords, by: str, now: Instant
) -> tuple[RecordErased, ...] | Refusal:
    if board.running:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=SOMETHING_RUNS)
    if act.scope is ErasedScope.PERSON:
        person = board.persons.get(act.patient or "")
        if person is None:
            return Refusal(code=RefusalCode.UNKNOWN_PERSON)
        if person in undone_with(board) or person in board.to_tell_first.values():
            return Refusal(code=RefusalCode.NOT_ALLOWED, subject=NOT_DONE_WITH)
    elif act.period is None or act.period.events == 0:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=NOTHING_CLOSED)
    if act.words_name_them:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=NAMED_IN_REASON)
    if not act.found.keys:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=NOTHING_TO_ERASE)
    return tuple(_erased(act, by, now))


def _erased(act: EraseRecords, by: str, now: Instant) -> Iterator[RecordErased]:
    keys, persons, whose = act.found.keys, frozenset(act.found.persons), act.found.whose
    for first in range(0, len(keys), AT_ONCE):
        some = keys[first : first + AT_ONCE]
        yield RecordErased(
            at=now,
            by=by,
            scope=act.scope,
            through=None if act.period is None else act.period.through,
            people=len(persons.intersection(some)),
            kept=act.found.kept if first == 0 else 0,
            keys=some,
            words=act.words if first == 0 else None,
            whose=tuple(dict.fromkeys(whose[each] for each in some if each in whose)),
        )

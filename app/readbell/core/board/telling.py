"""Whether somebody may be told a result: what waits is told to nobody, and consent says to whom."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.layered import backwards
from readbell.core.board.patients import is_second
from readbell.core.board.results import result_called
from readbell.core.board.staff import sees_back_to
from readbell.core.board.subjects import is_behind
from readbell.core.board.telling_fold import rule_for
from readbell.core.board.worklist import begun_at, may_hear
from readbell.core.cartridge.events import SubjectKind
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.results.status import ResultStatus
from readbell.core.results.telling import Hearer, ResultTold, said_of, saying_of
from readbell.core.staff.roles import Role

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.board import Board
    from readbell.core.instant import Instant
    from readbell.core.results.result import Result
    from readbell.core.results.telling import TellResult

NOTHING_YET = "nothing to tell yet"
TELL_HELD = "tell held"
TELL_SECOND = "tell second due"
TELL_VOID = "tell void"
TELL_SAMPLE = "tell sample"
TELL_CHANGED = "tell changed"
TELL_ALONE = "tell the person alone"
TELL_NOT_GUARDIAN = "tell no guardian"
TELL_NOT_OTHER = "tell nobody else"
TELL_NO_OFFICE = "tell no office"

_UNTELLABLE = {
    ResultStatus.RUNNING: NOTHING_YET,
    ResultStatus.HELD: TELL_HELD,
    ResultStatus.SECOND_DUE: TELL_SECOND,
    ResultStatus.NO_RESULT: TELL_VOID,
}


def decide_telling(board: Board, act: TellResult, now: Instant) -> tuple[ResultTold] | Refusal:
    """Judge that somebody was told."""
    by = board.operators.get(act.by)
    if by is None:
        return Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=act.by)
    result = _named(board, act)
    if result is None:
        return Refusal(code=RefusalCode.UNKNOWN_CARTRIDGE, subject=act.cartridge)
    refused = _refuse_state(result, act) or _refuse_actor(board, result, act, by)
    refused = refused or _refuse_hearer(board, result, act)
    if refused is not None:
        return refused
    return (
        ResultTold(
            at=now,
            by=by,
            cartridge=result.cartridge,
            version=result.version,
            status=result.status,
            outcomes=said_of(result),
            to=act.to,
            how=act.how,
            made_sure=None if act.person is None else act.made_sure,
            words=act.words,
        ),
    )


def why_waits(result: Result) -> str | None:
    """Return, as a refusal names it, why nothing is said of `result` now; None: something is."""
    return None if saying_of(result) is not None else _UNTELLABLE[result.status]


def why_not_heard(result: Result, to: Hearer) -> str:
    """Return, as a refusal names it, why `to` may not be told `result`."""
    if result.assay.confidential:
        return TELL_ALONE
    return TELL_NOT_GUARDIAN if to is Hearer.GUARDIAN else TELL_NOT_OTHER


def _named(board: Board, act: TellResult) -> Result | None:
    """Return the result of the cartridge, or of the run on paper, that `act` names."""
    labelled = board.labelled(act.cartridge)
    key = act.cartridge if labelled is None else labelled.id
    return result_called(board, key) or next(_on_paper(board, act), None)


def _on_paper(board: Board, act: TellResult) -> Iterator[Result]:
    """Yield those runs on paper of today that bear the label; older ones go by their opaque id."""
    for key in backwards(board.paper_runs):
        entered = board.paper_runs[key].at
        if is_behind(board, entered, act.since):
            return
        found = result_called(board, key)
        if found is not None and found.label == act.cartridge and entered >= act.since:
            yield found


def _refuse_state(result: Result, act: TellResult) -> Refusal | None:
    if result.subject_kind is not SubjectKind.PATIENT:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=TELL_SAMPLE)
    waits = why_waits(result)
    if waits is not None:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=waits)
    if act.version is not None and act.version != result.version:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=TELL_CHANGED)
    return None


def _refuse_actor(board: Board, result: Result, act: TellResult, by: str) -> Refusal | None:
    back_to = sees_back_to(board, by, act.since)
    if back_to is not None and begun_at(board, result) < back_to:
        return Refusal(code=RefusalCode.ROLE_MISSING, subject=Role.SUPERVISOR)
    if act.person is None:
        return None
    is_theirs = board.persons.get(act.person) == result.subject
    if is_theirs or is_second(board, result.subject, act.person):
        return None
    return Refusal(code=RefusalCode.WRONG_PERSON, subject=result.label)


def _refuse_hearer(board: Board, result: Result, act: TellResult) -> Refusal | None:
    if act.to is Hearer.OFFICE:
        known = rule_for(board.policy, result.assay.id) is not None
        return None if known else Refusal(code=RefusalCode.NOT_ALLOWED, subject=TELL_NO_OFFICE)
    if act.to in may_hear(board, result):
        return None
    return Refusal(code=RefusalCode.NOT_ALLOWED, subject=why_not_heard(result, act.to))

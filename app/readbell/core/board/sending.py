"""Which results have left the bay in which form, and which have yet to.

Nobody walks years of results to find that out: each change of one that a site expects
to leave enters it among the few that are outstanding, and an export takes it out.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.events import Mode
from readbell.core.board.results import result_called
from readbell.core.board.subjects import is_patients
from readbell.core.cartridge.events import SubjectKind
from readbell.core.exports.events import ExportedResult, ResultsExported
from readbell.core.made_later import dataclass
from readbell.core.policy.staffing import SignInBy
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.results.result import Result, result_of, result_of_paper_run
from readbell.core.results.status import REPORTABLE, TAKES_BACK, ResultStatus

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.board import Board
    from readbell.core.board.draft import Draft
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.exports.acts import NoteExport
    from readbell.core.instant import Instant
    from readbell.core.paper.events import PaperRunEntered
    from readbell.core.policy.sending import ReportFormat

A_PART = 1_000
"""Results that one event names at most (our own choice)."""
NOBODY_NAMED = "nobody named"
ALREADY_NOTED = "already noted"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sent:
    """How a result last left in one form."""

    format: ReportFormat
    result: ExportedResult
    at: Instant


def decide_export(
    board: Board, act: NoteExport, now: Instant
) -> tuple[ResultsExported, ...] | Refusal:
    """Judge that an export was made; whether whoever made it has the role was asked before.

    One that is on record already is refused: whoever enters it again may have been
    cut off before they learnt that it was taken. It is on record at the instant at which it
    left, however much later it is entered; a clock that was wrong cannot have it leave
    before there was a record, or after it is entered.
    """
    by = None if act.by is None else board.operators.get(act.by)
    if act.by is not None and by is None:
        return Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=act.by)
    if by is None and _asks_who(board):
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=NOBODY_NAMED)
    if act.export in board.exports:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=ALREADY_NOTED)
    for each in act.results:
        if each.cartridge not in board.order and each.cartridge not in board.paper_runs:
            return Refusal(code=RefusalCode.UNKNOWN_CARTRIDGE, subject=each.cartridge)
    at = now if act.left is None else min(now, max(act.left, _began(board, now)))
    parts = max(1, -(-len(act.results) // A_PART))
    return tuple(
        ResultsExported(
            at=at,
            by=by,
            export=act.export,
            format=act.format,
            count=act.count,
            digest=act.digest,
            where=act.where if part == 0 else None,
            choice=act.choice,
            part=part + 1,
            parts=parts,
            results=act.results[part * A_PART : (part + 1) * A_PART],
        )
        for part in range(parts)
    )


def _began(board: Board, now: Instant) -> Instant:
    """Return when the record began, or `now` where it does not yet say so."""
    return now if board.founded is None else board.founded.at


def _asks_who(board: Board) -> bool:
    """Say whether nobody may export unnamed: who works here is known, and it is no practice."""
    practice = board.founded is not None and board.founded.mode is Mode.REHEARSAL
    known = board.roster.has_roles or board.policy.sign_in is not SignInBy.NONE
    return known and not practice


def enter_export(draft: Draft, event: ResultsExported) -> None:
    """Note what left."""
    draft.exports.put(event.export, event.at)
    for each in event.results:
        kept = draft.sent.get(each.cartridge) or ()
        others = tuple(sent for sent in kept if sent.format is not event.format)
        sent = Sent(format=event.format, result=each, at=event.at)
        draft.sent.put(each.cartridge, (*others, sent))
        if not draft.policy.reports_expected:
            continue  # of very many results none is to be unpacked without need
        run = draft.paper_runs.get(each.cartridge)
        if run is None:
            note_change(draft, draft.cartridge(each.cartridge))
        else:
            note_run(draft, run)


def note_change(draft: Draft, cartridge: Cartridge) -> None:
    """Note whether `cartridge`, as it now is, has a result that has yet to leave."""
    if not draft.policy.reports_expected or not _was_seen(cartridge):
        return  # every step of every cartridge comes here: nothing is worked out without need
    if is_patients(cartridge):
        _note(draft, result_of(cartridge))


def note_run(draft: Draft, run: PaperRunEntered) -> None:
    """Note whether the result of a run on paper has yet to leave."""
    if draft.policy.reports_expected:
        assay = draft.assays.want(run.assay, "assay").assay
        _note(draft, result_of_paper_run(run, assay, draft.paper_withdrawn.get(run.run)))


def is_outstanding(result: Result, sent: tuple[Sent, ...], form: ReportFormat) -> bool:
    """Say whether a receiver in this form has yet to hear how `result` now stands."""
    left = next((each.result for each in sent if each.format is form), None)
    if left is None:
        # Of what was taken back a receiver has to hear only if it had heard of it.
        return is_to_be_heard(result) and result.status in REPORTABLE
    return is_to_be_heard(result) and result.version > left.version


def is_to_be_heard(result: Result) -> bool:
    """Say whether a receiver is to hear of `result`: it may be told, or no longer stands."""
    return (
        result.subject_kind is SubjectKind.PATIENT
        and result.status in REPORTABLE | TAKES_BACK
        and result.version > 0
    )


def as_it_leaves(result: Result, sent: tuple[Sent, ...], form: ReportFormat) -> ExportedResult:
    """Return what is put on record when `result` leaves in this form as it now stands.

    It is a correction if something final had left before and has changed since. What
    leaves again unchanged leaves as it did.
    """
    left = next((each.result for each in sent if each.format is form), None)
    if left is not None and left.version == result.version:
        return left
    was_final = left is not None and (
        left.as_correction or left.status is not ResultStatus.PRELIMINARY
    )
    return ExportedResult(
        cartridge=result.cartridge,
        version=result.version,
        status=result.status,
        as_correction=was_final,
    )


def unsent(board: Board) -> Iterator[tuple[Result, tuple[ReportFormat, ...]]]:
    """Yield each result that has yet to leave as the site expects, and in which forms."""
    for key in board.unsent:
        result = result_called(board, key)
        assert result is not None  # noqa: S101  # it was entered by the key of one
        sent = board.sent.get(key, ())
        yield (
            result,
            tuple(
                each for each in board.policy.reports_expected if is_outstanding(result, sent, each)
            ),
        )


def _was_seen(cartridge: Cartridge) -> bool:
    return bool(cartridge.outcomes or cartridge.early_looks or cartridge.withdrawn)


def _note(draft: Draft, result: Result) -> None:
    sent = draft.sent.get(result.cartridge) or ()
    expected = draft.policy.reports_expected
    if any(is_outstanding(result, sent, each) for each in expected):
        draft.unsent.put(result.cartridge, result.subject)
    else:
        draft.unsent.drop(result.cartridge)

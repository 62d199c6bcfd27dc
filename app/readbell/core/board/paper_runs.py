"""Whether a run on paper may be entered, and what it comes to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.layered import newest
from readbell.core.board.shifts import is_label_taken
from readbell.core.board.subjects import is_behind
from readbell.core.paper.events import PaperRunEntered, StatedStep
from readbell.core.paper.judging import deviations_of, fault_of_times
from readbell.core.reading.bands import are_whole
from readbell.core.reading.interpretation import judge_unread, judge_window, overall
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.stock.lot import refuse_lot

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.assay.assay import Assay
    from readbell.core.board.board import Board
    from readbell.core.instant import Instant
    from readbell.core.paper.acts import EnterPaperRun

TO_COME = "paper time to come"
NOT_IN_TURN = "paper steps"


def decide_paper_run(
    board: Board, act: EnterPaperRun, now: Instant
) -> tuple[PaperRunEntered] | Refusal:
    """Judge a run as it stands on paper.

    Nothing that has happened is refused for being irregular: what cannot count is
    entered and does not count. Refused is only what cannot have been so.
    """
    named = (act.by, act.operator, act.witness)
    keys = [board.operators.get(each) for each in named]
    for key, each in zip(keys, named, strict=True):
        if key is None:
            return Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=each)
    by, operator, witness = (key or "" for key in keys)
    if witness == operator:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject="witness")
    if is_label_taken(board, act.label) or is_on_paper(board, act.label, act.day_began):
        return Refusal(code=RefusalCode.LABEL_IN_USE, subject=act.label)
    person, lot = board.persons.get(act.person), board.lots.get(act.lot)
    if person is None:
        return Refusal(code=RefusalCode.UNKNOWN_PERSON)
    if lot is None:
        return Refusal(code=RefusalCode.UNKNOWN_LOT, subject=act.lot)
    assay = board.assays[lot.assay].assay
    refused = _refuse_times(assay, act, now)
    if refused is not None:
        return refused
    if not are_whole(act.bands, assay.line_keys):
        marks = ", ".join(line.mark for line in assay.reading.lines)
        return Refusal(code=RefusalCode.BAD_BANDS, subject=marks)
    steps = dict(act.steps)
    fault = fault_of_times(assay, steps, act.read, act.give_or_take)
    keys_of_lines = assay.line_keys
    counts = fault is None
    outcomes = (
        judge_window(keys_of_lines, act.bands, ()) if counts else judge_unread(keys_of_lines, ())
    )
    against = refuse_lot(lot, act.today)
    return (
        PaperRunEntered(
            at=now,
            by=by,
            run=act.new_id,
            operator=operator,
            witness=witness,
            label=act.label,
            person=person,
            lot=lot.number,
            assay=lot.assay,
            steps=tuple(StatedStep(step=key, said=said) for key, said in act.steps),
            read=act.read,
            give_or_take=act.give_or_take,
            bands=act.bands,
            outcomes=outcomes,
            outcome=overall(outcomes),
            fault=fault,
            deviations=deviations_of(assay, steps, act.give_or_take),
            warnings=() if against is None else (str(against.code),),
        ),
    )


def is_on_paper(board: Board, label: str, since: Instant | None) -> bool:
    """Say whether a run that was entered since then has this label; None: since ever."""
    found = newest(board.paper_runs) if since is None else _entered_since(board, since)
    return any(each.label == label for each in found)


def runs_with_lot(board: Board, lot: str, since: Instant) -> tuple[str, ...]:
    """Return the opaque ids of the runs that were entered of `lot` since then, in that order."""
    entered = _entered_since(board, since)
    return tuple(reversed([each.run for each in entered if each.lot == lot]))


def _entered_since(board: Board, since: Instant) -> Iterator[PaperRunEntered]:
    """Yield the runs that were entered since then, the last one first."""
    for each in newest(board.paper_runs):
        if is_behind(board, each.at, since):
            return
        if each.at >= since:
            yield each


def _refuse_times(assay: Assay, act: EnterPaperRun, now: Instant) -> Refusal | None:
    """Say what cannot have been so about the times: left out, out of turn, or still to come."""
    keys = tuple(key for key, _ in act.steps)
    times = [*(said for _, said in act.steps), act.read]
    wanted = tuple(step.key for step in assay.steps)
    if keys != wanted or times != sorted(times):
        subject = ", ".join(wanted)
        return Refusal(code=RefusalCode.OUT_OF_ORDER, subject=f"{NOT_IN_TURN}: {subject}")
    if max(times) > now:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=TO_COME)
    return None

"""Control samples in words. A control sample is never called a control alone: that is a line."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from readbell.core.board.controls_due import ControlDue, WhyDue
from readbell.core.controls.events import MaterialOpened, MaterialReceived, SampleJudged
from readbell.core.controls.verdict import Verdict
from readbell.phrases.standing import labels
from readbell.phrases.whose import KINDS

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.controls.events import SampleEvent
    from readbell.core.instant import Instant
    from readbell.phrases.clock_time import ClockFace

VERDICTS: dict[Verdict, str] = {
    Verdict.PASSED: "passed",
    Verdict.FAILED: "FAILED",
    Verdict.NOTED: "noted",
}
WHY: dict[WhyDue, str] = {
    WhyDue.NEW_LOT: "new lot",
    WhyDue.NEW_DELIVERY: "new delivery",
    WhyDue.NEW_OPERATOR: "new operator",
    WhyDue.REGULAR: "regular",
    WhyDue.INVALIDS_OF_PERSON: "two invalids of one person",
    WhyDue.INVALIDS_OF_LOT: "invalids of this lot",
    WhyDue.TEMPERATURE: "out of its temperatures",
}


def tell_of_sample(event: SampleEvent, board: Board) -> str:
    """Return the line for `event`; `board` is as it is after it."""
    match event:
        case MaterialReceived():
            kind = KINDS[event.kind]
            return f"{event.number}: {kind}, for {event.assay_id}, good to {event.expires}."
        case MaterialOpened():
            return f"{event.number}: opened {event.on}."
        case SampleJudged():
            return _judged(event, board)
        case _:
            assert_never(event)


def say_due(due: ControlDue, now: Instant, board: Board, face: ClockFace) -> str:
    """Return one control sample that is due: on what, since when, and why."""
    day = face.local(due.due).date()
    when = face.time(due.due) if day == face.local(now).date() else f"{day} {face.time(due.due)}"
    since = f"DUE since {when}" if due.is_overdue(now) else f"due {when}"
    who = "" if due.operator is None else f", by {board.name(due.operator) or 'erased'}"
    return f"Lot {due.lot}: {KINDS[due.kind]} {since}{who} ({WHY[due.why]})"


def _judged(event: SampleJudged, board: Board) -> str:
    label, material = labels(board, (event.cartridge,)), board.samples.materials[event.material]
    kind = KINDS[material.kind]
    match event.verdict:
        case Verdict.PASSED:
            return f"{label}  {kind}: passed on lot {event.lot}."
        case Verdict.NOTED:
            return f"{label}  {kind}: noted. Send what was read to whoever asked."
        case Verdict.FAILED:
            since = (
                f" Results since the last pass: {labels(board, event.concerned)}; "
                "they wait for a supervisor."
                if event.concerned
                else " No result rests on this lot since the last pass."
            )
            return (
                f"{label}  {kind}: FAILED. Lot {event.lot} on hold; run it again, then ask a "
                f"supervisor.{since}"
            )
        case _:
            assert_never(event.verdict)

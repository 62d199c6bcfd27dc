"""Whether a plan may be loaded or dropped."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.starts.acts import LoadPlan, StartsAct
from readbell.core.starts.events import PlanDropped, PlanLoaded, StartsEvent

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.instant import Instant

PLAN, NO_PLAN, BREAK = "plan", "no plan", "break"
"""What a refusal calls them."""


def decide_starts(board: Board, act: StartsAct, now: Instant) -> tuple[StartsEvent] | Refusal:
    """Judge it: anybody who is known here may, and nothing that runs is touched."""
    by = board.operators.get(act.by)
    if by is None:
        return Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=act.by)
    if not isinstance(act, LoadPlan):
        if board.plan is None:
            return Refusal(code=RefusalCode.NOT_ALLOWED, subject=NO_PLAN)
        return (PlanDropped(at=now, by=by),)
    adopted = board.assay_called(act.assay)
    if adopted is None:
        return Refusal(code=RefusalCode.NOT_ADOPTED, subject=act.assay)
    times = [each.after for each in act.starts]
    if not times or times != sorted(times) or act.ends < times[-1]:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=PLAN)
    if any(each.operator < 1 or not 0 <= each.since < each.until for each in act.breaks):
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=BREAK)
    return (
        PlanLoaded(
            at=now,
            by=by,
            assay=adopted.content_hash,
            starts=act.starts,
            ends=act.ends,
            breaks=act.breaks,
        ),
    )

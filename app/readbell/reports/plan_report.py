"""A batch plan as one JSON object: a stable contract."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.instant import Span, seconds
from readbell.core.span_text import write_span

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from fractions import Fraction

    from readbell.core.plan.batch.job import Batch, Break
    from readbell.core.plan.batch.plan import Placed, Plan


def as_json(batch: Batch, plan: Plan, stagger: Fraction) -> dict[str, object]:
    """Return it as values of JSON; seconds after the start, persons and operators from 1.

    Args:
        batch: what was asked for.
        plan: the timetable.
        stagger: the smallest interval between two starts that can go on for ever, milliseconds.
    """
    return {
        "makespan_s": seconds(plan.ends),
        "lower_bound_s": seconds(plan.bound),
        "proven": plan.proven,
        "stagger_s": float(stagger) / 1000,
        "hands_on": [step for each in plan.placed for step in _steps(batch, each)],
    }


def as_line(plan: Plan, assay: str, by: str, breaks: Sequence[Break] = ()) -> dict[str, object]:
    """Return the line of a live bay that loads the plan, by the operator `by`.

    Args:
        plan: the timetable.
        assay: its id.
        by: who loads it.
        breaks: what it was made with.
    """
    line: dict[str, object] = {
        "do": "load-plan",
        "by": by,
        "assay": assay,
        "starts": [
            {"after": write_span(each.begins), "operator": each.operator + 1}
            for each in plan.starts()
        ],
        "ends": write_span(plan.ends),
    }
    if breaks:
        line["breaks"] = [
            {
                "operator": each.operator + 1,
                "from": write_span(each.begins),
                "to": write_span(each.ends),
            }
            for each in sorted(breaks, key=lambda each: (each.begins, each.operator))
        ]
    return line


def _steps(batch: Batch, placed: Placed) -> Iterator[dict[str, object]]:
    at = placed.begins
    for part in batch.work.pieces[placed.piece].parts:
        ends = Span(at + part.hands.usual)
        yield {
            "person": placed.person + 1,
            "step": part.key,
            "operator": placed.operator + 1,
            "start_s": seconds(at),
            "end_s": seconds(ends),
        }
        at = ends

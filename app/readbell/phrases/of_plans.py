"""A batch plan in words: the answer with its rule, what it takes for granted, and its bound."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.assay.step import Limit
from readbell.core.instant import SECOND, Span
from readbell.core.plan.batch.job import Fault, FaultKind
from readbell.core.plan.batch.plan import Rule
from readbell.core.plan.hands_on import READING
from readbell.core.span_text import write_span

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from readbell.core.plan.batch.job import Batch
    from readbell.core.plan.batch.plan import Placed, Plan

RULES: dict[Rule, str] = {
    Rule.DISPATCH: "the shortest of several timetables, each made by one rule of preference",
    Rule.IN_TURN: "each person in turn gets the first places where the whole of the work fits",
    Rule.SOLVER: "a search of all timetables by a constraint solver",
}
CAUTION = (
    "Times are the assay's usual ones, not measured here. The kit's own instructions and local",
    "rules come first. A plan is no rule: what is to be read is called when it is due.",
)


def say_plan(batch: Batch, plan: Plan, title: str, slack: Mapping[str, Span]) -> Iterator[str]:
    """Yield what the plan comes to, line by line; the timetable comes apart from it."""
    yield f"{_people(batch.people)}, {_operators(batch.operators)}: {title}"
    yield f"The last reading is done {write_span(plan.ends)} after the start."
    yield _standing(plan)
    yield f"Rule: {RULES[plan.rule]}."
    gloves = batch.work.gloves
    yield (
        f"A change of gloves takes {gloves / SECOND:g} s, before hands touch another person's "
        "specimen; reading needs none."
        if gloves
        else "No time is set aside for a change of gloves."
    )
    if any(lag.most is not None and lag.most_is is Limit.ADVISORY for lag in batch.work.lags):
        yield "Advisory limits are kept like firm ones."
    for window, span in slack.items():
        if span:
            name = "the read window" if window == READING else f"the wait after {window}"
            yield f"Each piece of work ends {span / SECOND:g} s or more before the end of {name}."
    for away in batch.breaks:
        yield (
            f"Operator {away.operator + 1} is away from {write_span(away.begins)} "
            f"to {write_span(away.ends)}."
        )


def say_timetable(batch: Batch, plan: Plan, operator: int) -> Iterator[str]:
    """Yield what `operator`, counted from 0, does, a line each, changes of gloves among it."""
    yield f"Operator {operator + 1}"
    own = plan.of_operator(operator)
    if not own:
        yield "  nothing to do"
    touched: Placed | None = None
    for each in own:
        piece = batch.work.pieces[each.piece]
        if piece.touches:
            if touched is not None and touched.person != each.person and batch.work.gloves:
                change = Span(each.begins - batch.work.gloves)
                yield f"  {write_span(change):>8}  change gloves"
            touched = each
        steps = ", ".join(part.key for part in piece.parts)
        yield (
            f"  {write_span(each.begins):>8} to {write_span(each.ends):>8}  "
            f"person {each.person + 1:<3}  {steps}"
        )


def say_fault(fault: Fault, title: str) -> str:
    """Return why there is no plan, in one sentence."""
    match fault.kind:
        case FaultKind.IMPOSSIBLE:
            return (
                f"{title}: its usual hands-on times do not fit into its own limits, so nobody can "
                "be planned: check its waits and its read window."
            )
        case FaultKind.NO_SUCH_WINDOW:
            known = " or ".join(fault.known)
            return (
                f"--slack {fault.window}: the assay has no such window: name {known}, "
                f"as in {fault.known[0]}:20."
            )
        case FaultKind.NO_LIMIT:
            return f"--slack {fault.window}: the assay sets no end to it: leave this slack out."
        case FaultKind.NO_TIME_FOR_GLOVES:
            return (
                f"{title}: before {fault.window} there is no time for one operator to change "
                "gloves: plan two operators, or check --gloves and --slack."
            )
        case FaultKind.TOO_MUCH_SLACK:
            return (
                f"--slack {fault.window}: beside the work itself this window has "
                f"{fault.room / SECOND:g} s to spare: name no more than that."
            )


def _standing(plan: Plan) -> str:
    if plan.proven:
        return "Proven: no timetable is shorter."
    spare = (plan.ends - plan.bound) / plan.bound * 100
    return (
        f"No timetable ends before {write_span(plan.bound)}; this one is {spare:.1f} % above that "
        "bound, and not proven the shortest."
    )


def _people(count: int) -> str:
    return "1 person" if count == 1 else f"{count} people"


def _operators(count: int) -> str:
    return "1 operator" if count == 1 else f"{count} operators"

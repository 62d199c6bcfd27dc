"""Why there is no plan, in one sentence each; and what is taken for granted where there is one."""

from __future__ import annotations

import pytest

from core.plan.batch.test_planner import FIRM, batch
from readbell.core.instant import SECOND, Span
from readbell.core.plan.batch.job import Fault, FaultKind
from readbell.core.plan.batch.planner import plan
from readbell.core.plan.hands_on import READING
from readbell.phrases.of_plans import say_fault, say_plan

FAULTS = {
    FaultKind.IMPOSSIBLE: Fault(kind=FaultKind.IMPOSSIBLE),
    FaultKind.NO_SUCH_WINDOW: Fault(
        kind=FaultKind.NO_SUCH_WINDOW, window="swab", known=("extract", READING)
    ),
    FaultKind.NO_LIMIT: Fault(kind=FaultKind.NO_LIMIT, window=READING),
    FaultKind.TOO_MUCH_SLACK: Fault(
        kind=FaultKind.TOO_MUCH_SLACK, window="extract", room=Span(50 * SECOND)
    ),
    FaultKind.NO_TIME_FOR_GLOVES: Fault(kind=FaultKind.NO_TIME_FOR_GLOVES, window="swab"),
}


@pytest.mark.parametrize("kind", FaultKind)
def test_each_fault_is_one_sentence_that_says_what_to_do(kind: FaultKind) -> None:
    """What, where, and a remedy behind a colon."""
    said = say_fault(FAULTS[kind], "Respiratory antigen")

    assert said.endswith(".")
    assert said.count(". ") == 0
    assert said.count(":") >= 1
    assert FAULTS[kind].window in said


def test_what_is_not_asked_for_is_not_told() -> None:
    """No slack, no break; but that no gloves are changed is said."""
    asked = batch(FIRM, 1, 1)
    lines = list(say_plan(asked, plan(asked), "Respiratory antigen", {READING: Span(0)}))

    assert lines[0] == "1 person, 1 operator: Respiratory antigen"
    assert "No time is set aside for a change of gloves." in lines
    assert not [each for each in lines if "before the end of" in each]

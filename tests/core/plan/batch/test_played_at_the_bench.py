"""A plan worked to the second at a real bay's rules: no act refused, no limit passed, all read."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

import pytest

from builders import NASAL, NEGATIVE, Bench, private
from core.plan.batch.test_planner import batch
from core.plan.kits import within
from readbell.core.board.acts import RegisterPerson
from readbell.core.instant import Span
from readbell.core.plan.batch.planner import plan
from readbell.core.plan.work import work_of
from readbell.core.reading.interpretation import Outcome
from readbell.core.span_text import write_span
from readbell.reports.plan_report import as_json

if TYPE_CHECKING:
    from readbell.core.assay.assay import Assay


@pytest.mark.parametrize(
    ("assay", "people", "operators"),
    [
        pytest.param(NASAL, 6, 1, id="a household of six"),
        pytest.param(NASAL, 40, 2, id="forty people and two operators"),
        pytest.param(within("2:00"), 20, 3, id="two minutes in buffer, firm"),
    ],
)
def test_a_plan_keeps_every_limit_as_the_bay_judges_it(
    assay: Assay, people: int, operators: int
) -> None:
    """Each step is confirmed when it is done, as hands at the bench do."""
    bench = Bench(assay, units=100)
    for person in range(3, people + 1):
        bench.must(RegisterPerson(by="op-1", person=private(f"P-{person:03}")))
    asked = batch(work_of(assay), people, operators)
    steps = as_json(asked, plan(asked), stagger=Fraction(0))["hands_on"]
    assert isinstance(steps, list)
    for step in sorted(steps, key=lambda each: float(each["end_s"])):
        label, now = f"C{step['person']}", write_span(Span(round(1000 * step["end_s"])))
        if step["step"] == "label":
            bench.label(label, f"P-{step['person']:03}", now)
        elif step["step"] == "read":
            bench.must(bench.read_act(NEGATIVE, label), now)
        else:
            bench.step(str(step["step"]), now, label)

    done = [bench.cartridge(f"C{person}") for person in range(1, people + 1)]
    assert [each.outcome for each in done] == [Outcome.NEGATIVE] * people
    assert [each.deviations for each in done] == [()] * people

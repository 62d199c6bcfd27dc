"""The line that loads a plan is what `readbell plan --line` writes; anything else is refused."""

from __future__ import annotations

import json

import pytest

from builders import NASAL, span
from readbell.core.instant import Span
from readbell.core.plan.batch.job import Batch, Break, batch_of
from readbell.core.plan.batch.planner import plan
from readbell.core.plan.work import work_of
from readbell.core.starts.acts import DropPlan, LoadPlan
from readbell.core.starts.events import PlannedBreak, PlannedStart
from readbell.reports.plan_report import as_line
from readbell.scenarios.line import read_line
from readbell.scenarios.plan_loading import DropPlanLine, LoadPlanLine
from readbell.toml_tables import WrongFileError


def test_what_the_planner_writes_is_read_back() -> None:
    """Every start with its operator, and the end."""
    batch = batch_of(work_of(NASAL), arrivals=[Span(0)] * 3, operators=1)
    assert isinstance(batch, Batch)
    found = plan(batch)
    line = read_line(json.dumps(as_line(found, NASAL.id, "op-1")))

    assert isinstance(line, LoadPlanLine)
    assert line.to_act() == LoadPlan(
        by="op-1",
        assay=NASAL.id,
        starts=tuple(PlannedStart(after=each.begins, operator=1) for each in found.starts()),
        ends=found.ends,
    )


def test_its_breaks_go_with_it() -> None:
    """In the order of time, and counted from 1 as the starts are."""
    away = [
        Break(operator=1, begins=span("10:00"), ends=span("15:00")),
        Break(operator=0, begins=span("5:00"), ends=span("6:00")),
    ]
    batch = batch_of(work_of(NASAL), arrivals=[Span(0)] * 3, operators=2, breaks=away)
    assert isinstance(batch, Batch)
    line = read_line(json.dumps(as_line(plan(batch), NASAL.id, "op-1", batch.breaks)))

    assert isinstance(line, LoadPlanLine)
    assert line.to_act().breaks == (
        PlannedBreak(operator=1, since=span("5:00"), until=span("6:00")),
        PlannedBreak(operator=2, since=span("10:00"), until=span("15:00")),
    )


@pytest.mark.parametrize(
    "away",
    [
        {"operator": 1, "from": "5:00", "to": "5:00"},
        {"operator": 1, "from": "-1:00", "to": "5:00"},
        {"operator": 0, "from": "1:00", "to": "5:00"},
    ],
)
def test_a_break_that_makes_no_sense_is_one_sentence(away: dict[str, object]) -> None:
    """Nothing of the plan is loaded."""
    said = {
        "do": "load-plan",
        "by": "op-1",
        "assay": NASAL.id,
        "starts": [{"after": "0:00", "operator": 1}],
        "ends": "40:00",
        "breaks": [away],
    }
    with pytest.raises(WrongFileError, match="this line"):
        read_line(json.dumps(said))


def test_a_plan_is_dropped_by_a_line_too() -> None:
    """Its name is the act's."""
    line = read_line('{"do": "drop-plan", "by": "op-1"}')

    assert isinstance(line, DropPlanLine)
    assert line.to_act() == DropPlan(by="op-1")


@pytest.mark.parametrize(
    ("starts", "ends"),
    [
        ([], "1:00"),
        ([{"after": "2:00", "operator": 1}, {"after": "1:00", "operator": 1}], "9:00"),
        ([{"after": "2:00", "operator": 1}], "1:00"),
        ([{"after": "2:00", "operator": 0}], "9:00"),
        ([{"after": "-2:00", "operator": 1}], "9:00"),
        ([{"after": "2:00", "operator": 1}] * 501, "9:00"),
    ],
)
def test_a_plan_that_makes_no_sense_is_one_sentence(
    starts: list[dict[str, object]], ends: str
) -> None:
    """Nothing of it is loaded."""
    said = {"do": "load-plan", "by": "op-1", "assay": NASAL.id, "starts": starts, "ends": ends}
    with pytest.raises(WrongFileError, match="this line"):
        read_line(json.dumps(said))


def test_times_are_counted_from_the_loading() -> None:
    """Hours are allowed."""
    said = {
        "do": "load-plan",
        "by": "op-1",
        "assay": NASAL.id,
        "starts": [{"after": "1:00:00", "operator": 2}],
        "ends": "1:30:00",
    }
    line = read_line(json.dumps(said))

    assert isinstance(line, LoadPlanLine)
    assert line.to_act().starts == (PlannedStart(after=span("1:00:00"), operator=2),)

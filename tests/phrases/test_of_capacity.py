"""The words of a forecast: figures rounded so that nobody is promised too much."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from core.plan.made_up import kit
from readbell.core.instant import SECOND, Span
from readbell.core.plan.capacity import Capacity, Forecast, Premise, Rule, Target
from readbell.core.plan.stagger import StaggerRule
from readbell.core.plan.sustained import sustained
from readbell.core.plan.tally import Tally
from readbell.phrases.of_capacity import RULES, STAGGER_RULES, say_capacity, say_over_bound

WORK = kit(90, (60, 120), 30, (900, 1_200), 15, gloves=20)
TALLY = Tally(
    runs=100,
    people=10,
    operators=1,
    waits=(900, 50, 40, 10),
    waited=160_000,
    delayed=100,
    busy=1,
    lasted=2,
    late=(3, 0),
    missed=3,
    missed_squares=3,
    runs_missing=3,
)
PREMISE = Premise(
    assay="made-up",
    rule=Rule.CAREFUL,
    per_hour=20,
    people=10,
    spread=0.25,
    seed=1,
    gloves=Span(20 * SECOND),
    wishes=True,
    windows=("drops", "read"),
)


def capacity(*tried: Forecast, target: Target | None = None, answer: int | None = None) -> Capacity:
    """What was worked out."""
    pace = sustained(WORK, 1)
    assert pace is not None
    return Capacity(
        title="Made up",
        work=WORK,
        pace=pace,
        premise=PREMISE,
        tried=tried,
        target=target,
        answer=answer,
        fast=True,
    )


def said(found: Capacity) -> str:
    """Everything, in one line."""
    return " ".join(" ".join(say_capacity(found, blocks=False)).split())


def played(tally: Tally = TALLY, *, stopped: bool = False) -> Forecast:
    """A crew that was played."""
    return Forecast(tally=tally, asked=400, stopped=stopped)


def test_every_rule_has_its_words() -> None:
    """None can be told without one."""
    assert set(RULES) == set(Rule)
    assert set(STAGGER_RULES) == set(StaggerRule)


def test_what_was_missed_is_told_with_its_interval_and_by_window() -> None:
    """A share, its ends, and which window it was."""
    text = said(capacity(played()))

    assert "windows missed: 3 before drops, 0 before read" in text
    assert "0.3 % (0.1 % to 0.88 %)" in text
    assert "a run that misses any: 3 % (1 % to 8.5 %)" in text


def test_none_seen_is_not_none() -> None:
    """A hundred runs without a miss show little, and that is what is told."""
    clean = replace(TALLY, late=(0, 0), missed=0, missed_squares=0, runs_missing=0)

    assert "none seen; under 3.7 %" in said(capacity(played(clean)))


def test_what_was_stopped_says_how_much_was_done() -> None:
    """And gives no answer, even where there is something to show."""
    target = Target(wait=Span(600 * SECOND), miss=0.01)

    text = said(capacity(played(stopped=True), target=target))

    assert "Stopped: 1 operator played 100 of 400 runs. What was done counts." in text
    assert "No answer: it was stopped before." in text


def test_a_crew_that_was_stopped_at_once_has_no_figures() -> None:
    """No runs, no chart, no share."""
    nothing = replace(TALLY, runs=0, waits=(), late=(), missed=0, missed_squares=0)

    text = said(capacity(played(nothing, stopped=True)))

    assert "nothing was played" in text
    assert "still wait after" not in text


@pytest.mark.parametrize(
    ("tried", "answer", "words"),
    [
        ((played(), played(replace(TALLY, operators=2))), 2, "met the same people and failed"),
        ((played(),), 1, "There is no smaller crew."),
        ((played(replace(TALLY, operators=2)),), 2, "Any smaller is under the bound."),
    ],
)
def test_an_answer_says_what_became_of_smaller_crews(
    tried: tuple[Forecast, ...], answer: int, words: str
) -> None:
    """They were tried, or they are under the work bound, or there is none."""
    target = Target(wait=Span(600 * SECOND), miss=0.05)

    assert words in said(capacity(*tried, target=target, answer=answer))


def test_assumptions_change_with_what_was_asked() -> None:
    """Usual times, advisory limits left out, the busy rule."""
    premise = replace(PREMISE, spread=0, wishes=False, rule=Rule.BUSY)

    text = said(replace(capacity(played()), premise=premise))

    assert "each piece takes its usual time" in text
    assert "advisory limits are left out" in text
    assert "earliest limit" in text
    assert "1 in 1,000" in said(capacity(played()))


def test_the_pace_says_when_the_search_was_cut_short() -> None:
    """Then nothing is claimed about other rounds."""
    found = capacity(played())
    pace = replace(found.pace, searched=0)

    assert "the search was cut short" in said(replace(found, pace=pace))


def test_over_the_bound_names_the_crew() -> None:
    """In the singular and in the plural."""
    bound = Span(150 * SECOND)

    assert "1 operator carries at most 24.0" in say_over_bound(30, 1, bound, fixed=True)
    assert "2 operators carry at most 48.0" in say_over_bound(50, 2, bound, fixed=True)


def test_no_line_is_wider_than_a_terminal() -> None:
    """79 columns, with broken figures as well."""
    found = capacity(played(), target=Target(wait=Span(600 * SECOND), miss=1e-4))
    odd = replace(found.pace, apart=Fraction(148_125, 2), operators=12)

    lines = list(say_capacity(replace(found, pace=odd), blocks=True))

    assert max(map(len, lines)) <= 79
    assert any("74.1 s" in line for line in lines)

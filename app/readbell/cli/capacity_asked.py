"""What `readbell capacity` was asked, checked: each number in its range, or one sentence."""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.picture_file import why_no_picture
from readbell.core.errors import ReadbellError
from readbell.core.instant import SECOND, Span
from readbell.core.made_later import dataclass
from readbell.core.plan.capacity import Rule, Target
from readbell.core.span_text import read_span

if TYPE_CHECKING:
    import argparse

MOST_OPERATORS = 50
MOST_PER_HOUR = 1_000.0
MOST_HOURS = 24.0
MOST_PEOPLE = 1_500
"""In one run: beyond it, a wrong number is likelier than such a day."""
MOST_RUNS = 10_000_000
MOST_IN_A_ROUND = 4
MOST_SPREAD = 1.0
MOST_GLOVES = 600.0
MOST_SEED = (1 << 63) - 1
LONGEST_WAIT = Span(24 * 60 * 60 * SECOND)


class WrongNumberError(ReadbellError):
    """An option cannot be used; the text says which and what it may be."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """The options, as values."""

    per_hour: float | None
    operators: int | None
    """None: how many it takes is the question."""
    most_operators: int
    people: int
    """In each run."""
    seed: int
    gloves: Span | None
    spread: float
    rule: Rule
    runs: int | None
    round_of: int
    """New people in a round, at most."""
    target: Target
    picture: Path | None


def asked_of(options: argparse.Namespace) -> Asked:
    """Return what was asked.

    Raises:
        WrongNumberError: something is no number, or out of its range.
    """
    per_hour = None
    if options.arrivals_per_hour is not None:
        per_hour = _number("--arrivals-per-hour", options.arrivals_per_hour, 0.1, MOST_PER_HOUR)
    hours = _number("--hours", options.hours, 0.05, MOST_HOURS)
    people = max(1, round((per_hour or 0) * hours))
    if people > MOST_PEOPLE:
        msg = (
            f"--hours {options.hours}: {hours:g} hours of {per_hour:g} people are {people} in one "
            f"run; name hours that make {MOST_PEOPLE} or fewer."
        )
        raise WrongNumberError(msg)
    operators = options.operators
    picture = None if options.picture is None else Path(options.picture)
    wrong = None if picture is None else why_no_picture(picture)
    if wrong is not None:
        msg = f"{wrong}."
        raise WrongNumberError(msg)
    gloves = options.gloves
    runs = options.runs
    return Asked(
        per_hour=per_hour,
        operators=None
        if operators is None
        else _whole("--operators", operators, 1, MOST_OPERATORS),
        most_operators=_whole("--most-operators", options.most_operators, 1, MOST_OPERATORS),
        people=people,
        seed=_whole("--seed", options.seed, 0, MOST_SEED),
        gloves=None
        if gloves is None
        else Span(round(SECOND * _number("--gloves", gloves, 0, MOST_GLOVES))),
        spread=_number("--spread", options.spread, 0, MOST_SPREAD),
        rule=Rule(options.rule),
        runs=None if runs is None else _whole("--runs", runs, 1, MOST_RUNS),
        round_of=_whole("--round", options.round, 1, MOST_IN_A_ROUND),
        target=Target(
            wait=_wait(options.wait_target),
            miss=_number("--miss-target", options.miss_target, 1e-7, 1),
        ),
        picture=picture,
    )


def _number(name: str, text: str, least: float, most: float) -> float:
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not least <= value <= most:
        msg = f"{name} {text}: name a number from {least:g} to {most:,g}."
        raise WrongNumberError(msg)
    return value


def _whole(name: str, text: str, least: int, most: int) -> int:
    try:
        value = int(text)
    except ValueError:
        value = least - 1
    if not least <= value <= most:
        msg = f"{name} {text}: name a whole number from {least} to {most:,}."
        raise WrongNumberError(msg)
    return value


def _wait(text: str) -> Span:
    span = read_span(text)
    if span is None or span > LONGEST_WAIT:
        msg = f"--wait-target {text}: write a time as 10:00, up to 24:00:00."
        raise WrongNumberError(msg)
    return span

"""What `readbell plan` was asked, checked: each number in its range, or one sentence."""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.capacity_asked import WrongNumberError
from readbell.cli.picture_file import why_no_picture
from readbell.core.instant import SECOND, Span
from readbell.core.made_later import dataclass
from readbell.core.plan.batch.break_text import LATEST, overlapping, read_break
from readbell.core.plan.hands_on import READING
from readbell.core.span_text import write_span
from readbell.scenarios.arrivals import MOST_PEOPLE, read_arrivals

if TYPE_CHECKING:
    import argparse

    from readbell.core.plan.batch.job import Break

MOST_OPERATORS = 20
MOST_GLOVES = 600.0
MOST_SLACK = 86_400.0
LONGEST_SEARCH = 86_400.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """The options, as values."""

    arrivals: tuple[Span, ...]
    operators: int
    slack: tuple[tuple[str, Span], ...]
    breaks: tuple[Break, ...]
    gloves: Span | None
    seconds: float
    pictures: tuple[Path, ...]


def asked_of(options: argparse.Namespace) -> Asked:
    """Return what was asked.

    Raises:
        WrongNumberError: something is no number, or out of its range.
        WrongFileError: the arrivals file cannot be used.
    """
    operators = _whole("--operators", options.operators, MOST_OPERATORS)
    gloves = options.gloves
    pictures = tuple(Path(each) for each in options.picture)
    for picture in pictures:
        wrong = why_no_picture(picture)
        if wrong is not None:
            msg = f"{wrong}."
            raise WrongNumberError(msg)
    return Asked(
        arrivals=_arrivals(options),
        operators=operators,
        slack=_slack(options.slack),
        breaks=_breaks(options.breaks, operators),
        gloves=None if gloves is None else _seconds("--gloves", gloves, MOST_GLOVES),
        seconds=_number("--seconds", options.seconds, 0.1, LONGEST_SEARCH),
        pictures=pictures,
    )


def _arrivals(options: argparse.Namespace) -> tuple[Span, ...]:
    if options.arrivals is None:
        if options.people is None:
            msg = "Nobody is named: say --people N, or --arrivals FILE with when each comes."
            raise WrongNumberError(msg)
        return (Span(0),) * _whole("--people", options.people, MOST_PEOPLE)
    found = read_arrivals(Path(options.arrivals))
    if options.people is not None and options.people != str(len(found)):
        msg = (
            f"--people {options.people}: {options.arrivals} names {len(found)} arrivals; leave "
            "--people out, or make the two agree."
        )
        raise WrongNumberError(msg)
    return found


def _slack(written: list[str]) -> tuple[tuple[str, Span], ...]:
    found: dict[str, Span] = {}
    for each in written:
        window, _, text = each.rpartition(":")
        window = window or READING
        if window in found:
            msg = f"--slack {each}: slack before the end of {window} is named twice; name it once."
            raise WrongNumberError(msg)
        found[window] = _seconds("--slack", text, MOST_SLACK)
    return tuple(found.items())


def _breaks(written: list[str], operators: int) -> tuple[Break, ...]:
    found: list[Break] = []
    for each in written:
        read = read_break(each)
        if read is None:
            msg = (
                f"--break {each}: write OPERATOR:FROM-TO, as in 1:30:00-40:00, with FROM before TO "
                f"and both within {write_span(LATEST)} after the start."
            )
            raise WrongNumberError(msg)
        who = _whole("--break of operator", str(read.operator + 1), operators)
        if overlapping([*found, read]) is not None:
            msg = f"--break {each}: it overlaps another break of operator {who}; make them one."
            raise WrongNumberError(msg)
        found.append(read)
    return tuple(found)


def _seconds(name: str, text: str, most: float) -> Span:
    return Span(round(SECOND * _number(name, text, 0, most)))


def _number(name: str, text: str, least: float, most: float) -> float:
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not least <= value <= most:
        msg = f"{name} {text}: name a number from {least:g} to {most:,g}."
        raise WrongNumberError(msg)
    return value


def _whole(name: str, text: str, most: int) -> int:
    try:
        value = int(text)
    except ValueError:
        value = 0
    if not 1 <= value <= most:
        msg = f"{name} {text}: name a whole number from 1 to {most:,}."
        raise WrongNumberError(msg)
    return value

"""Say how many people an hour a crew can carry, and how they would wait; or how large a crew it takes."""

from __future__ import annotations

import json
import sys
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import DONE, INTERRUPTED

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable

    from readbell.cli.capacity_asked import Asked
    from readbell.core.plan.capacity import Capacity, Forecast, Premise
    from readbell.core.plan.sustained import Sustained
    from readbell.core.plan.work import Work

RUNS_FAST, RUNS_PLAIN = 40_000, 1_000
"""Runs of each crew where nothing else is asked: with numpy, and without it."""


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("capacity", help=__doc__, description=__doc__)
    add = parser.add_argument
    add("--arrivals-per-hour", metavar="A", help="people who come in an hour; left out: pace alone")
    add("--operators", metavar="K", help="the crew; left out: the smallest that keeps the targets")
    add("--assay", default="respiratory-antigen-nasal", metavar="A", help="an id, or a file")
    add("--hours", default="2", metavar="H", help="how long people go on coming (default: 2)")
    add("--seed", default="1", metavar="N", help="brings the same people back (default: 1)")
    add("--gloves", metavar="S", help="seconds for a change of gloves (default: the assay's own)")
    add(
        "--spread",
        default="0.25",
        metavar="F",
        help="of the logarithm of each piece's time; 0: all take their usual time (default: 0.25)",
    )
    add(
        "--rule",
        default="blocks",
        choices=["blocks", "earliest-limit"],
        help="what the hands do next: begin nobody who would cost a reading, or never idle",
    )
    add(
        "--firm-only",
        action="store_true",
        help="leave advisory limits out instead of counting them like firm ones",
    )
    add("--wait-target", default="10:00", metavar="M:SS", help="for 99 of 100 (default: 10:00)")
    add("--miss-target", default="1e-4", metavar="F", help="of cartridges (default: 1e-4)")
    add("--most-operators", default="12", metavar="K", help="the largest crew (default: 12)")
    add(
        "--round",
        default="2",
        metavar="N",
        help="new people in a round of the pace, at most; 3 takes seconds (default: 2)",
    )
    add("--runs", metavar="N", help="simulated runs of each crew")
    add("--json", action="store_true", help="one JSON object on standard output instead of lines")
    add("--picture", metavar="FILE", help="write the waits as a picture, too: .svg, .pdf or .png")
    add("--ascii", action="store_true", help="draw with plain signs alone")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Work it out, and say it with its rule, its assumptions and its bound."""
    from readbell.assembly import library
    from readbell.cli.capacity_asked import asked_of
    from readbell.core.plan.work import work_of
    from readbell.phrases.of_capacity import say_capacity
    from readbell.reports.capacity_report import as_json

    asked = asked_of(options)
    assay = library().find(options.assay)
    work = work_of(assay, gloves=asked.gloves, wishes=not options.firm_only)
    found = _answer(asked, assay.title, work, wishes=not options.firm_only)
    if asked.picture is not None:
        _draw(asked, found)
    if options.json:
        print(json.dumps(as_json(found), ensure_ascii=False, indent=2))
    else:
        blocks = not options.ascii and _has_blocks()
        for line in say_capacity(found, blocks=blocks):
            print(line)
    stopped = any(each.stopped for each in found.tried)
    return INTERRUPTED if stopped else DONE


def _answer(asked: Asked, title: str, work: Work, *, wishes: bool) -> Capacity:
    from readbell.core.plan.capacity import Capacity

    if asked.per_hour is None:
        pace = _pace(title, work, asked.operators or 1, asked.round_of)
        return Capacity(title=title, work=work, pace=pace, premise=None)
    from readbell.cli.capacity_asked import WrongNumberError
    from readbell.core.plan.capacity import Premise
    from readbell.core.plan.cyclic import alone, least_work
    from readbell.phrases.of_capacity import say_cannot_be_kept, say_over_bound

    if alone(work) is None:
        raise WrongNumberError(say_cannot_be_kept(title))
    bound = least_work(work)
    largest = asked.operators or asked.most_operators
    smallest = asked.operators or max(1, -int(-asked.per_hour * bound // 3_600_000))
    if asked.per_hour * bound > largest * 3_600_000:
        raise WrongNumberError(
            say_over_bound(asked.per_hour, largest, bound, fixed=asked.operators is not None)
        )
    premise = Premise(
        assay=title,
        rule=asked.rule,
        per_hour=asked.per_hour,
        people=asked.people,
        spread=asked.spread,
        seed=asked.seed,
        gloves=work.gloves,
        wishes=wishes,
        windows=tuple(lag.until for lag in work.lags if lag.most is not None),
    )
    tried, fast = _played(asked, work, premise, range(smallest, largest + 1))
    last = tried[-1].tally
    is_search = asked.operators is None
    answer = last.operators if is_search and asked.target.kept(last) else None
    return Capacity(
        title=title,
        work=work,
        pace=_pace(title, work, last.operators, asked.round_of),
        premise=premise,
        tried=tuple(tried),
        target=asked.target if is_search else None,
        answer=answer,
        fast=fast,
    )


def _pace(title: str, work: Work, operators: int, people: int) -> Sustained:
    from readbell.cli.capacity_asked import WrongNumberError
    from readbell.core.plan.sustained import sustained
    from readbell.phrases.of_capacity import say_cannot_be_kept

    pace = sustained(work, operators, people=people)
    if pace is None:
        raise WrongNumberError(say_cannot_be_kept(title))
    return pace


def _played(
    asked: Asked, work: Work, premise: Premise, crews: range
) -> tuple[list[Forecast], bool]:
    """Play the crew that was named, or one after the other; say whether numpy played."""
    from readbell.cli.capacity_asked import WrongNumberError
    from readbell.cli.progress import Progress
    from readbell.forecast.crew import smallest_crew
    from readbell.forecast.forecast import Setting, forecast, has_numpy, nothing
    from readbell.forecast.job import is_too_long
    from readbell.phrases.of_capacity import say_too_long

    if is_too_long(work, premise.people):
        raise WrongNumberError(say_too_long(premise.assay, premise.people))
    fast = has_numpy()
    setting = Setting(work=work, premise=premise, fast=fast)
    runs = asked.runs or (RUNS_FAST if fast else RUNS_PLAIN)
    with Progress() as progress:

        def told(operators: int) -> Callable[[int, int], None]:
            crew = f"{operators} operator{'' if operators == 1 else 's'}"
            return lambda done, of: progress.tell(f"{crew}: runs", done, of)

        if asked.operators is None:
            return smallest_crew(setting, asked.target, crews, runs, told), fast
        crew = asked.operators
        return [forecast(setting, crew, runs, told(crew), nothing(setting, crew))], fast


def _draw(asked: Asked, found: Capacity) -> None:
    from readbell.cli.capacity_asked import WrongNumberError
    from readbell.cli.picture_file import why_not_drawn
    from readbell.reports.capacity_picture import picture_of

    path = asked.picture
    if path is None:
        return
    if not found.tried:
        msg = "--picture: there are no waits to draw without --arrivals-per-hour; add it."
        raise WrongNumberError(msg)
    from readbell.phrases.of_capacity import say_under_picture

    drawing = picture_of(found, tuple(say_under_picture(found)))
    why = why_not_drawn(drawing, path)
    if why is not None:
        msg = f"{why}."
        raise WrongNumberError(msg)


def _has_blocks() -> bool:
    """Say whether standard output can write the signs of the chart."""
    try:
        "█".encode(sys.stdout.encoding or "ascii")
    except UnicodeEncodeError:
        return False
    return True

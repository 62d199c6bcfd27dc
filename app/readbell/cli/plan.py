"""Make a timetable for a batch: who does what on whom and when, and how close it is to the shortest."""

from __future__ import annotations

import json
import shutil
import sys
import textwrap
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import DONE

if TYPE_CHECKING:
    import argparse

    from readbell.cli.plan_asked import Asked
    from readbell.core.plan.batch.job import Batch
    from readbell.core.plan.batch.plan import Plan


NARROWEST = 40
"""Columns: in fewer, words are left to the terminal to break."""


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("plan", help=__doc__, description=__doc__)
    add = parser.add_argument
    add("--people", metavar="N", help="how many are there from the start")
    add("--arrivals", metavar="FILE", help="when each comes: a .csv or .toml file")
    add("--operators", default="1", metavar="K", help="how many pairs of hands (default: 1)")
    add("--assay", default="respiratory-antigen-nasal", metavar="A", help="an id, or a file")
    add(
        "--slack",
        action="append",
        default=[],
        metavar="S",
        help="seconds to keep before the end of the read window; WINDOW:S for the wait after a step",
    )
    add(
        "--break",
        dest="breaks",
        action="append",
        default=[],
        metavar="OPERATOR:FROM-TO",
        help="when an operator, counted from 1, is away, as in 1:30:00-40:00",
    )
    add("--gloves", metavar="S", help="seconds for a change of gloves (default: the assay's own)")
    add("--prove", action="store_true", help="look for the shortest and its proof (extra plan)")
    add("--seconds", default="30", metavar="S", help="how long to look, at most (default: 30)")
    add("--json", action="store_true", help="one JSON object on standard output instead of lines")
    add(
        "--picture",
        action="append",
        default=[],
        metavar="FILE",
        help="write it for the wall, too: .svg, .pdf or .png",
    )
    add(
        "--line",
        metavar="OPERATOR",
        help="print the line that loads it into a live bay, in the name of this operator",
    )
    add("--to-board", action="store_true", help="load it into a bay that no program runs now")
    add("--by", metavar="OPERATOR", help="with --to-board: who loads it")
    add(
        "--journal",
        type=Path,
        metavar="FILE",
        help="with --to-board: the bay's record (default: this computer's own)",
    )
    add("--ascii", action="store_true", help="draw with plain signs alone")
    # Only a plan that goes to a board opens a journal.
    parser.set_defaults(run=run, opens_journal=False)


def run(options: argparse.Namespace) -> int:
    """Make the plan and say it with its rule, its assumptions and its bound."""
    from readbell.assembly import library
    from readbell.cli import plan_to_board
    from readbell.cli.capacity_asked import WrongNumberError
    from readbell.cli.plan_asked import asked_of
    from readbell.core.plan.batch.job import Fault, batch_of
    from readbell.core.plan.batch.planner import plan
    from readbell.core.plan.work import work_of
    from readbell.phrases.of_plans import say_fault

    plan_to_board.check(options)
    asked = asked_of(options)
    assay = library().find(options.assay)
    batch = batch_of(
        work_of(assay, gloves=asked.gloves),
        arrivals=asked.arrivals,
        operators=asked.operators,
        breaks=asked.breaks,
        slack=dict(asked.slack),
    )
    if isinstance(batch, Fault):
        raise WrongNumberError(say_fault(batch, assay.title))
    found = plan(batch)
    if options.prove:
        found = _proved(batch, found, asked.seconds)
    for picture in asked.pictures:
        _draw(picture, batch, found, assay.title, asked)
    if options.to_board:
        return plan_to_board.load(options, found, assay.id, batch.breaks)
    if options.line is not None:
        from readbell.reports.plan_report import as_line

        line = as_line(found, assay.id, options.line, batch.breaks)
        print(json.dumps(line, ensure_ascii=False))
    elif options.json:
        _print_json(batch, found)
    else:
        _print_lines(batch, found, assay.title, asked, plain=options.ascii)
    return DONE


def _proved(batch: Batch, found: Plan, seconds: float) -> Plan:
    from readbell.cli.capacity_asked import WrongNumberError
    from readbell.cli.plan_progress import Searching

    try:
        searching = Searching(batch, found, seconds)
    except ImportError:
        msg = (
            "--prove takes the extra plan: install it with pip install 'readbell[plan]', "
            "or leave --prove out."
        )
        raise WrongNumberError(msg) from None
    return searching.run()


def _print_json(batch: Batch, found: Plan) -> None:
    from readbell.core.plan.stagger import even_stagger
    from readbell.reports.plan_report import as_json

    stagger = even_stagger(batch.work, batch.operators)
    assert stagger is not None  # noqa: S101  # one cartridge keeps its limits, or there is no batch
    print(json.dumps(as_json(batch, found, stagger.interval), indent=2))


def _print_lines(batch: Batch, found: Plan, title: str, asked: Asked, *, plain: bool) -> None:
    from readbell.phrases.of_plans import CAUTION, say_plan, say_timetable
    from readbell.reports.plan_chart import FULL, PLAIN, chart

    wide = shutil.get_terminal_size((100, 24)).columns
    for words in say_plan(batch, found, title, dict(asked.slack)):
        print(textwrap.fill(words, max(wide, NARROWEST)))
    print()
    for line in chart(batch, found, wide, PLAIN if plain or not _has_signs() else FULL):
        print(line)
    for operator in range(batch.operators):
        print()
        for line in say_timetable(batch, found, operator):
            print(line)
    print()
    print(textwrap.fill(" ".join(CAUTION), max(wide, NARROWEST)))


def _has_signs() -> bool:
    """Say whether standard output can write the signs of the picture."""
    try:
        "█▒●·".encode(sys.stdout.encoding or "ascii")
    except UnicodeEncodeError:
        return False
    return True


def _draw(path: Path, batch: Batch, found: Plan, title: str, asked: Asked) -> None:
    from readbell.cli.capacity_asked import WrongNumberError
    from readbell.cli.picture_file import why_not_drawn
    from readbell.phrases.of_plans import CAUTION, say_plan
    from readbell.reports.plan_picture import picture_of

    words = (*say_plan(batch, found, title, dict(asked.slack)), *CAUTION)
    why = why_not_drawn(picture_of(batch, found, words), path)
    if why is not None:
        msg = f"{why}."
        raise WrongNumberError(msg)

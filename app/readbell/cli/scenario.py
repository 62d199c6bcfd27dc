"""Check scenario files, or make one by chance from a seed."""

from __future__ import annotations

import asyncio
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from readbell.cli.exit_codes import DONE, WRONG_INPUT

if TYPE_CHECKING:
    import argparse

    from readbell.rehearsals import Run, Script
    from readbell.scenarios.making import Asked, Wording

DIFFICULTIES = ("easy", "normal", "hard", "worst")
MOST_TRIES = 40
SHORT_OF = (
    "no scenario was found that steady hands can keep: ask for fewer people or more operators"
)


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("scenario", help=__doc__, description=__doc__)
    parser.set_defaults(run=run)
    does = parser.add_subparsers(dest="what", required=True, metavar="WHAT")
    check = does.add_parser(
        "check", help="say what is wrong with files", description="Say what is wrong with files."
    )
    check.add_argument("files", nargs="+", type=Path, metavar="FILE")
    check.add_argument("--json", action="store_true", help="one JSON object a file")
    make = does.add_parser(
        "make",
        help="make an ordinary scenario file by chance",
        description="Make an ordinary scenario file by chance: the same for the same seed.",
    )
    add = make.add_argument
    who = make.add_mutually_exclusive_group()
    who.add_argument("--people", type=int, metavar="N", help="how many come (default: 6)")
    who.add_argument(
        "--strips", type=int, metavar="N", help="a set of so many strips to be told apart instead"
    )
    add("--operators", type=int, default=1, metavar="K", help="how many are at work (default: 1)")
    add("--difficulty", choices=DIFFICULTIES, default="normal", help="default: normal")
    add("--seed", type=int, default=1, metavar="N", help="default: 1")
    add("--assay", default="respiratory-antigen-nasal", metavar="ID", help="an id, or a file")
    add(
        "--out",
        type=Path,
        metavar="FILE",
        help="write it there; never over a file that stands there",
    )


def run(options: argparse.Namespace) -> int:
    """Do what was asked for."""
    return _check(options) if options.what == "check" else _make(options)


def _check(options: argparse.Namespace) -> int:
    from readbell.cli.spelt_out import spelt_out
    from readbell.rehearsals import load_script
    from readbell.toml_tables import WrongFileError

    right = True
    for file in options.files:
        faults: tuple[str, ...] = ()
        script = None
        try:
            script = load_script(file)
        except WrongFileError as error:
            faults, right = error.faults, False
        if options.json:
            print(json.dumps(_fields(file, script, faults), ensure_ascii=False))
            continue
        for fault in faults:
            print(spelt_out(fault), file=sys.stderr)
        if script is not None:
            print(spelt_out(f"{file}: {_says(script)}"))
    return DONE if right else WRONG_INPUT


def _says(script: Script) -> str:
    from readbell.phrases.counted import counted

    scenario = script.scenario
    played = counted(len(scenario.acts), "act") if scenario.acts else "steady hands, or a person"
    more = [
        counted(len(found), name)
        for found, name in (
            (scenario.interruptions, "interruption"),
            (scenario.flaws, "bad device"),
        )
        if found
    ]
    people = counted(len(scenario.persons), "person", "people")
    counts = ", ".join([people, counted(len(scenario.operators), "operator"), *more])
    return f"a sound scenario: {counts}; played by {played}"


def _fields(file: Path, script: Script | None, faults: tuple[str, ...]) -> dict[str, Any]:
    found: dict[str, Any] = {"file": str(file), "sound": script is not None, "faults": list(faults)}
    if script is not None:
        scenario = script.scenario
        found |= {
            "title": scenario.title,
            "goal": scenario.goal,
            "teaching": scenario.teaching,
            "difficulty": None if scenario.difficulty is None else str(scenario.difficulty),
            "people": len(scenario.persons),
            "operators": len(scenario.operators),
            "interruptions": len(scenario.interruptions),
            "bad_devices": len(scenario.flaws),
            "acts": len(scenario.acts),
            "digest": script.digest.hex(),
        }
    return found


def _make(options: argparse.Namespace) -> int:
    from readbell.assembly import library
    from readbell.cli.progress import Progress
    from readbell.cli.spelt_out import spelt_out
    from readbell.core.rehearsal.scenario import Difficulty
    from readbell.exports.out_file import OutFile
    from readbell.rehearsals import script_of
    from readbell.scenarios.making import MOST_OPERATORS, MOST_PEOPLE, Asked, make_scenario

    people = options.strips if options.strips is not None else options.people
    asked = Asked(
        people=6 if people is None else people,
        operators=options.operators,
        difficulty=Difficulty(options.difficulty),
        seed=options.seed,
        assay=options.assay,
        strips=options.strips is not None,
    )
    named = "--strips" if asked.strips else "--people"
    for name, found, most in (
        (named, asked.people, MOST_PEOPLE),
        ("--operators", asked.operators, MOST_OPERATORS),
    ):
        if not 1 <= found <= most:
            print(f"{name} {found}: name a number from 1 to {most}.", file=sys.stderr)
            return WRONG_INPUT
    assay = library().find(options.assay, Path())
    words = _wording(asked)
    text = None
    with Progress() as progress:
        for eased in range(MOST_TRIES):
            tried = make_scenario(asked, assay, words, eased)
            script = script_of(tried, options.out or Path("made.toml"))
            if _is_kept(script, asyncio.run(_played(script))):
                text = tried
                break
            progress.tell("tried", eased + 1, MOST_TRIES)
    if text is None:
        print(f"readbell scenario make: {SHORT_OF}.", file=sys.stderr)
        return WRONG_INPUT
    if options.out is None:
        sys.stdout.write(text)
        return DONE
    with OutFile(options.out) as out:
        out.write(text)
    print(spelt_out(f"{options.out}: written. Rehearse it: readbell rehearse {options.out}"))
    return DONE


def _wording(asked: Asked) -> Wording:
    from readbell.phrases import scenario_words as words
    from readbell.scenarios.making import Wording

    title = words.title_of(asked.people, asked.operators, asked.difficulty, asked.seed)
    if asked.strips:
        title = words.title_of_strips(asked.people, asked.seed)
    return Wording(
        made_by=words.say_made_by(asked.command),
        title=title,
        goal=words.STRIPS_GOAL if asked.strips else words.GOALS[asked.difficulty],
        teaching=words.STRIPS_TEACHING if asked.strips else words.TEACHING[asked.difficulty],
        questions=words.QUESTIONS,
        car_leaves=words.CAR_LEAVES,
        called_away=words.CALLED_AWAY,
        lid_closed=words.LID_CLOSED,
    )


async def _played(script: Script) -> Run:
    from readbell.rehearsals import rehearse

    return await rehearse(script, None, None, _nobody, _nobody)


def _nobody(*_told: object) -> None:
    """Nobody listens: what counts is how it ends."""


def _is_kept(script: Script, run: Run) -> bool:
    """Say whether steady hands lost no window, tested whoever stayed, and owe nobody a repeat."""
    from readbell.core.cartridge.stage import Stage

    scenario, board = script.scenario, run.board
    tested = {board.name(each.labelled.subject) for each in board.in_order()}
    stayed = [each.id for each in scenario.persons if scenario.leaves(each.id) is None]
    owed = {board.name(each) for each in board.owed.values()}
    return (
        all(each.stage in (Stage.READ, Stage.VOID) for each in board.in_order())
        and all(each in tested for each in stayed)
        and not any(each in owed for each in stayed)
    )

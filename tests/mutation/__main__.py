"""Mutation testing of the rules: change each of them a little, and see a test fail.

The mutants are made by mutmut in a copy below `build/`, and by hand where it makes none. What lives
must stand in docs/mutants.md with a verdict, or the run fails.
"""

from __future__ import annotations

import argparse
import re
import shutil
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from mutation.by_hand import MUTANTS
from mutation.survivors import PAPER, Mutant, mutant_of, verdicts

if TYPE_CHECKING:
    from collections.abc import Iterator

    from mutation.by_hand import ByHand

TOP = Path(__file__).parents[2]
PLACE = TOP / "build" / "mutants"
CORE = "src/readbell/core"
FILES = (
    "reading/bands.py",
    "reading/interpretation.py",
    *(
        f"cartridge/{name}.py"
        for name in (
            [
                "window",
                "at_instant",
                "looks",
                "ending",
                "steps",
                "moment",
                "correction",
                "together",
                "taking_back",
                "due",
            ]
        )
    ),
    "stock/lot.py",
    *(f"results/{name}.py" for name in ["standing", "telling", "to_tell", "result"]),
    *(
        f"board/{name}.py"
        for name in (
            [
                "identify",
                "label",
                "second_reader",
                "contradicting",
                "correcting",
                "repeats",
                "owing",
                "telling",
                "review",
                "mixed_up",
                "keeping",
                "results",
                "worklist",
                "telling_fold",
                "sending",
                "reviewed",
                "closed_period",
                "erasable",
            ]
        )
    ),
    "statistics/binomial.py",
)
"""What is mutated: the rules by which an act is judged."""
TESTS = (
    "tests/core/reading",
    "tests/core/cartridge",
    "tests/core/stock",
    "tests/core/results",
    "tests/core/statistics/test_binomial.py",
    *(
        f"tests/core/board/test_{name}.py"
        for name in (
            [
                "identify",
                "patients",
                "label",
                "start_checks",
                "shifts",
                "paper_runs",
                "open_lot",
                "to_repeat",
                "owing",
                "samples",
                "joining_strips",
                "second_reader",
                "read_once",
                "read_twice",
                "contradicting",
                "contradicting_another",
                "contradiction_decided",
                "correcting",
                "repeats",
                "telling",
                "worklist",
                "putting_right",
                "notices",
                "results",
                "amending",
                "review",
                "mixed_up",
                "keeping",
                "forgetting",
                "sending",
                "noting_exports",
                "reviewed",
                "closed_period",
                "erasable",
                "erasable_period",
                "concerns",
                "trail",
            ]
        )
    ),
)
"""The tests that are to hold these rules; others would kill more and say less."""
NOTICED = ("killed", "timeout")
"""A test that never comes to its end has noticed too: the rule went round for ever."""
LAID_OUT = ("core", "journal")
"""Folders of tests that those need; what stands in the second one is only built upon."""
PROCESSES = 2
PYTEST = ("-m", "pytest", "-x", "-q", "--hypothesis-profile=ci", "-p", "no:cacheprovider")
PROJECT = """
[tool.pytest.ini_options]
addopts = ["--strict-markers", "--import-mode=importlib", "--hypothesis-profile=ci"]
pythonpath = ["src", "tests"]

[tool.mutmut]
source_paths = ["src"]
only_mutate = {files}
pytest_add_cli_args_test_selection = {tests}
"""
_RESULT = re.compile(r"^\s+(?P<name>\S+): (?P<state>.+)$", re.MULTILINE)
_FUNCTION = re.compile(
    "^readbell[.]core[.](?P<module>[a-z_.]+)[.]x[_\u01c1](?P<function>.+)__mutmut_[0-9]+$"
)
_DOT = "\u01c1"
"""What mutmut writes between a class and its method."""


def main() -> int:
    """Make the mutants, kill what can be killed, and say what lives; 0 if all that is accepted."""
    argparse.ArgumentParser(prog="mutants", description=__doc__).parse_args()
    lay_out()
    by_hand = [each for each in MUTANTS if lives(each)]
    lay_out()
    subprocess.run(
        [sys.executable, "-m", "mutmut", "run", "--max-children", str(PROCESSES)],
        cwd=PLACE,
        check=True,
    )
    states = results()
    living = set(survivors(states))
    accepted = verdicts()
    dead = sum(state in NOTICED for state in states.values())
    say(f"{len(states)} mutants by mutmut: {dead} killed, {len(states) - dead} not.")
    say(f"{len(MUTANTS)} by hand: {len(MUTANTS) - len(by_hand)} killed, {len(by_hand)} not.")
    unknown = living - set(accepted)
    for mutant in unknown:
        say(f"Lives and is not in {PAPER.name}:\n\n{mutant.written()}")
    for each in by_hand:
        say(f"Lives (by hand): {each.file}: {each.was!r} as {each.became!r}")
    for mutant in set(accepted) - living:
        say(f"No longer lives; take it out of {PAPER.name}:\n\n{mutant.written()}")
    return 1 if unknown or by_hand else 0


def say(text: str) -> None:
    """Print `text` at once."""
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()


def lay_out() -> None:
    """Copy program and tests to where they may be spoilt."""
    shutil.rmtree(PLACE, ignore_errors=True)
    leave_out = shutil.ignore_patterns("__pycache__")
    shutil.copytree(TOP / "app", PLACE / "src", ignore=leave_out)
    for folder in LAID_OUT:
        shutil.copytree(TOP / "tests" / folder, PLACE / "tests" / folder, ignore=leave_out)
    shutil.copy(TOP / "tests" / "builders.py", PLACE / "tests")
    files = [f"{CORE}/{name}" for name in FILES]
    settings = PROJECT.format(files=files, tests=list(TESTS))
    PLACE.joinpath("pyproject.toml").write_text(settings, encoding="utf-8")


def lives(mutant: ByHand) -> bool:
    """Say whether every test passes although `mutant` was put in."""
    file = PLACE / CORE / mutant.file
    sound = file.read_text(encoding="utf-8")
    if sound.count(mutant.was) != 1:
        msg = f"{mutant.file} no longer holds {mutant.was!r} once: mend by_hand.py"
        raise ValueError(msg)
    file.write_text(sound.replace(mutant.was, mutant.became), encoding="utf-8")
    try:
        run = subprocess.run(
            [sys.executable, *PYTEST, *TESTS],
            cwd=PLACE,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            check=False,
        )
    finally:
        file.write_text(sound, encoding="utf-8")
    say(f"{'LIVES' if run.returncode == 0 else 'killed'}: {mutant.file}: {mutant.became}")
    return run.returncode == 0


def results() -> dict[str, str]:
    """Return the state of every mutant that mutmut made, by its name."""
    return {found["name"]: found["state"] for found in _RESULT.finditer(ask("results", "--all=1"))}


def survivors(states: dict[str, str]) -> Iterator[Mutant]:
    """Yield what no test failed on, as the paper names it."""
    for name, state in states.items():
        if state in NOTICED:
            continue
        found = _FUNCTION.match(name)
        if found is None:
            msg = f"mutmut calls a mutant {name!r}, which says nothing: mend _FUNCTION"
            raise ValueError(msg)
        function = found["function"].replace(_DOT, ".")
        yield mutant_of(f"{found['module']}.{function}", ask("show", name))


def ask(*words: str) -> str:
    """Return what mutmut answers."""
    return subprocess.run(
        [sys.executable, "-m", "mutmut", *words],
        cwd=PLACE,
        capture_output=True,
        text=True,
        check=True,
    ).stdout


if __name__ == "__main__":
    sys.exit(main())

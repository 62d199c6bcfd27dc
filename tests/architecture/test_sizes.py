"""Files and functions stay small enough to be read in one go."""

from __future__ import annotations

import ast
from pathlib import Path

TOP = Path(__file__).parents[2]
APP, BESIDE = TOP / "app", (TOP / "tests", TOP / "benchmarks")
LINES_IN_A_FILE = 400
LINES_IN_A_FUNCTION = 60


def source_files() -> list[Path]:
    """Every Python file under app, in a fixed order."""
    return sorted(APP.rglob("*.py"))


def every_file() -> list[Path]:
    """Those, and every one of the tests and the benchmarks."""
    return [*source_files(), *(each for top in BESIDE for each in sorted(top.rglob("*.py")))]


def name_of(file: Path) -> str:
    """How a message calls a file: its path from the top of the project."""
    return file.relative_to(TOP).as_posix()


def long_functions(file: Path) -> list[str]:
    """One sentence for each function of a file that runs too long."""
    return [
        f"{name_of(file)}: {node.name} has {length} lines; {LINES_IN_A_FUNCTION} is the most."
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        and (length := (node.end_lineno or node.lineno) - node.lineno + 1) > LINES_IN_A_FUNCTION
    ]


def test_there_are_files_to_measure() -> None:
    """A wrong path would let the two limits pass without looking at anything."""
    assert source_files(), f"No Python file was found under {APP.name}."
    assert {each.relative_to(TOP).parts[0] for each in every_file()} == {
        "app",
        "tests",
        "benchmarks",
    }


def test_no_file_is_too_long() -> None:
    """A file that outgrows the limit holds more than one idea and is to be split."""
    too_long = [
        f"{name_of(file)} has {length} lines; {LINES_IN_A_FILE} is the most."
        for file in every_file()
        if (length := len(file.read_text(encoding="utf-8").splitlines())) > LINES_IN_A_FILE
    ]

    assert not too_long, "\n".join(too_long)


def test_no_function_is_too_long() -> None:
    """A function that outgrows the limit does more than one thing and is to be split."""
    too_long = [sentence for file in source_files() for sentence in long_functions(file)]

    assert not too_long, "\n".join(too_long)

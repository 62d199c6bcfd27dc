"""Every hazard has a test, and every test that the table of hazards names is there."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

TESTS = Path(__file__).parents[1]
PAPER = (TESTS.parent / "docs" / "hazards.md").read_text(encoding="utf-8")
NAMED = re.findall(r"`([\w/]+\.py)::(\w+)`", PAPER)
FILES = re.findall(r"`tests/([\w/]+\.py)`", PAPER)
ROWS = [
    (row[0], row[2])
    for line in PAPER.splitlines()
    if line.startswith("| ")
    and len(row := [each.strip() for each in line.strip("|").split("|")]) == 3
    if row[0] != "hazard"
]


def those_in(file: str) -> set[str]:
    """The tests that stand in a file, by their names."""
    path = TESTS / file
    tree = ast.parse(path.read_text(encoding="utf-8")) if path.is_file() else ast.Module([], [])
    return {
        node.name
        for node in ast.walk(tree)
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        and node.name.startswith("test_")
    }


@pytest.mark.parametrize(("file", "name"), sorted(set(NAMED)), ids=lambda each: each)
def test_each_test_that_is_named_exists(file: str, name: str) -> None:
    """A test that was renamed leaves its hazard without anybody who would notice."""
    assert name in those_in(file), f"tests/{file} has no {name}: mend docs/hazards.md"


@pytest.mark.parametrize("file", sorted(set(FILES)))
def test_each_file_that_is_named_exists(file: str) -> None:
    """So too with those that stand behind most rows."""
    assert (TESTS / file).is_file()


@pytest.mark.parametrize(("hazard", "tests"), ROWS, ids=[hazard for hazard, _ in ROWS])
def test_each_hazard_has_a_test(hazard: str, tests: str) -> None:
    """A rule that nothing holds is a wish."""
    assert re.search(r"`[\w/]+\.py::\w+`", tests), hazard


def test_the_table_holds_the_hazards_that_were_promised() -> None:
    """A row that falls out of the table takes its tests out of everybody's sight."""
    promised = {
        "wrong person",
        "wrong cartridge",
        "early negative",
        "late read",
        "void after a positive",
        "lying clock",
        "unsaved",
        "told, then withheld",
        "merged scans",
        "muted alarm",
    }

    assert promised <= {hazard for hazard, _ in ROWS}

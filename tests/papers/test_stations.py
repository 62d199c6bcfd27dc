"""Every rule of being alone and of joining up has a test, and every test that is named is there."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from papers.test_hazards import those_in
from readbell.core.stations.apart import ApartReason

TESTS = Path(__file__).parents[1]
PAPER = (TESTS.parent / "docs" / "stations.md").read_text(encoding="utf-8")
NAMED = re.findall(r"`([\w/]+\.py)::(\w+)`", PAPER)
ROWS = [
    line
    for line in PAPER.splitlines()
    if line.startswith("| ") and not line.startswith(("| rule ", "| done alone, and"))
]


@pytest.mark.parametrize(("file", "name"), sorted(set(NAMED)), ids=lambda each: each)
def test_each_test_that_is_named_exists(file: str, name: str) -> None:
    """A test that was renamed leaves its rule without anybody who would notice."""
    assert name in those_in(file), f"tests/{file} has no {name}: mend docs/stations.md"


@pytest.mark.parametrize("row", ROWS, ids=[row.split("|")[1].strip() for row in ROWS])
def test_each_rule_has_a_test(row: str) -> None:
    """A rule that nothing holds is a wish."""
    assert re.search(r"`[\w/]+\.py::\w+`", row)


@pytest.mark.parametrize("reason", ApartReason)
def test_each_reason_to_keep_something_apart_is_made_by_a_test(reason: ApartReason) -> None:
    """A reason that nothing comes to is a word of the record that means nothing."""
    files = (TESTS / "core" / "board").glob("test_joining*.py")

    assert any(f"ApartReason.{reason.name}" in each.read_text(encoding="utf-8") for each in files)

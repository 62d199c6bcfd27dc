"""What is said of mutants that live is about the code as it stands, and never about a border."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from mutation.by_hand import MUTANTS, ByHand
from mutation.survivors import Mutant, mutant_of, verdicts

CORE = Path(__file__).parents[2] / "app" / "readbell" / "core"
ACCEPTED = verdicts()


def source_of(where: str) -> str:
    """The file that a mutant was made in."""
    package, module, _ = where.split(".", maxsplit=2)
    return (CORE / package / f"{module}.py").read_text(encoding="utf-8")


def test_the_paper_is_read_as_it_is_written() -> None:
    """A paper that nothing is found in would accept whatever lives, or nothing."""
    mutant = Mutant(where="a.b.c", was=("x > 1",), became=("x >= 1",))

    assert verdicts(f"{mutant.written()}\nEquivalent: x is even.\n") == {
        mutant: "Equivalent: x is even."
    }
    assert mutant_of("a.b.c", "--- a\n+++ b\n@@ @@\n-  x > 1\n+  x >= 1\n") == mutant
    assert ACCEPTED


@pytest.mark.parametrize("mutant", ACCEPTED, ids=lambda each: each.where)
def test_each_mutant_that_may_live_changes_nothing_and_says_why(mutant: Mutant) -> None:
    """A survivor that is not equivalent is a test that is missing."""
    assert re.match(r"Equivalent: \w.+", ACCEPTED[mutant])


@pytest.mark.parametrize("mutant", ACCEPTED, ids=lambda each: each.where)
def test_each_mutant_that_may_live_is_of_the_code_as_it_stands(mutant: Mutant) -> None:
    """An old verdict may not cover for new code."""
    source = source_of(mutant.where)

    assert all(line in source for line in mutant.was)


@pytest.mark.parametrize("mutant", MUTANTS, ids=lambda each: f"{each.file} {each.became}"[:60])
def test_each_mutant_made_by_hand_can_be_made(mutant: ByHand) -> None:
    """One that no longer fits the code is one that is no longer tried."""
    source = (CORE / mutant.file).read_text(encoding="utf-8")

    assert source.count(mutant.was) == 1
    assert mutant.was != mutant.became

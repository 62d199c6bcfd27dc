"""`readbell plan --to-board`: a plan goes into a bay that is closed, and waits there."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from cli.conftest import NASAL

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command, Start, Verified


@pytest.fixture
def journal(start_bay: Start, tmp_path: Path) -> Path:
    """A bay with one operator and one assay, closed again."""
    path = tmp_path / "bay.journal"
    bay = start_bay(path, "--quiet")
    bay.must(do="register-operator", id="op-1")
    bay.must(do="adopt-assay", by="op-1", assay=NASAL, instructions="v1")
    bay.end_of_input()
    assert bay.wait() == 0
    return path


def test_a_plan_is_loaded_into_a_closed_bay_and_stands_there_when_it_opens(
    command: Command, journal: Path, start_bay: Start, board_in: Verified
) -> None:
    """Counted from when it was loaded; a program that asks for the next start hears of it."""
    done = command(
        "plan",
        "--people",
        "6",
        "--operators",
        "2",
        "--to-board",
        "--by",
        "op-1",
        "--journal",
        journal,
    )
    assert (done.status, done.err) == (0, "")
    assert "A plan for 6 people is loaded" in done.out
    plan = board_in(journal).plan
    assert plan is not None
    assert {each.operator for each in plan.loaded.starts} == {1, 2}

    bay = start_bay(journal, "--quiet")
    answer = bay.must(do="next-start")
    assert "Plan: person 1 of 6, operator 1" in answer["says"]
    bay.end_of_input()
    assert bay.wait() == 0


def test_the_breaks_of_the_plan_are_loaded_with_it(
    command: Command, journal: Path, start_bay: Start, board_in: Verified
) -> None:
    """A program that asks for the next start hears of them without telling them itself."""
    away = ("--break", "1:10:00-12:00")
    done = command(
        "plan", "--people", "6", *away, "--to-board", "--by", "op-1", "--journal", journal
    )
    assert "with 1 break" in done.out
    plan = board_in(journal).plan
    assert plan is not None
    assert [(each.operator, each.since) for each in plan.loaded.breaks] == [(1, 600_000)]

    bay = start_bay(journal, "--quiet")
    answer = bay.must(do="next-start")
    assert "operator 1 has a break in " in answer["says"]
    bay.end_of_input()
    assert bay.wait() == 0


def test_json_is_the_bay_s_own_answer(command: Command, journal: Path) -> None:
    """For a program."""
    done = command(
        "plan", "--people", "2", "--to-board", "--by", "op-1", "--json", "--journal", journal
    )

    assert json.loads(done.out)["accepted"] is True


def test_a_running_bay_is_to_be_asked_itself(
    command: Command, journal: Path, start_bay: Start
) -> None:
    """One sentence says how; nothing is loaded."""
    bay = start_bay(journal, "--quiet")
    bay.must(do="register-person", by="op-1", id="P-1")
    done = command("plan", "--people", "2", "--to-board", "--by", "op-1", "--journal", journal)
    bay.end_of_input()
    assert bay.wait() == 0

    assert (done.status, done.out) == (2, "")
    assert done.err.count("\n") == 1
    assert "a board runs this bay: make the plan in its room (F9, Plan, F2)" in done.err
    assert "--line" in done.err


def test_what_the_bay_refuses_is_told_and_the_status_says_so(
    command: Command, journal: Path
) -> None:
    """Somebody who is not known here."""
    done = command("plan", "--people", "2", "--to-board", "--by", "op-9", "--journal", journal)

    assert done.status == 2
    assert "op-9" in done.out


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--to-board",), "say who loads the plan, with --by OPERATOR"),
        (("--to-board", "--by", "op-1", "--line", "op-1"), "name one of them"),
        (("--by", "op-1"), "go with --to-board"),
        (("--journal", "bay.journal"), "go with --to-board"),
        (("--to-board", "--by", "op-1", "--journal", "nowhere.journal"), "there is no journal"),
    ],
)
def test_what_does_not_fit_together_is_one_sentence(
    command: Command, options: tuple[str, ...], words: str
) -> None:
    """Before anything is loaded."""
    done = command("plan", "--people", "2", *options)

    assert (done.status, done.out) == (2, "")
    assert words in done.err
    assert done.err.count("\n") == 1

"""`debrief` of several attempts: how they went on, and what is kept of them."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from cli.debrief_bench import DEMOS, RIGHT, SLIPS, played
from rehearsal.attempts import Sitting

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command


@pytest.fixture
def attempt(tmp_path: Path) -> Path:
    """The journal of an attempt with a few mistakes in it."""
    return played(SLIPS, tmp_path)


def test_the_trend_goes_over_the_attempts_of_one_trainee(
    command: Command, attempt: Path, tmp_path: Path
) -> None:
    """Of the journals given, and of what was kept in the file before; nothing counts twice."""
    kept = tmp_path / "attempts.jsonl"
    right = played(RIGHT, tmp_path)
    folder = ("--scenario", DEMOS, "--keep", kept)
    command("debrief", attempt, *folder, "--trainee", "Mo")
    command("debrief", attempt, *folder, "--trainee", "Bo")
    found = command("debrief", attempt, right, *folder, "--trainee", "Mo")

    assert "Trend of 2 attempts of Mo, the oldest first" in found.out
    assert "lines read rightly 50 % to 100 %" in found.out
    assert "mistakes of people and safety that went through 0 to 0" in found.out
    assert len(kept.read_text(encoding="utf-8").splitlines()) == 3


def test_nothing_is_kept_that_could_not_be_read_again(
    command: Command, attempt: Path, tmp_path: Path
) -> None:
    """One such line would spoil the whole file; one that was left open by hand does not."""
    kept = tmp_path / "attempts.jsonl"
    asked = ("--scenario", DEMOS, "--keep", kept)
    refused = command("debrief", attempt, *asked, "--trainee", "Mo ")
    assert refused.status == 2
    assert "--keep: trainee = 'Mo ': it has blanks at an end" in refused.err
    assert not kept.exists()

    assert command("debrief", attempt, *asked, "--trainee", "Mo").status == 0
    kept.write_text(kept.read_text(encoding="utf-8").rstrip("\n"), encoding="utf-8")
    assert command("debrief", attempt, *asked, "--trainee", "Bo").status == 0
    lines = kept.read_text(encoding="utf-8").splitlines()
    assert [json.loads(each)["trainee"] for each in lines] == ["Mo", "Bo"]


def test_figures_are_kept_only_of_somebody(command: Command, attempt: Path, tmp_path: Path) -> None:
    """A trend of nobody is none."""
    found = command("debrief", attempt, "--scenario", DEMOS, "--keep", tmp_path / "a.jsonl")

    assert found.status == 2
    assert found.err == "--keep: the journals do not say who practised: add --trainee NAME\n"


@pytest.mark.parametrize(
    ("line", "fault"),
    [
        pytest.param("{", "line 1: this is no JSON: take the line out", id="no JSON"),
        pytest.param("[]", "line 1", id="no object"),
        pytest.param('{"trainee": "Mo"}', "line 1: title is missing: add it", id="half a line"),
    ],
)
def test_a_file_of_attempts_that_is_broken_is_not_added_to(
    command: Command, attempt: Path, tmp_path: Path, line: str, fault: str
) -> None:
    """It is somebody's record, and may be another file altogether."""
    kept = tmp_path / "attempts.jsonl"
    kept.write_text(f"{line}\n", encoding="utf-8")
    asked = ("--scenario", DEMOS, "--keep", kept, "--trainee", "Mo")
    found = command("debrief", attempt, *asked)

    assert found.status == 2
    assert fault in found.err
    assert kept.read_text(encoding="utf-8") == f"{line}\n"


def test_what_one_practised_is_not_given_to_another(command: Command, tmp_path: Path) -> None:
    """The journal says who sat at the keys; a name with a slip in it would have a trend of its own."""
    sitting = Sitting(RIGHT, tmp_path / "a.journal", trainee="Mo")
    sitting.leave()
    asked = ("debrief", sitting.journal, "--scenario", RIGHT, "--keep", tmp_path / "kept.jsonl")
    found = command(*asked, "--trainee", "Bo")

    assert (found.status, found.out) == (2, "")
    assert "--trainee Bo: " in found.err
    assert "says that Mo practised: leave --trainee out" in found.err
    assert not (tmp_path / "kept.jsonl").exists()
    assert command(*asked, "--trainee", "Mo").status == 0
    assert command(*asked).status == 0
    assert len((tmp_path / "kept.jsonl").read_text("utf-8").splitlines()) == 1
    assert '"left_early": true' in (tmp_path / "kept.jsonl").read_text("utf-8")

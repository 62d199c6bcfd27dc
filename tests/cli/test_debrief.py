"""`debrief`: what an attempt came to."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from cli.debrief_bench import SLIPS, bay_of_two, played

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command, Start


@pytest.fixture
def attempt(tmp_path: Path) -> Path:
    """The journal of an attempt with a few mistakes in it."""
    return played(SLIPS, tmp_path)


@pytest.fixture
def bay(start_bay: Start, tmp_path: Path) -> Path:
    """A bay with two operators and the assay, closed again."""
    return bay_of_two(start_bay, tmp_path)


def test_a_debrief_says_what_was_done_what_went_wrong_and_what_to_practise(
    command: Command, attempt: Path
) -> None:
    """In eighty columns, without colour."""
    found = command("debrief", attempt, "--scenario", SLIPS)

    assert (found.status, found.err) == (0, "")
    assert found.out.startswith("REHEARSAL  Debrief: An interrupted reader at Harrow Quay\n")
    said = " ".join(found.out.split())
    assert (
        "15:19:35 reading: C1 line T (SARS-CoV-2 antigen) was read as negative and was positive. "
        "Right: the control line was there, and there was a very faint line at T (SARS-CoV-2 "
        "antigen), and however faint it is a line: positive."
    ) in said
    assert "Another cartridge was scanned than the one meant" in found.out
    assert "  1. Faint lines: look in good light" in found.out
    assert "is no proof of competence" in found.out
    assert "This site has no pass rule" in found.out
    assert max(map(len, found.out.splitlines())) <= 80


def test_the_time_line_has_a_row_for_each_cartridge_and_each_pair_of_hands(
    command: Command, attempt: Path
) -> None:
    """Every state is a sign of its own."""
    lines = command("debrief", attempt, "--scenario", SLIPS).out.splitlines()
    row = next(line for line in lines if line.startswith("C1 "))

    assert [sign for sign in "LD=R" if sign in row] == ["L", "D", "=", "R"]
    assert row.index("L") < row.index("D") < row.index("R")
    assert any(line.startswith("HQ-S01") and "#" in line for line in lines)
    assert any(line.startswith("calls") and "?" in line for line in lines)


def test_the_scenario_is_found_beside_the_journal(
    command: Command, attempt: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By what the journal itself says, whatever the file is called."""
    monkeypatch.chdir(tmp_path)
    nowhere = command("debrief", attempt)
    (tmp_path / "any_name.toml").write_bytes(SLIPS.read_bytes())
    (tmp_path / "broken.toml").write_text("[", encoding="utf-8")
    found = command("debrief", attempt)

    assert nowhere.status == 2
    assert "name its file with --scenario" in nowhere.err
    assert found.status == 0


def test_a_scenario_that_was_changed_since_is_another(
    command: Command, attempt: Path, tmp_path: Path
) -> None:
    """What the strips showed is not what the file says now."""
    changed = tmp_path / "changed.toml"
    text = SLIPS.read_text(encoding="utf-8").replace("very-faint", "clear")
    changed.write_text(text, encoding="utf-8")
    found = command("debrief", attempt, "--scenario", changed)

    assert found.status == 2
    assert "or it was changed since" in found.err


def test_a_scenario_that_was_named_and_is_wrong_is_told(
    command: Command, attempt: Path, tmp_path: Path
) -> None:
    """Nobody looks further for it."""
    wrong = tmp_path / "wrong.toml"
    wrong.write_text("title = 3\n", encoding="utf-8")
    found = command("debrief", attempt, "--scenario", wrong)

    assert found.status == 2
    assert str(wrong) in found.err


def test_a_record_of_patients_is_not_scored(command: Command, bay: Path) -> None:
    """There is nothing to hold it against."""
    found = command("debrief", bay)

    assert found.status == 2
    assert "a record of patients, and no rehearsal" in found.err


def test_a_journal_that_is_not_there_is_named(command: Command, tmp_path: Path) -> None:
    """In one sentence."""
    found = command("debrief", tmp_path / "none.journal")

    assert found.status == 2
    assert "there is no journal: check the name" in found.err


def test_a_program_reads_one_object(command: Command, attempt: Path) -> None:
    """Every mistake with its code, and what the record is."""
    found = json.loads(command("debrief", attempt, "--scenario", SLIPS, "--json").out)

    assert found["is"] == "a record of what was practised, and no proof of competence"
    assert [(each["code"], each["refused"]) for each in found["mistakes"]] == [
        ("wrong-cartridge", True),
        ("false-negative", False),
    ]
    assert found["practise"] == ["faint-lines", "identity"]
    assert found["readings"]["table"] == [[0, 1, 0], [0, 1, 0], [0, 0, 0]]
    assert found["readings"]["kappa"] is None
    assert found["questions"] == [
        {"interruption": 1, "at_s": 1145.0, "answered_s": 1155.0, "right": True}
    ]
    assert [each["cartridge"] for each in found["time_line"]] == ["C1", "C2"]
    assert found["best_plan"][0]["steps"][0] == "label"
    assert found["pass_rule"] is None
    assert len(found["journal"]["head"]) == 64


def test_the_same_attempt_gives_the_same_debrief(command: Command, tmp_path: Path) -> None:
    """Played twice, scored twice."""
    first = command("debrief", played(SLIPS, tmp_path, "one"), "--scenario", SLIPS, "--json").out
    second = command("debrief", played(SLIPS, tmp_path, "two"), "--scenario", SLIPS, "--json").out

    assert first == second


def test_a_debrief_is_written_as_pdf_and_never_over_a_file(
    command: Command, attempt: Path, tmp_path: Path
) -> None:
    """The same bytes each time; each page says that it is of practice."""
    pytest.importorskip("reportlab")
    pages = tmp_path / "debrief.pdf"
    asked = ("debrief", attempt, "--scenario", SLIPS, "--pdf")
    first = command(*asked, pages)
    again = command(*asked, pages)
    other = tmp_path / "other.pdf"
    command(*asked, other)

    assert first.status == 0
    assert pages.read_bytes().startswith(b"%PDF")
    assert pages.read_bytes() == other.read_bytes()
    assert again.status == 2
    assert "something stands there already: name another file" in again.err


@pytest.mark.parametrize(
    ("asked", "fault"),
    [
        pytest.param(("--wide", "59"), "--wide 59: name a number from 60 to 400.", id="too narrow"),
        pytest.param(("--clear", "op-3"), "--clear needs --by and --until", id="nobody signs"),
        pytest.param(("--by", "op-1"), "go with --clear", id="nobody is cleared"),
        pytest.param(("--trainee", " "), "--trainee: give a name.", id="no name"),
        pytest.param(("--picture", "a.bmp"), "ends in .svg, .pdf or .png", id="no such picture"),
    ],
)
def test_what_does_not_go_together_is_refused(
    command: Command, attempt: Path, asked: tuple[str, ...], fault: str
) -> None:
    """Before anything is read."""
    found = command("debrief", attempt, *asked)

    assert (found.status, found.out) == (2, "")
    assert fault in found.err


def test_the_time_line_is_drawn_and_never_over_a_file(
    command: Command, attempt: Path, tmp_path: Path
) -> None:
    """Some would rather look than read."""
    picture = tmp_path / "attempt.svg"
    asked = ("debrief", attempt, "--scenario", SLIPS, "--picture")
    first, again = command(*asked, picture), command(*asked, picture)
    nowhere = command(*asked, tmp_path / "no" / "such.svg")

    assert first.status == 0
    assert "REHEARSAL: An interrupted reader" in picture.read_text(encoding="utf-8")
    assert (again.status, nowhere.status) == (2, 2)
    assert "something stands there already: name another file" in again.err
    assert "No such file or directory: name another file" in nowhere.err

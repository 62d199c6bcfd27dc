"""`debrief`: what an attempt came to, how attempts went on, and a clearance that rests on them."""

from __future__ import annotations

import argparse
import io
import json
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from cli.conftest import NASAL
from readbell.cli.attempts_read import score_attempts
from readbell.cli.clearing import clear
from readbell.core.staff.events import CompetenceStated
from rehearsal.playing import report_of

if TYPE_CHECKING:
    from cli.conftest import Command, Reading, Start

DEMOS = Path(__file__).parents[2] / "demo_scenarios"
SLIPS = DEMOS / "interrupted_reader.toml"
RIGHT = DEMOS / "quiet_morning.toml"


@pytest.fixture
def attempt(tmp_path: Path) -> Path:
    """The journal of an attempt with a few mistakes in it."""
    return played(SLIPS, tmp_path)


def played(scenario: Path, folder: Path, name: str = "") -> Path:
    """Play `scenario` and return its journal."""
    journal = folder / f"{name or scenario.stem}.journal"
    report_of(scenario, journal)
    return journal


def typed(monkeypatch: pytest.MonkeyPatch, *lines: str) -> None:
    """Have these lines stand on standard input."""
    monkeypatch.setattr(sys, "stdin", io.StringIO("".join(f"{each}\n" for each in lines)))


def training(tmp_path: Path, **keys: object) -> None:
    """Have the site ask for so much."""
    folder = tmp_path / "CONFIG" / "readbell"
    folder.mkdir(parents=True)
    lines = [f"{key} = {json.dumps(value)}" for key, value in keys.items()]
    (folder / "settings.toml").write_text("\n".join(["[training]", *lines, ""]), encoding="utf-8")


@pytest.fixture
def bay(start_bay: Start, tmp_path: Path) -> Path:
    """A bay with two operators and the assay, closed again."""
    path = tmp_path / "bay.journal"
    process = start_bay(path, "--quiet")
    process.must(do="register-operator", id="op-1")
    process.must(do="register-operator", id="op-3", by="op-1")
    process.must(do="adopt-assay", by="op-1", assay=NASAL, instructions="v1")
    process.end_of_input()
    assert process.wait() == 0
    return path


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


def test_one_attempt_never_counts_as_two(command: Command, tmp_path: Path) -> None:
    """A copy of its journal is the same attempt: a pass rule asks for several."""
    training(tmp_path, attempts=2, least_strips=3, most_help="full")
    right = played(RIGHT, tmp_path)
    copy = tmp_path / "copy.journal"
    copy.write_bytes(right.read_bytes())
    for twice in (right, copy):
        found = command("debrief", right, twice, "--scenario", RIGHT)
        assert found.status == 2
        assert f"{twice}: this is the same attempt as {right}: name each attempt once" in found.err


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


def test_a_rule_that_is_met_is_said_to_clear_nobody_by_itself(
    command: Command, tmp_path: Path
) -> None:
    """A supervisor signs, or nothing happens."""
    training(tmp_path, least_strips=3, most_help="full")
    found = command("debrief", played(RIGHT, tmp_path), "--scenario", RIGHT)

    assert "The pass rule of this site is met. It clears nobody by itself" in found.out


def test_a_rule_that_is_not_met_says_what_is_lacking(
    command: Command, attempt: Path, tmp_path: Path
) -> None:
    """Each part of it with its figures."""
    training(tmp_path, kappa=0.8)
    found = command("debrief", attempt, "--scenario", SLIPS)
    said = " ".join(found.out.split())

    assert "The pass rule of this site is not met" in said
    assert "it asks for 20 strips, and 2 were read" in said
    assert "lines read rightly in attempt 1: 50 %, and it asks for 95 %" in said
    assert "attempt 1 had more help than it allows" in said


def test_a_supervisor_clears_somebody_on_attempts_that_passed(
    command: Command, bay: Path, tmp_path: Path, events_in: Reading
) -> None:
    """The record says on which attempts it rests, by the heads of their journals."""
    training(tmp_path, least_strips=3, most_help="full", clears_days=3_660)
    right = played(RIGHT, tmp_path)
    asked = ("--clear", "op-3", "--by", "op-1", "--until", "2030-12-31", "--journal", bay)
    found = command("debrief", right, "--scenario", RIGHT, *asked)
    (stated,) = [each for each in events_in(bay) if isinstance(each, CompetenceStated)]
    head = json.loads(command("debrief", right, "--scenario", RIGHT, "--json").out)["journal"][
        "head"
    ]

    assert (found.status, found.err) == (0, "")
    assert f"op-3 is cleared for {NASAL} to the end of 2030-12-31." in found.out
    assert "It rests on 1 attempt at rehearsals." in found.out
    assert stated.practised == (head,)


def test_a_supervisor_signs_in_for_a_clearance_as_for_anything_else(
    command: Command,
    start_bay: Start,
    bay: Path,
    tmp_path: Path,
    events_in: Reading,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Where a PIN is asked for, a wrong one clears nobody and the right one does."""
    training(tmp_path, least_strips=3, most_help="full", clears_days=3_660)
    settings = tmp_path / "CONFIG" / "readbell" / "settings.toml"
    settings.write_text(settings.read_text("utf-8") + '[policy]\nsign_in = "pin"\n', "utf-8")
    process = start_bay(bay, "--quiet")
    process.end_of_input()
    assert process.wait() == 0
    typed(monkeypatch, "4271")
    assert command("operator", "pin", "op-1", "--by", "op-1", "--journal", bay).status == 0
    right = played(RIGHT, tmp_path)
    until = ("--until", "2030-12-31", "--journal", bay)
    asked = ("debrief", right, "--scenario", RIGHT, "--clear", "op-3", "--by", "op-1", *until)
    typed(monkeypatch, "4271")
    signed = command(*asked)
    typed(monkeypatch, "9999")
    wrong = command(*asked)

    assert (signed.status, wrong.status) == (0, 2)
    assert sum(isinstance(each, CompetenceStated) for each in events_in(bay)) == 1


def test_nobody_is_cleared_while_something_runs(
    command: Command, start_bay: Start, bay: Path, tmp_path: Path
) -> None:
    """Nobody would hear what falls due meanwhile."""
    training(tmp_path, least_strips=3, most_help="full", clears_days=3_660)
    process = start_bay(bay, "--quiet")
    process.must(do="register-person", by="op-1", id="P-1")
    process.must(
        do="receive-lot", by="op-1", number="L-1", assay=NASAL, expires="2099-12-31", units=5
    )
    process.must(do="label", by="op-1", cartridge="C1", person="P-1", lot="L-1")
    process.end_of_input()
    assert process.wait() == 0
    asked = ("--clear", "op-3", "--by", "op-1", "--until", "2030-12-31", "--journal", bay)
    found = command("debrief", played(RIGHT, tmp_path), "--scenario", RIGHT, *asked)

    assert found.status == 2
    assert "1 running: wait until they are read, then clear." in found.err


def test_nobody_is_cleared_on_what_somebody_else_practised(
    bay: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A pass rule is about the attempts of one trainee."""
    training(tmp_path, least_strips=3, most_help="full", clears_days=3_660)
    (found,) = score_attempts([played(RIGHT, tmp_path)], [RIGHT])
    both = [replace(found, score=replace(found.score, trainee=each)) for each in ("Mo", "Bo")]
    options = argparse.Namespace(
        clear="op-3", by="op-1", until="2030-12-31", vision_checked=None, journal=bay, json=False
    )

    assert clear(options, both, ()) == 2
    assert "the attempts are of 2 trainees: clear on those of one alone" in capsys.readouterr().err


def test_nobody_clears_themselves_on_an_attempt(
    command: Command, bay: Path, tmp_path: Path
) -> None:
    """Where others work it is for another."""
    training(tmp_path, least_strips=3, most_help="full", clears_days=3_660)
    asked = ("--clear", "op-1", "--by", "op-1", "--until", "2030-12-31", "--journal", bay)
    found = command("debrief", played(RIGHT, tmp_path), "--scenario", RIGHT, *asked)

    assert found.status == 2
    assert "is cleared for" not in found.out


@pytest.mark.parametrize(
    ("rule", "until", "fault"),
    [
        pytest.param(None, "2030-12-31", "This site has no pass rule", id="no rule"),
        pytest.param({}, "2030-12-31", "is not met, so nobody is cleared", id="not passed"),
        pytest.param(
            {"least_strips": 3, "most_help": "full", "clears_days": 30},
            "2099-12-31",
            "hold for 30 days",
            id="for too long",
        ),
        pytest.param(
            {"least_strips": 3, "most_help": "full"},
            "2030-02-30",
            "write a day that exists",
            id="no day",
        ),
    ],
)
def test_what_stands_in_the_way_of_a_clearance_is_said(
    command: Command,
    bay: Path,
    tmp_path: Path,
    events_in: Reading,
    rule: dict[str, object] | None,
    until: str,
    fault: str,
) -> None:
    """And nobody is cleared."""
    if rule is not None:
        training(tmp_path, **rule)
    asked = ("--clear", "op-3", "--by", "op-1", "--until", until, "--journal", bay)
    found = command("debrief", played(RIGHT, tmp_path), "--scenario", RIGHT, *asked)

    assert found.status == 2
    assert fault in found.err
    assert not any(isinstance(each, CompetenceStated) for each in events_in(bay))


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

"""`scenario`: files are checked one sentence a fault, and made by chance from a seed."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from readbell.cli import scenario as scenario_command
from readbell.core.rehearsal.score_marks import Slip
from rehearsal.scored import scored_file

if TYPE_CHECKING:
    from cli.conftest import Command

DEMO = Path(__file__).parents[2] / "demo_scenarios" / "the_worst_hour.toml"


def test_a_sound_file_is_said_to_be_one(command: Command) -> None:
    """With what is in it, so that the right file was meant."""
    found = command("scenario", "check", DEMO)

    assert (found.status, found.err) == (0, "")
    assert found.out == (
        f"{DEMO}: a sound scenario: 15 people, 2 operators, 5 interruptions, 1 bad device; "
        "played by steady hands, or a person\n"
    )


def test_each_fault_is_one_sentence_and_one_sound_file_does_not_hide_another(
    command: Command, tmp_path: Path
) -> None:
    """Whoever wrote three slips mends three."""
    wrong = tmp_path / "wrong.toml"
    text = DEMO.read_text(encoding="utf-8").replace('kind = "out-of-date"', 'kind = "wrong-assay"')
    wrong.write_text(text.replace('operator = "HQ-S02"', 'operator = "HQ-S09"'), encoding="utf-8")
    missing = tmp_path / "missing.toml"
    found = command("scenario", "check", DEMO, wrong, missing)

    assert found.status == 2
    assert found.out.count("a sound scenario") == 1
    assert found.err.splitlines() == [
        f'{wrong}: flaw.1: kind = "wrong-assay" needs assay: add it',
        f"{missing}: No such file or directory: check the name and the rights",
    ]


def test_whole_faults_are_all_told(command: Command, tmp_path: Path) -> None:
    """Two things that contradict each other, two sentences."""
    wrong = tmp_path / "wrong.toml"
    text = DEMO.read_text(encoding="utf-8").replace('operator = "HQ-S02"', 'operator = "HQ-S09"')
    wrong.write_text(text.replace('until = "35:00"', 'until = "33:00"'), encoding="utf-8")
    found = command("scenario", "check", wrong)

    assert found.err.splitlines() == [
        f"{wrong}: interruption.5.until: the lid opens before it is shut: set it later than at",
        f"{wrong}: interruption.2.operator = 'HQ-S09': no operator is called that: name one",
    ]


def test_a_program_reads_one_object_a_file(command: Command, tmp_path: Path) -> None:
    """Sound or not, with every fault."""
    wrong = tmp_path / "wrong.toml"
    wrong.write_text("title = 3\n", encoding="utf-8")
    found = command("scenario", "check", "--json", DEMO, wrong)
    sound, unsound = (json.loads(line) for line in found.out.splitlines())

    assert found.status == 2
    assert (sound["sound"], sound["people"], sound["difficulty"]) == (True, 15, "worst")
    assert sound["faults"] == []
    assert len(sound["digest"]) == 64
    assert not unsound["sound"]
    assert any("starts is missing" in each for each in unsound["faults"])


@pytest.mark.parametrize("seed", ["1", "7"])
@pytest.mark.parametrize("difficulty", ["easy", "normal", "hard", "worst"])
def test_steady_hands_lose_no_window_of_what_is_made_and_misread_nothing(
    command: Command, tmp_path: Path, difficulty: str, seed: str
) -> None:
    """A task that cannot be done teaches nothing."""
    file = tmp_path / "made.toml"
    asked = ("--people", "8", "--operators", "2", "--difficulty", difficulty, "--seed", seed)
    made = command("scenario", "make", *asked, "--out", file)
    score = scored_file(file, tmp_path)

    assert (made.status, made.err) == (0, "")
    assert score.people == 8
    assert {each.code for each in score.mistakes} <= {Slip.WAIT_LONG}
    assert score.windows.right == score.windows.of


def test_the_same_seed_makes_the_same_file_and_the_file_says_how(
    command: Command, tmp_path: Path
) -> None:
    """On standard output, or in a file that was not there."""
    file = tmp_path / "made.toml"
    asked = ("--strips", "24", "--seed", "7")
    shown = command("scenario", "make", *asked)
    command("scenario", "make", *asked, "--out", file)

    assert file.read_text(encoding="utf-8") == shown.out
    assert shown.out.startswith(
        "# Made by: readbell scenario make --strips 24 --operators 1 --seed 7 "
        "--assay respiratory-antigen-nasal\n"
    )
    assert shown.out.count("[[person]]") == 24


def test_no_file_is_written_over(command: Command, tmp_path: Path) -> None:
    """Somebody may have mended it by hand."""
    file = tmp_path / "made.toml"
    file.write_text("mine", encoding="utf-8")
    found = command("scenario", "make", "--people", "1", "--out", file)

    assert found.status == 2
    assert found.err == f"{file}: something stands there already: name another file\n"
    assert file.read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize(
    ("asked", "fault"),
    [
        pytest.param(("--people", "0"), "--people 0: name a number from 1 to 200.", id="nobody"),
        pytest.param(
            ("--strips", "201"), "--strips 201: name a number from 1 to 200.", id="too many strips"
        ),
        pytest.param(
            ("--operators", "11"),
            "--operators 11: name a number from 1 to 10.",
            id="too many hands",
        ),
    ],
)
def test_what_cannot_be_made_is_refused_at_once(
    command: Command, asked: tuple[str, ...], fault: str
) -> None:
    """In one sentence."""
    found = command("scenario", "make", *asked)

    assert (found.status, found.out, found.err) == (2, "", fault + "\n")


def test_an_assay_that_is_not_at_hand_is_named(command: Command) -> None:
    """By what was asked for."""
    found = command("scenario", "make", "--assay", "no-such")

    assert found.status == 2
    assert "no-such" in found.err


def test_what_steady_hands_cannot_keep_is_eased_and_never_given_out_as_it_is(
    command: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of this seed the first try is too much: people come further apart, or nothing is made."""
    asked = ("--people", "9", "--difficulty", "worst", "--seed", "2")
    eased = command("scenario", "make", *asked)
    monkeypatch.setattr(scenario_command, "MOST_TRIES", 1)
    found = command("scenario", "make", *asked)

    assert eased.status == 0
    assert (found.status, found.out) == (2, "")
    assert "ask for fewer people or more operators" in found.err

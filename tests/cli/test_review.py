"""`review`: a supervisor releases, amends and takes back by commands, while no board runs."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from cli.conftest import OPERATOR, PERSON, QUICK_ASSAY
from readbell.core.cartridge.events import ResultAmended
from readbell.core.reading.interpretation import Outcome
from readbell.core.review.events import MixUpFound, ResultWithdrawn
from readbell.settings.places import settings_file

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command, Reading, Start


@pytest.fixture
def journal(start_bay: Start, tmp_path: Path) -> Path:
    """A bay of a site that has each strip read twice; two who disagreed about C1, and a third."""
    folder = tmp_path / "CONFIG" / "readbell" / "assays"
    folder.mkdir(parents=True)
    # Open for long enough to be read by two on a busy computer.
    (folder / "quick.toml").write_text(
        QUICK_ASSAY.replace('closes = "0:00.800"', 'closes = "1:00"'), encoding="utf-8"
    )
    settings_file().write_text('[[policy.second_reader]]\nwhen = "all"\n', encoding="utf-8")
    path = tmp_path / "bay.journal"
    bay = start_bay(path, "--quiet")
    bay.prepare("quick")
    for operator in ("op-2", "op-3"):
        bay.must(do="register-operator", by=OPERATOR, id=operator)
    bay.must(do="step", by=OPERATOR, cartridge="C1", step="apply")
    bay.until_alarm()
    bay.must(do="read", by=OPERATOR, cartridge="C1", control=True, test="faint")
    bay.must(do="read", by="op-2", cartridge="C1", control=True, test="absent")
    bay.end_of_input()
    assert bay.wait() == 0
    return path


def test_what_waits_is_listed_in_words_and_for_a_program(command: Command, journal: Path) -> None:
    """With what each of two readers saw; nothing is changed by looking."""
    said = command("review", "list", "--journal", journal)
    assert said.status == 0
    assert "two readers saw different things on it" in said.out
    assert f"First, {OPERATOR} at" in said.out
    (found,) = [
        json.loads(each)
        for each in command("review", "list", "--json", "--journal", journal).out.splitlines()
    ]
    assert (found["cartridge"], found["person"], found["outcome"]) == ("C1", PERSON, "withheld")
    assert found["held"] == ["readers-disagree"]
    assert (found["read"]["by"], found["second"]["by"]) == (OPERATOR, "op-2")


def test_a_third_decides_by_saying_what_was_there(
    command: Command, journal: Path, events_in: Reading
) -> None:
    """Whoever read it is refused; a line that is not written as one is said so."""
    amend = (
        "review", "amend", "C1", "--reason", "readers-disagreed", "--why", "looked with both",
        "--control", "present", "--journal", journal,
    )  # fmt: skip
    own = command(*amend, "--by", OPERATOR, "--line", "T=faint")
    assert own.status == 2
    assert "You read C1 yourself" in own.out
    wrong = command(*amend, "--by", "op-3", "--line", "faint")
    assert wrong.status == 2
    assert "write a line and how strong it is: T=faint" in wrong.err
    half = command(*amend, "--by", "op-3")
    assert half.status == 2
    assert "Not every line was answered" in half.out
    done = command(*amend, "--by", "op-3", "--line", "T=faint")
    assert (done.status, done.err) == (0, "")
    assert "AMENDED by op-3" in done.out
    (event,) = [each for each in events_in(journal) if isinstance(each, ResultAmended)]
    assert event.outcome is Outcome.POSITIVE
    assert "Nothing is held" in command("review", "list", "--journal", journal).out


def test_a_strip_that_cannot_be_read_is_amended_by_its_reason_alone(
    command: Command, journal: Path
) -> None:
    """As at a reading."""
    done = command(
        "review", "amend", "C1", "--reason", "other", "--why", "smeared", "--unreadable", "smear",
        "--by", "op-3", "--journal", journal, "--json",
    )  # fmt: skip
    assert json.loads(done.out)["accepted"]


@pytest.mark.parametrize(
    ("strip", "why"),
    [
        (("--unreadable", "smear", "--line", "T=faint"), "leave --control and --line out"),
        (("--unreadable", "smear", "--control", "present"), "leave --control and --line out"),
        (("--control", "present", "--line", "T=faint", "--line", "T=clear"), "say each once"),
    ],
)
def test_nothing_that_is_said_of_a_strip_is_passed_over(
    command: Command, journal: Path, events_in: Reading, strip: tuple[str, ...], why: str
) -> None:
    """Two that do not go together are not chosen between."""
    done = command(
        "review", "amend", "C1", "--reason", "other", "--why", "seen anew", *strip,
        "--by", "op-3", "--journal", journal,
    )  # fmt: skip

    assert done.status == 2
    assert why in done.err
    assert not any(isinstance(each, ResultAmended) for each in events_in(journal))


def test_what_is_held_is_released_and_stays_withheld(command: Command, journal: Path) -> None:
    """The person gets a repeat."""
    done = command(
        "review", "release", "C1", "--why", "to be repeated", "--by", "op-3", "--journal", journal
    )
    assert done.status == 0, done.err
    assert "released by op-3" in done.out


def test_a_mix_up_is_taken_back_and_its_people_are_listed(
    command: Command, journal: Path, events_in: Reading
) -> None:
    """By their IDs; the list names them until they have a fresh cartridge."""
    stranger = command(
        "review", "withdraw", "C1", "--reason", "another-person", "--why", "x", "--person", "P-404",
        "--by", "op-3", "--journal", journal,
    )  # fmt: skip
    assert stranger.status == 2
    done = command(
        "review", "withdraw", "C1", "--reason", "another-cartridge", "--why", "labels swapped",
        "--other", "C1", "--by", "op-3", "--journal", journal,
    )  # fmt: skip
    assert done.status == 0, done.err
    events = events_in(journal)
    assert [each for each in events if isinstance(each, ResultWithdrawn)]
    assert [each for each in events if isinstance(each, MixUpFound)]
    (found,) = [
        json.loads(each)
        for each in command("review", "list", "--json", "--journal", journal).out.splitlines()
    ]
    assert found["new_specimen"] == PERSON

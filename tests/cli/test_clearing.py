"""`debrief --clear`: what a site asks of attempts, and a clearance that rests on them."""

from __future__ import annotations

import argparse
import io
import json
import sys
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from cli.conftest import NASAL
from cli.debrief_bench import RIGHT, SLIPS, bay_of_two, played, training
from readbell.cli.attempts_read import score_attempts
from readbell.cli.clearing import clear
from readbell.core.staff.events import CompetenceStated

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command, Reading, Start


@pytest.fixture
def attempt(tmp_path: Path) -> Path:
    """The journal of an attempt with a few mistakes in it."""
    return played(SLIPS, tmp_path)


def typed(monkeypatch: pytest.MonkeyPatch, *lines: str) -> None:
    """Have these lines stand on standard input."""
    monkeypatch.setattr(sys, "stdin", io.StringIO("".join(f"{each}\n" for each in lines)))


@pytest.fixture
def bay(start_bay: Start, tmp_path: Path) -> Path:
    """A bay with two operators and the assay, closed again."""
    return bay_of_two(start_bay, tmp_path)


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

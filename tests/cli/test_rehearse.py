"""`rehearse --unattended --json`: one JSON object by a stable contract, or one sentence and 2."""

from __future__ import annotations

import json
import signal
import subprocess
import sys
import time
from typing import TYPE_CHECKING, Any

import pytest

from patience import PATIENCE_SECONDS
from readbell.core.board.events import BayFounded, Mode

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command, Reading

ACTS = [
    ("0:00", 'do = "label"\nperson = "P-001"\nlot = "L-100"'),
    ("0:10", 'do = "step"\nstep = "buffer"'),
    ("0:55", 'do = "step"\nstep = "collect"'),
    ("1:20", 'do = "step"\nstep = "extract"'),
    ("1:50", 'do = "step"\nstep = "withdraw"'),
    ("2:30", 'do = "step"\nstep = "withdraw"'),
    ("2:50", 'do = "step"\nstep = "apply"'),
    ("9:20", 'do = "look"'),
    ("18:00", 'do = "read"\nscanned = "C1"\nperson = "P-001"'),
]
"""One strip from label to reading; the fifth act comes before its wait is over."""


def with_acts(scenario: Path) -> Path:
    """Add the acts to the scenario."""
    written = "".join(
        f'[[act]]\nat = "{when}"\nby = "op-1"\ncartridge = "C1"\n{what}\n' for when, what in ACTS
    )
    text = scenario.read_text(encoding="utf-8")
    scenario.write_text(text + written, encoding="utf-8")
    return scenario


def change(scenario: Path, old: str, new: str) -> None:
    """Change one thing in the file."""
    text = scenario.read_text(encoding="utf-8")
    assert old in text, old
    scenario.write_text(text.replace(old, new, 1), encoding="utf-8")


def played(command: Command, scenario: Path, *options: str | Path) -> dict[str, Any]:
    """Play the scenario and return its report."""
    done = command("rehearse", scenario, "--unattended", "--json", *options)
    assert (done.status, done.err) == (0, "")
    found: dict[str, Any] = json.loads(done.out)
    return found


def test_a_whole_run_is_reported_by_the_contract(command: Command, scenario: Path) -> None:
    """Every key, in its order, with the figures that can be worked out by hand."""
    report = played(command, with_acts(scenario))
    journal = report.pop("journal")
    acts = report.pop("acts")

    assert report == {
        "title": "One strip, read in time",
        "alerts": [
            {"at_s": 140.0, "cartridge": "C1", "kind": "wait-over"},
            {"at_s": 290.0, "cartridge": "C1", "kind": "early-look"},
            {"at_s": 1070.0, "cartridge": "C1", "kind": "read-now"},
        ],
        "cartridges": [
            {
                "cartridge": "C1",
                "person": "P-001",
                "lot": "L-100",
                "stage": "read",
                "outcome": "positive",
                "analytes": {"sars-cov-2": "positive"},
                "applied_s": 170.0,
                "read_s": 1080.0,
                "elapsed_s": 910.0,
                "early_positive_s": 390.0,
                "operator": "op-1",
                "repeat_of": None,
                "deviations": [],
            }
        ],
    }
    assert [each["n"] for each in acts] == list(range(len(ACTS)))
    assert [each["refusal"] for each in acts] == [None] * 4 + ["wait-not-over"] + [None] * 4
    assert [each["accepted"] for each in acts] == [each["refusal"] is None for each in acts]
    assert [each["at_s"] for each in acts] == [0, 10, 55, 80, 110, 150, 170, 560, 1080]
    assert set(acts[0]) == {"n", "at_s", "accepted", "refusal", "says"}
    assert all(each["says"].endswith(".") for each in acts)
    assert set(journal) == {"events", "head"}
    assert len(journal["head"]) == 64


def test_a_file_without_acts_is_played_by_steady_hands(command: Command, scenario: Path) -> None:
    """The built-in operator follows the assay to the reading."""
    (cartridge,) = played(command, scenario)["cartridges"]

    assert (cartridge["stage"], cartridge["outcome"]) == ("read", "positive")
    assert cartridge["operator"] == "op-1"


def test_refusals_are_data_and_no_failure(command: Command, scenario: Path) -> None:
    """A run in which everything is refused has run."""
    change(scenario, 'id = "op-1"', 'id = "op-2"')
    report = played(command, with_acts(scenario))

    assert {each["refusal"] for each in report["acts"]} == {"unknown-operator"}
    assert report["cartridges"] == []


def test_without_json_each_thing_is_told_as_it_happens(command: Command, scenario: Path) -> None:
    """Lines for people, marked as rehearsal, with the usual cautions at the end."""
    done = command("rehearse", with_acts(scenario), "--unattended")
    lines = done.out.splitlines()

    assert lines[0] == "REHEARSAL  One strip, read in time"
    assert "00:42:20  C1  >  WAIT OVER. Squeeze and withdraw the swab." in lines
    assert any(
        line.startswith("00:41:50  no  C1 has been in buffer 0:30 of 1:00.") for line in lines
    )
    assert "A negative does not exclude infection." in done.out
    assert lines[-1].startswith("Journal: ")
    assert (done.status, done.err) == (0, "")


def test_one_file_played_in_two_processes_gives_the_same_bytes(scenario: Path) -> None:
    """Ids, salts, boot and clock all follow from the file; standard error stays empty."""
    with_acts(scenario)
    runs = [
        subprocess.run(
            [sys.executable, "-m", "readbell", "rehearse", str(scenario), "--unattended", "--json"],
            capture_output=True,
            check=False,
            timeout=PATIENCE_SECONDS,
        )
        for _ in range(2)
    ]

    assert [(run.returncode, run.stderr) for run in runs] == [(0, b"")] * 2
    assert runs[0].stdout == runs[1].stdout
    assert json.loads(runs[0].stdout)["cartridges"][0]["outcome"] == "positive"


def test_a_kept_journal_is_a_rehearsals_and_ends_in_the_reported_head(
    command: Command, scenario: Path, tmp_path: Path, events_in: Reading
) -> None:
    """Whoever finds it can see what it is, and that it is whole."""
    journal = tmp_path / "kept.journal"
    report = played(command, scenario, "--journal", journal)
    verified = command("verify", "--journal", journal, "--json")

    first = events_in(journal)[0]
    assert isinstance(first, BayFounded)
    assert first.mode is Mode.REHEARSAL
    assert json.loads(verified.out)["head"] == report["journal"]["head"]
    assert json.loads(verified.out)["events"] == report["journal"]["events"]


def test_no_journal_is_kept_unless_it_is_asked_for(
    command: Command, scenario: Path, tmp_path: Path
) -> None:
    """Practice leaves nothing behind."""
    played(command, scenario)

    assert list(tmp_path.iterdir()) == [scenario]


def test_a_journal_is_never_written_over(command: Command, scenario: Path, tmp_path: Path) -> None:
    """The file named by mistake may be the live one."""
    journal = tmp_path / "kept.journal"
    journal.write_text("something dear")
    done = command("rehearse", scenario, "--unattended", "--json", "--journal", journal)

    assert (done.status, done.out) == (2, "")
    assert done.err == (
        f"{journal}: something stands there already: a rehearsal begins a new journal\n"
    )
    assert journal.read_text() == "something dear"


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        pytest.param('title = "One', "title : 'One", "this is not TOML", id="not TOML"),
        pytest.param("units = 20", "unit = 20", "lot.1.unit is not a key", id="an unknown key"),
        pytest.param(
            "starts = 2026-03-29T00:40:00+00:00\n", "", "starts is missing", id="a missing key"
        ),
        pytest.param("00:40:00+00:00", "00:40:00", "starts", id="a start without an offset"),
        pytest.param(
            '"Europe/London"',
            '"Europe/Londinium"',
            "'Europe/Londinium' is not known",
            id="an unknown time zone",
        ),
        pytest.param(
            'control = "3:00"',
            'control = "3 min"',
            "person.1.bands.control = '3 min'",
            id="a wrong time",
        ),
        pytest.param(
            '"faint"', '"weak"', "person.1.bands.test.strength = 'weak'", id="a wrong strength"
        ),
        pytest.param(
            'at = "0:10"', 'at = "1:00"', "act.3.at: it is earlier", id="acts out of order"
        ),
        pytest.param(
            "antigen-nasal",
            "antigen-nassal",
            "'respiratory-antigen-nassal' is not known",
            id="an unknown assay",
        ),
        pytest.param('"collect"', '"shake"', "act.3.step = 'shake'", id="an unknown step"),
        pytest.param(
            'do = "look"',
            'do = "look"\nlot = "L-100"',
            "lot does not go with",
            id="a misplaced key",
        ),
        pytest.param(
            "[[lot]]",
            '[[operator]]\nid = "op-1"\n[[lot]]',
            "operator.id = 'op-1'",
            id="an id given twice",
        ),
        pytest.param('do = "look"', 'do = "peek"', "act.8.do = 'peek'", id="an unknown act"),
    ],
)
def test_each_wrong_file_ends_in_one_sentence_and_two(
    command: Command, scenario: Path, old: str, new: str, fault: str
) -> None:
    """What, where, what to do; nothing on standard output that a program could take for data."""
    change(with_acts(scenario), old, new)
    done = command("rehearse", scenario, "--unattended", "--json")

    assert (done.status, done.out) == (2, "")
    assert fault in done.err
    assert len(done.err.splitlines()) == 1
    assert done.err.count(": ") >= 1


@pytest.mark.parametrize("kind", ["not there", "a folder", "not UTF-8"])
def test_each_unreadable_file_ends_in_one_sentence_and_two(
    command: Command, tmp_path: Path, kind: str
) -> None:
    """The name comes first, then what to check."""
    path = tmp_path / "day.toml"
    if kind == "a folder":
        path.mkdir()
    if kind == "not UTF-8":
        path.write_bytes(b"title = '\xe9'")
    done = command("rehearse", path, "--unattended", "--json")

    assert (done.status, done.out) == (2, "")
    assert done.err.startswith(f"{path}: ")
    assert len(done.err.splitlines()) == 1


def test_a_wrong_file_ends_a_real_process_the_same_way(scenario: Path) -> None:
    """The status and the channel are what scripts see."""
    change(scenario, "units = 20", "unit = 20")
    done = subprocess.run(
        [sys.executable, "-m", "readbell", "rehearse", str(scenario), "--unattended", "--json"],
        capture_output=True,
        check=False,
        timeout=PATIENCE_SECONDS,
    )

    assert (done.returncode, done.stdout) == (2, b"")
    assert done.stderr.decode() == (
        f"{scenario}: lot.1.unit is not a key this file may have: take it out or mend its name\n"
    )


def test_a_rehearsal_on_the_board_wants_a_terminal(command: Command, scenario: Path) -> None:
    """Said in one sentence, before anything is made."""
    done = command("rehearse", scenario, "--journal", scenario.parent / "kept.journal")

    assert (done.status, done.out) == (2, "")
    assert len(done.err.splitlines()) == 1
    assert not (scenario.parent / "kept.journal").exists()


@pytest.mark.parametrize(
    ("options", "advice"),
    [
        (("--json",), "add --unattended."),
        (("--pace", "4"), "add --unattended."),
        (("--replay", "first.journal"), "add --unattended."),
        (("--unattended", "--assist", "silent"), "or leave out --unattended."),
        (("--unattended", "--trainee", "Quillfeather"), "or leave out --unattended."),
        (("--unattended", "--quiet"), "or leave out --unattended."),
    ],
)
def test_what_goes_with_one_way_of_rehearsing_is_refused_with_the_other(
    command: Command, scenario: Path, options: tuple[str, ...], advice: str
) -> None:
    """Silently left aside it would be missed."""
    done = command("rehearse", scenario, *options)

    assert (done.status, done.out) == (2, "")
    assert done.err.endswith(f"{advice}\n")
    assert len(done.err.splitlines()) == 1


def test_a_replay_wants_the_journal_of_a_rehearsal_on_the_board(
    command: Command, scenario: Path, tmp_path: Path
) -> None:
    """A script that played by itself holds no acts of anybody."""
    journal = tmp_path / "kept.journal"
    played(command, scenario, "--journal", journal)
    done = command("rehearse", scenario, "--unattended", "--replay", journal)

    assert done.status == 2
    assert done.err.startswith(f"{journal}: this journal is of no rehearsal with a person")


@pytest.mark.parametrize("pace", ["0", "-1", "100001", "nan", "inf"])
def test_a_pace_that_makes_no_sense_is_refused(command: Command, scenario: Path, pace: str) -> None:
    """Standing still and running backwards are no paces."""
    done = command("rehearse", scenario, "--unattended", "--pace", pace)

    assert (done.status, done.out) == (2, "")
    assert "name a number above 0, up to 100000" in done.err


def test_a_rehearsal_at_a_pace_comes_to_the_same(command: Command, scenario: Path) -> None:
    """However fast it is shown, the same thing happens."""
    assert played(command, scenario, "--pace", "100000") == played(command, scenario)


@pytest.mark.skipif(sys.platform == "win32", reason="Windows sends no such signal")
def test_a_rehearsal_that_is_interrupted_ends_without_a_complaint(scenario: Path) -> None:
    """Ctrl+C is how people end a show."""
    process = subprocess.Popen(
        [
            *(sys.executable, "-m", "readbell", "rehearse"),
            *(str(scenario), "--unattended", "--pace", "1"),
        ],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert process.stdout is not None
    process.stdout.readline()
    time.sleep(0.2)
    process.send_signal(signal.SIGINT)
    _, complaint = process.communicate(timeout=PATIENCE_SECONDS)

    assert process.returncode == 130
    assert complaint == b""

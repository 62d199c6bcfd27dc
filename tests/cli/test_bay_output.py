"""What a bay says, who may read it, and that nobody's reading it holds up an alarm."""

from __future__ import annotations

import contextlib
import json
import os
import subprocess
import sys
import time
from typing import TYPE_CHECKING

import clocks_ahead
from patience import PATIENCE_SECONDS
from readbell.core.cartridge.events import AlertKind, AlertRaised
from readbell.journal.errors import JournalError
from ui.terminal_for_tests import now

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Reading, Start

OPERATOR, PERSON = "op-Quillfeather", "P-Quillfeather"
TOO_MUCH = 3_000
"""Lines whose answers no pipe holds."""
HELD_UP_AT_MOST = 30_000
"""Milliseconds: a machine with many tests at once may be late, and is not what is tried."""


def alerts(events_in: Reading, journal: Path) -> list[AlertRaised]:
    """The alerts that stand in a journal; none while it is being made."""
    with contextlib.suppress(JournalError):
        return [each for each in events_in(journal) if isinstance(each, AlertRaised)]
    return []


def test_output_that_nobody_reads_holds_up_no_alarm(
    start_bay: Start, tmp_path: Path, quick_assay: str, events_in: Reading
) -> None:
    """A frozen screen must not delay a bell: the record shows that each fell in time."""
    journal = tmp_path / "bay.journal"
    bay = start_bay(journal, output=False)
    bay.say(
        {"do": "register-operator", "id": OPERATOR},
        {"do": "adopt-assay", "assay": quick_assay, "instructions": "v1", "by": OPERATOR},
        {
            "do": "receive-lot",
            "number": "L",
            "assay": "quick",
            "expires": "2099-01-01",
            "by": OPERATOR,
        },
        {"do": "register-person", "id": PERSON, "by": OPERATOR},
        *[b"nonsense"] * TOO_MUCH,
        {"do": "label", "by": OPERATOR, "cartridge": "C1", "person": PERSON, "lot": "L"},
        {"do": "step", "by": OPERATOR, "cartridge": "C1", "step": "apply"},
    )
    deadline = now() + PATIENCE_SECONDS
    while len(raised := alerts(events_in, journal)) < 3 and now() < deadline:
        time.sleep(0.05)

    assert [each.alert for each in raised] == [
        AlertKind.READ_NOW,
        AlertKind.CLOSING,
        AlertKind.LAPSED,
    ]
    # Nothing was read yet: a bell that waited for a reader would not have rung at all.
    assert all(0 <= each.at - each.due < HELD_UP_AT_MOST for each in raised)


def test_alarms_are_told_as_they_fall(start_bay: Start, tmp_path: Path, slow_assay: str) -> None:
    """Unasked, in order, each with its instant."""
    bay = start_bay(tmp_path / "bay.journal", ahead=0)
    bay.prepare(slow_assay)
    bay.must(do="step", by=OPERATOR, cartridge="C1", step="apply")

    told = []
    for minutes, count in ((10, 1), (15, 1), (20, 2)):
        clocks_ahead.put_ahead(tmp_path / "ahead", minutes * 60)
        told += [bay.line() for _ in range(count)]
    assert [each["news"] for each in told] == [
        "alert-raised",
        "alert-raised",
        "cartridge-lapsed",
        "alert-raised",
    ]
    assert [each["says"].split()[2] for each in told] == ["READ", "CLOSING.", "window", "LAPSED."]


def test_a_second_program_on_one_journal_is_refused_in_one_sentence(
    start_bay: Start, tmp_path: Path
) -> None:
    """Two writers would ring past each other."""
    journal = tmp_path / "bay.journal"
    first = start_bay(journal)
    first.line()
    second = start_bay(journal)

    assert second.wait() == 2
    (complaint,) = second.complaints
    assert complaint.startswith(f"{journal}: another readbell is writing to this journal: ")
    assert first.must(do="register-operator", id="op-1")


def test_a_journal_is_for_its_owner_alone(start_bay: Start, tmp_path: Path) -> None:
    """It holds who was tested, so nobody else on the computer may open any part of it."""
    folder = tmp_path / "new"
    bay = start_bay(folder / "bay.journal")
    bay.prepare()

    modes = {path.name: path.stat().st_mode & 0o077 for path in (folder, *folder.iterdir())}
    assert len(modes) >= 3
    assert set(modes.values()) == {0}


def test_nothing_a_bay_complains_of_names_anybody(start_bay: Start, tmp_path: Path) -> None:
    """What goes to the other channel ends in logs of the system."""
    bay = start_bay(tmp_path / "bay.journal")
    bay.prepare()
    bay.ask(do="label", by="op-404-Quillfeather", cartridge="C1", person=PERSON, lot="L-1")
    bay.say(b'{"do": "step", "by": "Quillfeather", "cartridge": "Quillfeather"}')
    bay.end_of_input()
    bay.wait()

    assert "Quillfeather" not in "".join(bay.complaints)
    assert bay.complaints == []


def test_lines_for_people_have_a_clock_time_of_the_site(tmp_path: Path) -> None:
    """The same as for a program, in words, with the site's own time in front."""
    done = subprocess.run(
        [
            sys.executable,
            "-m",
            "readbell",
            "bay",
            "--journal",
            str(tmp_path / "bay.journal"),
            "--name",
            "Harrow Quay",
            "--timezone",
            "Asia/Kathmandu",
        ],
        input=b'{"do": "register-operator", "id": "op-1"}\nnonsense\n',
        capture_output=True,
        check=False,
        timeout=PATIENCE_SECONDS,
    )

    lines = done.stdout.decode().splitlines()
    assert "Harrow Quay: a new journal, times in Asia/Kathmandu." in lines[0]
    assert lines[2].endswith("  ok  Operator op-1 registered.")
    assert lines[3] == "no  this line: this is not JSON: write one object a line"
    assert (done.returncode, done.stderr) == (0, b"")


def test_a_name_in_any_alphabet_can_be_said_on_any_terminal(tmp_path: Path) -> None:
    """An old terminal shows a stand-in, and the bay lives on."""
    done = subprocess.run(
        [sys.executable, "-m", "readbell", "bay", "--journal", str(tmp_path / "bay.journal")],
        input=json.dumps({"do": "register-operator", "id": "Zoë Łuk"}).encode() + b"\n",
        capture_output=True,
        check=False,
        timeout=PATIENCE_SECONDS,
        env={**os.environ, "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"},
    )

    assert b"registered" in done.stdout
    assert (done.returncode, done.stderr) == (0, b"")

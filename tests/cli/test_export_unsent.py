"""`export` of what is unsent: it leaves once, also while another program writes the record."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from contextlib import suppress
from typing import TYPE_CHECKING

import pypdf
import pytest

from cli.conftest import OPERATOR, PERSON, SURNAME
from cli.export_bench import (
    expecting,
    laid_down,
    read_when_called,
    unsent,
    with_a_result,
    with_short_assay,
)
from patience import PATIENCE_SECONDS
from readbell.cli.passphrase import FILE
from readbell.core.exports.events import ResultsExported
from readbell.journal.locked import KEYRING
from readbell.journal.receipts import read_receipt, receipts_beside
from readbell.settings.places import settings_file
from ui.terminal_for_tests import now

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command, Reading, Start


@pytest.fixture
def short_assay(tmp_path: Path) -> str:
    """The id of an assay that may be read soon, and for long enough on a busy computer."""
    return with_short_assay(tmp_path)


@pytest.fixture
def live(start_bay: Start, tmp_path: Path, short_assay: str) -> Path:
    """A live bay with one result that has yet to leave as FHIR, laid down again."""
    return laid_down(start_bay, tmp_path, short_assay)


def test_a_form_that_nobody_expects_is_counted_too(
    command: Command, live: Path, tmp_path: Path
) -> None:
    """What was sent once is not sent again unasked, whatever the site expects."""
    at = ("export", "hl7", "--journal", live, "--unsent", "--json", "--by", OPERATOR)
    counts = [
        json.loads(command(*at, "--out", tmp_path / name).out)["count"] for name in ("one", "two")
    ]
    assert counts == [1, 0]
    assert not (tmp_path / "two").exists()
    assert list(tmp_path.glob(".*unfinished")) == []


def test_what_left_is_sent_and_leaves_again_only_when_asked_for(
    command: Command, live: Path, tmp_path: Path, events_in: Reading
) -> None:
    """The same result, under the same numbers."""
    assert [each["cartridge"] for each in unsent(command, live)] == ["C1"]
    said = command("export", "unsent", "--journal", live)
    assert said.out == "C1  final, to leave as fhir\n"
    files = [tmp_path / f"{name}.json" for name in ("one", "two", "three")]
    at = ("export", "fhir", "--journal", live, "--by", OPERATOR)
    first = command(*at, "--unsent", "--out", files[0])
    assert (first.status, first.err) == (0, "")
    assert "quick: Test: its assay file has no LOINC code" in first.out
    assert unsent(command, live) == []
    assert "Everything has left" in command("export", "unsent", "--journal", live).out
    before = len(events_in(live))
    none = command(*at, "--unsent", "--out", files[1])
    assert none.out.startswith("Nothing is unsent")
    assert (none.status, files[1].exists(), len(events_in(live))) == (0, False, before)
    command(*at, "--out", files[2])
    found = [json.loads(files[each].read_text("utf-8"))["entry"] for each in (0, 2)]
    assert [len(each) for each in found] == [6, 6]
    assert found[0] == found[1]
    assert PERSON in files[0].read_text("utf-8")


def test_while_a_board_runs_it_enters_what_was_exported(
    command: Command, start_bay: Start, tmp_path: Path, short_assay: str, events_in: Reading
) -> None:
    """Somebody else writes the record then; what waits beside it names nobody."""
    expecting("fhir")
    path = tmp_path / "bay.journal"
    bay = start_bay(path, "--quiet")
    with_a_result(bay, short_assay)
    said = command("export", "fhir", "--journal", path, "--out", tmp_path / "out", "--by", OPERATOR)
    assert (said.status, said.err) == (0, "")
    assert "Not entered yet" in said.out
    deadline = now() + PATIENCE_SECONDS
    while (waiting := receipts_beside(path)) and now() < deadline:
        for each in waiting:
            with suppress(FileNotFoundError):  # it was entered just now
                assert SURNAME not in each.read_bytes().decode()
        time.sleep(0.05)
    assert receipts_beside(path) == []
    assert unsent(command, path) == []
    bay.end_of_input()
    assert bay.wait() == 0
    (event,) = (each for each in events_in(path) if isinstance(each, ResultsExported))
    assert event.by is not None
    assert event.where is not None
    assert event.where.value == str(tmp_path / "out")


def test_what_a_bay_could_not_enter_before_it_was_killed_is_entered_by_the_next(
    command: Command, start_bay: Start, tmp_path: Path, short_assay: str, events_in: Reading
) -> None:
    """Cartridges run and nobody hears of them: the bay is left alone, and the export waits."""
    expecting("fhir")
    path = tmp_path / "bay.journal"
    bay = start_bay(path, "--quiet")
    with_a_result(bay, short_assay)
    bay.must(do="register-person", id="P-2", by=OPERATOR)
    bay.must(do="label", by=OPERATOR, cartridge="C2", person="P-2", lot="L-1")
    bay.kill()
    said = command("export", "fhir", "--journal", path, "--out", tmp_path / "out", "--by", OPERATOR)
    assert "Not entered yet" in said.out
    (waiting,) = receipts_beside(path)
    left = json.loads(read_receipt(waiting) or "")["left"]
    again = start_bay(path, "--quiet")
    again.must(do="void", by=OPERATOR, cartridge="C2")
    again.end_of_input()
    assert again.wait() == 0
    assert receipts_beside(path) == []
    assert unsent(command, path) == []
    (event,) = (each for each in events_in(path) if isinstance(each, ResultsExported))
    assert event.at == left


def test_what_left_and_is_not_entered_yet_does_not_leave_again(
    command: Command, start_bay: Start, tmp_path: Path, short_assay: str
) -> None:
    """A receiver that is asked each minute would have it each minute until a board is opened."""
    expecting("fhir")
    path = tmp_path / "bay.journal"
    bay = start_bay(path, "--quiet")
    with_a_result(bay, short_assay)
    bay.must(do="register-person", id="P-2", by=OPERATOR)
    bay.must(do="label", by=OPERATOR, cartridge="C2", person="P-2", lot="L-1")
    bay.kill()
    asked = ("export", "fhir", "--journal", path, "--by", OPERATOR)
    assert "1 result" in command(*asked, "--out", tmp_path / "all").out
    assert unsent(command, path) == []
    again = command(*asked, "--unsent", "--out", tmp_path / "again")
    assert (again.status, again.out.startswith("Nothing is unsent")) == (0, True)
    assert not (tmp_path / "again").exists()
    # In another form it has not left.
    assert (
        "1 result"
        in command(
            "export",
            "hl7",
            "--unsent",
            "--journal",
            path,
            "--by",
            OPERATOR,
            "--out",
            tmp_path / "h",
        ).out
    )


def test_a_locked_record_is_exported_and_nothing_of_it_lies_beside_it_in_plain(
    command: Command,
    start_bay: Start,
    live: Path,
    tmp_path: Path,
    events_in: Reading,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Not even where the file went, whose name may name somebody."""
    secret = tmp_path / "passphrase"
    secret.write_text("many rivers run north\n", encoding="utf-8")
    secret.chmod(0o600)
    monkeypatch.setenv(FILE, str(secret))
    assert command("lock", "--journal", live, "--lost-is-lost").status == 0
    at = ("export", "fhir", "--journal", live, "--by", OPERATOR)
    out = tmp_path / SURNAME
    bay = start_bay(live, "--quiet")
    bay.must(do="note-person", by=OPERATOR, person=PERSON, name="Ada Brook")
    assert command(*at, "--out", out).status == 0
    for each in receipts_beside(live):
        assert SURNAME not in (read_receipt(each) or "")
    bay.end_of_input()
    assert bay.wait() == 0
    start_bay(live, "--quiet").end_of_input()
    assert command(*at, "--out", tmp_path / "again").status == 0
    events = [each for each in events_in(live) if isinstance(each, ResultsExported)]
    assert [each.where is None for each in events] == [True, False]
    assert unsent(command, live) == []
    KEYRING.drop(live)


def test_a_shift_that_is_closed_names_what_has_yet_to_leave(
    command: Command, start_bay: Start, tmp_path: Path, short_assay: str
) -> None:
    """Else it is found out by whoever waits for the report."""
    settings_file().parent.mkdir(parents=True, exist_ok=True)
    settings_file().write_text(
        '[policy]\nreports_expected = ["hl7"]\nshifts = "on"\n', encoding="utf-8"
    )
    bay = start_bay(tmp_path / "bay.journal", "--quiet")
    bay.must(do="register-operator", id=OPERATOR)
    bay.must(do="open-shift", by=OPERATOR)
    bay.must(do="adopt-assay", assay=short_assay, instructions="v1", by=OPERATOR)
    bay.must(do="receive-lot", number="L-1", assay=short_assay, expires="2099-12-31", by=OPERATOR)
    bay.must(do="register-person", id=PERSON, by=OPERATOR)
    bay.must(do="label", by=OPERATOR, cartridge="C1", person=PERSON, lot="L-1")
    bay.must(do="step", by=OPERATOR, cartridge="C1", step="apply")
    read_when_called(bay)
    said = bay.must(do="close-shift", by=OPERATOR)
    assert "not sent yet: C1" in said["says"]
    bay.end_of_input()
    assert bay.wait() == 0
    out = tmp_path / "sheet.pdf"
    made = command("export", "pdf", "--journal", tmp_path / "bay.journal", "--out", out)
    assert (made.status, made.err) == (0, "")
    assert "1 test, as pages" in made.out
    assert "day sheet of shift 1" in pypdf.PdfReader(out).pages[0].extract_text()


def test_an_export_that_is_killed_leaves_no_file_and_what_was_unsent_is_unsent(
    command: Command, live: Path, tmp_path: Path
) -> None:
    """Whole or absent; and the next one is whole."""
    out = tmp_path / "out.json"
    slowed = (
        "import os, signal, sys\n"
        "from readbell.exports import fhir\n"
        "def dies(*, empty):\n"
        "    os.kill(os.getpid(), signal.SIGKILL)\n"
        "fhir.footer = dies\n"
        "from readbell.cli.main import main\n"
        "sys.exit(main())\n"
    )
    arguments = ["export", "fhir", "--journal", str(live), "--out", str(out), "--by", OPERATOR]
    killed = subprocess.run(
        [sys.executable, "-c", slowed, *arguments], check=False, env=os.environ.copy()
    )
    assert killed.returncode == -signal.SIGKILL
    assert not out.exists()
    assert [each["cartridge"] for each in unsent(command, live)] == ["C1"]
    again = command("export", "fhir", "--journal", live, "--out", out, "--by", OPERATOR, "--unsent")
    assert (again.status, again.err) == (0, "")
    assert len(json.loads(out.read_text("utf-8"))["entry"]) == 6
    assert unsent(command, live) == []
    assert list(tmp_path.glob(".*unfinished")) == []

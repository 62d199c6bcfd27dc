"""`archive` and `erase`: a closed period goes into a file, and people are forgotten for ever."""

from __future__ import annotations

import io
import json
import os
import stat
import subprocess
import sys
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from cli.conftest import NASAL
from cli.past_bay import ADA, BEA, SECRETS, PastBay
from readbell.core.keeping.events import ArchiveWritten, RecordErased
from readbell.journal.locked import KEYRING
from readbell.journal.sqlite import SqliteJournal

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import BayProcess, Command, Reading, Start, Verified

DAY = "2026-03-29"
WHY = ("--reason", "the quarter is over")


@pytest.fixture
def journal(tmp_path: Path) -> Path:
    """A bay whose work lies back, with nothing running."""
    folder = tmp_path / "bay"
    folder.mkdir()
    return PastBay().put(folder / "bay.journal")


def on_disk(journal: Path) -> bytes:
    """Return every byte that lies in the journal's folder."""
    return b"".join(each.read_bytes() for each in sorted(journal.parent.iterdir()))


def erase(command: Command, journal: Path, *what: str, by: str = "op-1") -> object:
    """Erase without being asked back."""
    return command("erase", *what, "--by", by, *WHY, "--for-ever", "--journal", journal, "--json")


def test_one_person_is_forgotten_and_nobody_else(
    command: Command, journal: Path, events_in: Reading, board_in: Verified
) -> None:
    """Not a byte of them is left in the file; the results stay, and the chain is whole."""
    assert all(each.encode() in on_disk(journal) for each in SECRETS)

    done = command(
        *("erase", "--patient", ADA, "--by", "op-1", *WHY, "--for-ever", "--journal", journal)
    )

    assert (done.status, done.err) == (0, "")
    assert "op-1 erased 5 values of 1 person for ever. The chain stays whole." in done.out
    assert "Out of this program's reach" in done.out
    assert not any(each.encode() in on_disk(journal) for each in SECRETS)
    assert BEA.encode() in on_disk(journal)
    board = board_in(journal)
    assert ADA not in board.persons
    assert board.persons[BEA]
    read = board.labelled("C2")
    assert read is not None
    assert read.outcome == "negative"
    (event,) = (each for each in events_in(journal) if isinstance(each, RecordErased))
    assert (event.people, len(event.keys)) == (1, 5)
    verified = command("verify", "--journal", journal)
    assert verified.status == 0
    assert "5 values of 1 person erased by op-1" in verified.out
    found = json.loads(command("verify", "--journal", journal, "--json").out)
    assert (found["erased"], found["erased_by_no_act"]) == (5, 0)
    (act,) = found["erasures"]
    assert (act["values"], act["persons"], act["scope"], act["by"]) == (5, 1, "person", "op-1")


def test_a_closed_period_is_archived_and_then_erased(
    command: Command, journal: Path, tmp_path: Path, events_in: Reading
) -> None:
    """The file proves itself; the act in the record names it; the live journal forgets."""
    target = tmp_path / "q1.archive"
    at = ("--by", "op-1", *WHY, "--journal", journal)

    archived = command("archive", "--through", DAY, "--out", target, *at, "--json")
    erased = command("erase", "--through", DAY, *at, "--for-ever", "--json")

    said = json.loads(archived.out)
    assert (archived.status, erased.status) == (0, 0)
    assert stat.S_IMODE(target.stat().st_mode) == 0o600
    (noted,) = (each for each in events_in(journal) if isinstance(each, ArchiveWritten))
    assert (noted.events, noted.head, noted.digest) == (
        said["events"],
        said["head"],
        said["sha256"],
    )
    assert command("verify", "--journal", target).status == 0
    assert ADA.encode() in target.read_bytes()
    found = json.loads(erased.out)
    assert found["persons"] == 2
    assert found["file_is_clean"] is True
    assert found["archives"] == [str(target)]
    left = on_disk(journal)
    assert not any(each.encode() in left for each in (*SECRETS, BEA, "Bea Exemplar"))
    assert b"op-1" in left
    verified = command("verify", "--journal", journal, "--head", said["head"])
    assert verified.status == 0


def test_an_archive_cannot_be_gone_on_with(command: Command, journal: Path, tmp_path: Path) -> None:
    """It is only read."""
    target = tmp_path / "q1.archive"
    command(
        "archive", "--through", DAY, "--out", target, "--by", "op-1", *WHY, "--journal", journal
    )
    done = command("shift", "open", "--by", "op-1", "--journal", target)
    assert done.status == 2
    assert "this is an archive and takes no more events" in done.err


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("--through", "2020-01-01"), "Nothing is closed up to that day"),
        (("--through", "2999-01-01"), "2999-01-01 has not ended yet"),
        (("--through", "last week"), "--through: 'last week' is no day"),
        (("--patient", "P-9"), "Nobody with this ID is registered here"),
        (("--patient", ADA, "--reason", f"{ADA} asked"), "The reason names somebody"),
        (("--patient", ADA, "--reason", " "), "No reason was given"),
    ],
)
def test_what_cannot_be_erased_is_said_in_one_sentence(
    command: Command, journal: Path, arguments: tuple[str, ...], says: str
) -> None:
    """And nothing is changed but the near miss."""
    done = command("erase", "--by", "op-1", *WHY, *arguments, "--for-ever", "--journal", journal)
    assert done.status == 2
    assert says in done.err
    assert len(done.err.splitlines()) == 1
    assert ADA.encode() in on_disk(journal)


def test_it_asks_back_and_a_script_has_to_say_it(command: Command, journal: Path) -> None:
    """What cannot be undone is not done by a slip."""
    done = command("erase", "--patient", ADA, "--by", "op-1", *WHY, "--journal", journal)
    assert done.status == 2
    assert "say --for-ever, which means what it says" in done.err
    assert ADA.encode() in on_disk(journal)


def test_whoever_leaves_the_question_leaves_everything_as_it_was(
    command: Command, journal: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Ctrl+D is no yes."""

    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    monkeypatch.setattr(sys, "stdin", Terminal(""))
    done = command("erase", "--patient", ADA, "--by", "op-1", *WHY, "--journal", journal)

    assert done.status == 2
    assert "say --for-ever, which means what it says" in done.err
    assert ADA.encode() in on_disk(journal)


def test_only_a_supervisor_may(command: Command, tmp_path: Path, events_in: Reading) -> None:
    """Where there are roles; and that somebody tried is kept."""
    journal = PastBay(roles=True).put(tmp_path / "bay.journal")
    archive = tmp_path / "q1.archive"
    at = ("--by", "op-2", *WHY, "--journal", journal)

    erased = command("erase", "--patient", ADA, *at, "--for-ever")
    archived = command("archive", "--through", DAY, "--out", archive, *at)

    assert (erased.status, archived.status) == (2, 2)
    assert "Only a supervisor may do that here" in erased.err
    assert not archive.exists()
    tried = [getattr(each, "act", None) for each in events_in(journal)]
    assert tried.count("erase-records") == tried.count("write-archive") == 1


def begin(bay: BayProcess, person: str) -> None:
    """Begin C9 from a box of today: that of a bay of the past goes out of date."""
    box = {"number": "L-900", "assay": NASAL, "expires": "2099-12-31"}
    bay.must(do="receive-lot", by="op-1", **box)
    bay.must(do="label", by="op-1", cartridge="C9", person=person, lot="L-900")


def test_nothing_is_erased_while_something_runs_or_a_program_writes(
    command: Command, journal: Path, start_bay: Start
) -> None:
    """The board is the place then."""
    bay = start_bay(journal, "--quiet")
    bay.must(do="register-person", by="op-1", id="P-3")
    in_use = command(
        "erase", "--patient", ADA, "--by", "op-1", *WHY, "--for-ever", "--journal", journal
    )
    begin(bay, BEA)
    bay.end_of_input()
    bay.wait()
    runs = command(
        "erase", "--patient", ADA, "--by", "op-1", *WHY, "--for-ever", "--journal", journal
    )
    assert (in_use.status, runs.status) == (2, 2)
    assert "another readbell is writing to this journal" in in_use.err
    assert "1 running: open the board and finish it first" in runs.err


def test_a_locked_journal_archives_and_forgets_under_its_passphrase(
    tmp_path: Path, command: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The archive is under the same one."""
    journal, target = tmp_path / "bay.journal", tmp_path / "q1.archive"
    secret = tmp_path / "secret"
    secret.write_text("a passphrase for tests\n", encoding="utf-8")
    secret.chmod(0o600)
    monkeypatch.setenv("READBELL_PASSPHRASE_FILE", str(secret))
    KEYRING.keep(journal, "a passphrase for tests")
    try:
        PastBay().put(journal)
        at = ("--by", "op-1", *WHY, "--journal", journal)
        assert command("archive", "--through", DAY, "--out", target, *at).status == 0
        assert command("erase", "--patient", ADA, *at, "--for-ever").status == 0
        assert command("verify", "--journal", target).status == 0
        assert "5 values of 1 person" in command("verify", "--journal", journal).out
        with closing(SqliteJournal.open(journal, read_only=True)) as opened:
            assert not opened.holds_old_bytes
        assert ADA.encode() not in target.read_bytes()
    finally:
        KEYRING.drop(journal)
        KEYRING.drop(target)


def test_a_kill_in_the_middle_of_an_archive_leaves_none(journal: Path, tmp_path: Path) -> None:
    """Under its name it stands whole or not at all."""
    target = tmp_path / "q1.archive"
    script = (
        "import os, signal\n"
        "from readbell.journal import archiving\n"
        "from readbell.cli.main import main\n"
        "archiving.put_in_free_place = lambda *_: os.kill(os.getpid(), signal.SIGKILL)\n"
        f"main(['archive', '--through', '{DAY}', '--out', {str(target)!r}, '--by', 'op-1',"
        f" '--reason', 'r', '--journal', {str(journal)!r}])\n"
    )
    ended = subprocess.run(
        [sys.executable, "-c", script], check=False, capture_output=True, env=dict(os.environ)
    )
    assert ended.returncode < 0, ended.stderr.decode()
    assert not target.exists()


def test_who_came_again_stays_known_and_that_is_said(
    command: Command, tmp_path: Path, start_bay: Start
) -> None:
    """The next visit goes by the ID; the older words about them go."""
    journal = PastBay().put(tmp_path / "bay.journal")
    bay = start_bay(journal, "--quiet")
    begin(bay, ADA)
    bay.must(do="void", by="op-1", cartridge="C9", reason="dropped")
    bay.end_of_input()
    bay.wait()

    done = command(
        *("erase", "--through", DAY, "--by", "op-1", *WHY, "--for-ever", "--journal", journal)
    )

    assert done.status == 0
    assert "of 1 person for ever" in done.out
    assert "Still known: 1 person of the period; they came again" in done.out
    left = on_disk(journal)
    assert ADA.encode() in left
    assert b"Ada Example" in left
    assert b"she fainted" not in left
    assert BEA.encode() not in left


@pytest.mark.parametrize("form", ["csv", "jsonl", "fhir", "hl7"])
def test_what_is_exported_after_an_erasing_names_nobody(
    command: Command, journal: Path, tmp_path: Path, form: str
) -> None:
    """In every form, and the results are there still."""
    at = ("--by", "op-1", "--journal", journal)
    assert command("erase", "--through", DAY, *WHY, *at, "--for-ever").status == 0
    target = tmp_path / f"results.{form}"
    assert command("export", form, *at, "--out", target).status == 0
    left = target.read_bytes()
    assert b"L-100" in left or b"SARS-CoV-2" in left
    assert not any(each.encode() in left for each in (*SECRETS, BEA, "Bea Exemplar"))


def test_slips_lists_and_looks_after_an_erasing_name_nobody(
    command: Command, journal: Path
) -> None:
    """Nothing breaks where a name stood."""
    at = ("--journal", journal)
    assert command("erase", "--through", DAY, "--by", "op-1", *WHY, *at, "--for-ever").status == 0
    for said in (
        command("slip", "C2", *at),
        command("tell", "--list", *at),
        command("watch", "--once", *at),
        command("lot", "list", *at),
        command("paper", *at),
        command("operator", "list", *at),
    ):
        assert said.status == 0, said.err
        assert not any(each in said.out for each in (*SECRETS, BEA, "Exemplar"))

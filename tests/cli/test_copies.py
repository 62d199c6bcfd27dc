"""`backup` and `restore`: a checked copy out, a checked copy in, nothing ever overwritten."""

from __future__ import annotations

import io
import json
import sys
from typing import TYPE_CHECKING

import pytest

from readbell.cli.main import main

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command, Start, Verified


@pytest.fixture
def journal(command: Command, scenario: Path, tmp_path: Path) -> Path:
    """The journal of a short rehearsal."""
    path = tmp_path / "kept.journal"
    assert command("rehearse", scenario, "--unattended", "--json", "--journal", path).status == 0
    return path


def head_of(command: Command, path: Path) -> str:
    """The head that verifying prints; the journal must be whole."""
    done = command("verify", "--journal", path, "--json")
    assert done.status == 0
    found: str = json.loads(done.out)["head"]
    return found


def test_a_backup_brought_back_is_the_same_journal(
    command: Command, journal: Path, tmp_path: Path
) -> None:
    """Event for event, head for head."""
    head = head_of(command, journal)
    out = command("backup", "--journal", journal, "--to", tmp_path / "copy")
    journal.unlink()
    back = command("restore", "--from", tmp_path / "copy", "--journal", journal)

    assert (out.status, back.status, out.err + back.err) == (0, 0, "")
    assert out.out.endswith(f"head {head}\n")
    assert head_of(command, journal) == head


def test_a_backup_is_one_file(command: Command, journal: Path, tmp_path: Path) -> None:
    """Whoever carries it away carries all of it."""
    folder = tmp_path / "stick"
    folder.mkdir()
    command("backup", "--journal", journal, "--to", folder / "copy")

    assert [path.name for path in folder.iterdir()] == ["copy"]


@pytest.mark.parametrize("direction", ["backup", "restore"])
def test_nothing_that_stands_is_overwritten(
    command: Command, journal: Path, tmp_path: Path, direction: str
) -> None:
    """Yesterday's backup is not lost to a slip, nor today's journal to yesterday's backup."""
    target = tmp_path / "target"
    target.write_text("something dear")
    done = (
        command("backup", "--journal", journal, "--to", target)
        if direction == "backup"
        else command("restore", "--from", journal, "--journal", target)
    )

    assert (done.status, done.out) == (2, "")
    assert done.err == f"{target}: something stands there already: move it away first\n"
    assert target.read_text() == "something dear"


def test_a_broken_journal_is_not_backed_up_as_if_it_were_whole(
    command: Command, journal: Path, tmp_path: Path
) -> None:
    """A copy of a fault would push the last good copy out of the drawer."""
    content = bytearray(journal.read_bytes())
    content[len(content) // 2 : len(content) // 2 + 4096] = bytes(4096)
    journal.write_bytes(content)
    done = command("backup", "--journal", journal, "--to", tmp_path / "copy")

    assert done.status in (1, 2)
    assert len(done.err.splitlines()) == 1
    assert not (tmp_path / "copy").exists()


def test_a_missing_source_is_told_by_its_name(command: Command, tmp_path: Path) -> None:
    """And nothing is made."""
    done = command("restore", "--from", tmp_path / "none", "--journal", tmp_path / "new")

    assert (done.status, done.err) == (
        2,
        f"{tmp_path / 'none'}: there is no journal: check the name\n",
    )
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("target", ["nowhere/copy", "plain/copy"])
def test_a_place_that_cannot_be_written_is_told_in_one_sentence(
    command: Command, journal: Path, tmp_path: Path, target: str
) -> None:
    """The stick was not put in: that is no crash."""
    (tmp_path / "plain").write_text("no folder")
    done = command("backup", "--journal", journal, "--to", tmp_path / target)

    assert (done.status, done.out) == (2, "")
    assert len(done.err.splitlines()) == 1
    assert "choose a place" in done.err


def test_a_folder_for_the_restored_journal_is_made(
    command: Command, journal: Path, tmp_path: Path
) -> None:
    """On a new computer there is none yet."""
    target = tmp_path / "new" / "place" / "bay.journal"

    assert command("restore", "--from", journal, "--journal", target).status == 0
    assert head_of(command, target) == head_of(command, journal)


def test_a_copy_is_for_its_owner_alone(command: Command, journal: Path, tmp_path: Path) -> None:
    """It names the same people as the original."""
    command("backup", "--journal", journal, "--to", tmp_path / "copy")

    assert (tmp_path / "copy").stat().st_mode & 0o077 == 0


def test_a_bay_is_backed_up_while_it_runs(
    command: Command, start_bay: Start, tmp_path: Path, board_in: Verified
) -> None:
    """Nobody closes the bench for a backup; the bay does not notice."""
    path = tmp_path / "bay.journal"
    bay = start_bay(path)
    bay.prepare()
    done = command("backup", "--journal", path, "--to", tmp_path / "copy")
    bay.must(do="step", by="op-Quillfeather", cartridge="C1", step="buffer")

    assert (done.status, done.err) == (0, "")
    assert board_in(tmp_path / "copy").labelled("C1") is not None
    assert bay.complaints == []


def test_a_copy_into_a_folder_that_is_not_there_says_so(
    command: Command, scenario: Path, tmp_path: Path
) -> None:
    """Nothing was moved or deleted; and nobody waits for a check before hearing it."""
    kept = tmp_path / "kept.journal"
    assert command("rehearse", scenario, "--unattended", "--journal", kept).status == 0
    done = command("backup", "--journal", kept, "--to", tmp_path / "none" / "copy")

    assert (done.status, done.out) == (2, "")
    assert done.err == (
        f"{tmp_path / 'none'}: there is no such folder: choose a place with room where you may write\n"
    )


def bay_by_badges(journal: Path, monkeypatch: pytest.MonkeyPatch, settings: Path) -> None:
    """Leave the journal of a bay whose settings ask for a badge and for shifts."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(settings))
    (settings / "readbell").mkdir(parents=True)
    decided = '[policy]\nsign_in = "badge"\nshifts = "on"\nreports_expected = ["fhir"]\n'
    (settings / "readbell" / "settings.toml").write_text(decided, encoding="utf-8")
    given = io.TextIOWrapper(io.BytesIO(b""), "utf-8")
    monkeypatch.setattr(sys, "stdin", given)
    assert main(["bay", "--journal", str(journal), "--quiet"]) == 0


def test_a_record_that_is_brought_back_says_which_decisions_this_computer_lacks(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """On a new computer the first start would end the sign-in and the shifts without a word."""
    journal = tmp_path / "bay.journal"
    bay_by_badges(journal, monkeypatch, tmp_path / "old")
    assert main(["backup", "--journal", str(journal), "--to", str(tmp_path / "copy")]) == 0
    restore = ["restore", "--from", str(tmp_path / "copy"), "--journal"]
    capsys.readouterr()
    assert main([*restore, str(tmp_path / "same")]) == 0
    assert "decisions" not in capsys.readouterr().out

    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "new"))
    assert main([*restore, str(tmp_path / "back")]) == 0
    said = capsys.readouterr().out.splitlines()[-1]
    assert said.startswith(f"{tmp_path / 'new' / 'readbell' / 'settings.toml'}: the record went by")
    assert 'sign_in = "badge", shifts = "on", reports_expected (a list)' in said

    (tmp_path / "new" / "readbell").mkdir(parents=True)
    (tmp_path / "new" / "readbell" / "settings.toml").write_text("no = such", encoding="utf-8")
    assert main([*restore, str(tmp_path / "once more")]) == 0
    assert "decisions" not in capsys.readouterr().out

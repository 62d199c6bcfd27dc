"""`verify`: whole is 0, broken is 1 with the place, and a noted head tells of a cut end."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import apsw
import pytest

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command


@pytest.fixture
def journal(command: Command, scenario: Path, tmp_path: Path) -> Path:
    """The journal of a short rehearsal."""
    path = tmp_path / "kept.journal"
    assert command("rehearse", scenario, "--unattended", "--json", "--journal", path).status == 0
    return path


def tamper(path: Path, *statements: str) -> None:
    """Change a journal behind the program's back, as somebody with the file could."""
    connection = apsw.Connection(str(path))
    for name in ("event_stays", "event_is_kept", "private_stays"):
        connection.execute(f"DROP TRIGGER {name}")
    for statement in statements:
        connection.execute(statement)
    connection.close()


def head_of(command: Command, path: Path) -> str:
    """The head that verifying prints."""
    found: str = json.loads(command("verify", "--journal", path, "--json").out)["head"]
    return found


def test_a_whole_journal_is_called_whole(command: Command, journal: Path) -> None:
    """With how much there is, of what kind, and the head to note down."""
    done = command("verify", "--journal", journal)

    assert (done.status, done.err) == (0, "")
    assert done.out.startswith(f"{journal}: whole. ")
    assert " events, rehearsal, head " in done.out


def test_json_says_the_same(command: Command, journal: Path) -> None:
    """For scripts that watch over journals."""
    found = json.loads(command("verify", "--journal", journal, "--json").out)

    assert list(found) == [
        *("journal", "whole", "fault", "event", "events", "head", "beside"),
        *("erased", "erased_by_no_act", "erasures"),
    ]
    assert (found["whole"], found["fault"], found["event"]) == (True, None, None)


@pytest.mark.parametrize(
    ("statement", "seq"),
    [
        pytest.param(
            "UPDATE event SET body = replace(body, 'L-100', 'L-999') WHERE body LIKE '%L-100%'",
            5,
            id="an event changed",
        ),
        pytest.param("DELETE FROM event WHERE seq = 4", 4, id="an event taken out"),
        pytest.param(
            "UPDATE private SET value = 'P-999' WHERE value = 'P-001'",
            4,
            id="an identifier exchanged",
        ),
        pytest.param("UPDATE event SET hash = zeroblob(32) WHERE seq = 7", 7, id="a hash changed"),
    ],
)
def test_a_broken_journal_is_called_broken_with_the_place(
    command: Command, journal: Path, statement: str, seq: int
) -> None:
    """Which event, so that a supervisor can look."""
    tamper(journal, statement)
    done = command("verify", "--journal", journal, "--json")
    found = json.loads(done.out)

    assert done.status == 1
    assert found["whole"] is False
    assert abs(found["event"] - seq) <= 1
    assert f"event {found['event']}: " in found["fault"]


def test_a_broken_journal_is_told_on_the_other_channel(command: Command, journal: Path) -> None:
    """One sentence, and nothing that looks like a clean bill."""
    tamper(journal, "DELETE FROM event WHERE seq = 4")
    done = command("verify", "--journal", journal)

    assert (done.status, done.out) == (1, "")
    assert done.err == f"{journal}: broken: event 4: it is missing: restore a backup\n"


def test_an_erased_identifier_breaks_nothing(command: Command, journal: Path) -> None:
    """Whoever asks to be forgotten can be, and the chain stays whole."""
    tamper(journal, "UPDATE private SET value = NULL, salt = '' WHERE value = 'P-001'")

    assert command("verify", "--journal", journal).status == 0


def test_a_cut_end_is_found_by_a_head_noted_earlier(command: Command, journal: Path) -> None:
    """A chain alone cannot tell that its last events are gone."""
    head = head_of(command, journal)
    tamper(journal, "DELETE FROM event WHERE seq = (SELECT max(seq) FROM event)")
    alone = command("verify", "--journal", journal)
    noted = command("verify", "--journal", journal, "--head", head)

    assert alone.status == 0
    assert noted.status == 1
    assert f"head {head} is not part of it" in noted.err


def test_a_head_that_is_still_there_is_accepted(command: Command, journal: Path) -> None:
    """Also when the journal has gone on since."""
    assert command("verify", "--journal", journal, "--head", head_of(command, journal)).status == 0


def test_a_head_may_be_typed_in_capitals(command: Command, journal: Path) -> None:
    """It was copied from paper."""
    head = head_of(command, journal).upper()

    assert command("verify", "--journal", journal, "--head", head).status == 0


@pytest.mark.parametrize("head", ["abc", "", "g" * 64, "0" * 63])
def test_a_head_that_is_none_is_a_slip_and_no_broken_record(
    command: Command, journal: Path, head: str
) -> None:
    """Half a line was copied: nobody is to hear that events were taken off."""
    done = command("verify", "--journal", journal, "--head", head)

    assert (done.status, done.out) == (2, "")
    assert done.err.startswith(f"--head {head!r}: a head is 64 digits")


def test_a_journal_may_be_named_alone(command: Command, journal: Path, tmp_path: Path) -> None:
    """As a file is that was sent by somebody; but of two none goes unchecked."""
    assert command("verify", journal).out == command("verify", "--journal", journal).out
    assert command("verify", tmp_path / "none").err.startswith(f"{tmp_path / 'none'}: there is no")
    for both in ((journal, "--journal", journal), ("--journal", journal, journal)):
        done = command("verify", *both)
        assert (done.status, done.out) == (2, "")
        assert "two journals are named" in done.err


def test_a_file_that_is_no_journal_is_named_once(command: Command, tmp_path: Path) -> None:
    """One sentence says what, where and what to do."""
    path = tmp_path / "list.txt"
    path.write_text("apples, pears and everything else that is wanted for Sunday", "utf-8")
    done = command("verify", path)

    assert done.status == 1
    assert done.err.count(str(path)) == 1


def test_a_file_damaged_in_the_middle_is_broken(command: Command, journal: Path) -> None:
    """A bad sector is told like a bad hand: 1, one sentence, and what to do."""
    content = bytearray(journal.read_bytes())
    middle = len(content) // 2
    content[middle : middle + 4096] = bytes(4096)
    journal.write_bytes(content)
    done = command("verify", "--journal", journal)

    assert (done.status, done.out) == (1, "")
    assert len(done.err.splitlines()) == 1
    assert "restore a backup" in done.err


def test_a_missing_journal_is_a_wrong_name_and_not_a_broken_journal(
    command: Command, tmp_path: Path
) -> None:
    """And none is made by asking."""
    path = tmp_path / "nowhere.journal"
    done = command("verify", "--journal", path)

    assert (done.status, done.err) == (2, f"{path}: there is no journal: check the name\n")
    assert not path.exists()


def test_verifying_changes_nothing(command: Command, journal: Path) -> None:
    """A check may be run on a copy of evidence."""
    before = journal.read_bytes()
    command("verify", "--journal", journal)

    assert journal.read_bytes() == before


def test_verifying_names_nobody(command: Command, journal: Path) -> None:
    """Its output ends in logs."""
    tamper(journal, "UPDATE private SET value = 'P-999' WHERE value = 'P-001'")
    done = command("verify", "--journal", journal)

    assert "P-001" not in done.out + done.err
    assert "P-999" not in done.out + done.err

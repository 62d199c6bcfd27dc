"""Beside a locked journal acts go into a file under the same passphrase: nothing lost, nobody named."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from typing import TYPE_CHECKING

import apsw
import pytest
import pytest_asyncio

from journal.failing import Disk, names_in
from journal.samples import arrivals
from readbell.journal import locked_lines
from readbell.journal.continuation import (
    Continuation,
    Continued,
    continuations_of,
    lying_beside,
    read_continuation,
)
from readbell.journal.errors import JournalError, NotWrittenError
from readbell.journal.locked import KEYRING, WrongKeyError, is_locked
from readbell.journal.locked_lines import LockedLines
from readbell.journal.record import Head
from readbell.journal.sqlite import SqliteJournal

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Iterator
    from pathlib import Path

PASSPHRASE = "nine lanterns over water"  # noqa: S105  # it opens what a test has made
NAME = "P-Quillfeather"
BASE = Head(seq=0, hash=bytes(32))


@pytest.fixture(autouse=True)
def no_keys() -> Iterator[None]:
    """What one test gave opens nothing for the next."""
    yield
    KEYRING._kept.clear()


@pytest_asyncio.fixture
async def disk(tmp_path: Path) -> AsyncIterator[Disk]:
    """A disk with a locked journal on it."""
    found = Disk(tmp_path / "disk", tmp_path / "spare")
    KEYRING.keep(found.path, PASSPHRASE)
    await found.start()
    assert is_locked(found.path)
    yield found
    await found.stop()


def begun(tmp_path: Path, name: str = "t") -> Continuation:
    """A continuation file of a journal that is under the passphrase."""
    journal = tmp_path / "bay.journal"
    KEYRING.keep(journal, PASSPHRASE)
    return Continuation.begin(journal, (), BASE, name)


def in_plain(folder: Path) -> list[str]:
    """The files in which the name can be read, in whatever folder below."""
    files = [each for each in folder.rglob("*") if each.is_file()]
    return [each.name for each in files if NAME.encode() in each.read_bytes()]


def test_what_goes_in_comes_out_and_stands_there_in_no_letter(tmp_path: Path) -> None:
    """Not its records, not the name of the journal; and it is its owner's alone."""
    file = begun(tmp_path)
    records = arrivals(NAME, "P-2")
    file.append(records[:1])
    file.append(records[1:])

    assert read_continuation(file.path, PASSPHRASE) == Continued(base=BASE, records=tuple(records))
    assert is_locked(file.path)
    assert in_plain(tmp_path) == []
    assert b"bay.journal" not in file.path.read_bytes()
    assert file.path.stat().st_mode & 0o777 == 0o600
    file.close()
    assert in_plain(tmp_path) == []


def test_without_the_passphrase_it_is_kept_and_somebody_is_told(tmp_path: Path) -> None:
    """None, or another one: it is the only copy of what was done."""
    file = begun(tmp_path)
    file.append(arrivals(NAME))
    file.close()
    with pytest.raises(JournalError, match="give the passphrase of its journal"):
        read_continuation(file.path)
    with pytest.raises(JournalError, match="keep it and tell a supervisor"):
        read_continuation(file.path, "another one altogether")
    assert names_in(read_continuation(file.path, PASSPHRASE).records) == [NAME]


def test_a_file_that_cannot_be_opened_for_more_says_so(tmp_path: Path) -> None:
    """It was there a moment ago."""
    file = begun(tmp_path)
    file.remove()
    assert not file.path.exists()
    with pytest.raises(JournalError, match="cannot be written"):
        Continuation.resume(file.path, Continued(base=BASE, records=()), PASSPHRASE)


def test_where_the_store_does_not_encrypt_nothing_is_begun(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In plain it would be what the journal was locked for: the act is refused instead."""

    def no_cipher(*_: object) -> None:
        msg = "this SQLite does not encrypt"
        raise WrongKeyError(msg)

    monkeypatch.setattr(locked_lines, "set_key", no_cipher)
    with pytest.raises(NotWrittenError, match="does not encrypt"):
        begun(tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_a_place_that_is_full_is_passed_over(tmp_path: Path) -> None:
    """And what was begun there is taken away again."""
    journal, spare = tmp_path / "disk" / "bay.journal", tmp_path / "spare"
    KEYRING.keep(journal, PASSPHRASE)
    file = Continuation.begin(journal, (spare,), BASE, "t")  # its own folder is not there
    assert file.path.parent == spare
    taken = Continuation.begin(journal, (spare,), BASE, "u")
    assert taken.path.name.endswith("-u")
    with pytest.raises(NotWrittenError, match="no place is left"):
        Continuation.begin(journal, (spare,), BASE, "u")
    assert read_continuation(taken.path, PASSPHRASE).base == BASE


def test_a_line_for_which_there_is_no_room_is_not_there_at_all(tmp_path: Path) -> None:
    """Whole or not, and what was there before stays."""
    file = begun(tmp_path)
    first = arrivals("P-1")
    file.append(first)
    assert isinstance(file._lines, LockedLines)
    file._lines._connection.pragma("max_page_count", 1)
    with pytest.raises(NotWrittenError):
        file.append(arrivals("P-2", after=first[-1].head, padding=20_000))

    assert read_continuation(file.path, PASSPHRASE).records == tuple(first)
    file._lines._connection.pragma("max_page_count", 100_000)
    file.append(arrivals("P-3", after=first[-1].head))
    assert names_in(read_continuation(file.path, PASSPHRASE).records) == ["P-1", "P-3"]


def test_what_the_store_leaves_beside_it_is_no_file_of_its_own(tmp_path: Path) -> None:
    """A rollback journal of a killed program belongs to the file, and goes with it."""
    file = begun(tmp_path)
    hot = file.path.with_name(f"{file.path.name}-journal")
    hot.touch()
    assert continuations_of(tmp_path / "bay.journal", ()) == [file.path.resolve()]
    file.remove()
    assert not hot.exists()


CRASH = """
import sys
from pathlib import Path
from journal.samples import arrivals
from readbell.journal.continuation import Continuation
from readbell.journal.locked import KEYRING
from readbell.journal.record import Head
journal = Path(sys.argv[1])
KEYRING.keep(journal, sys.argv[2])
file = Continuation.begin(journal, (), Head(), "t")
end = Head()
while True:
    records = arrivals(f"P-{end.seq}", after=end, padding=9_000)
    file.append(records)
    end = records[-1].head
    print(end.seq, flush=True)
"""


@pytest.mark.parametrize("lines", [1, 5, 9])
def test_killed_amid_writing_it_has_all_that_was_answered(tmp_path: Path, lines: int) -> None:
    """A real process, killed by force; the last act may be there or not, and never half."""
    journal = tmp_path / "bay.journal"
    process = subprocess.Popen(
        [sys.executable, "-c", CRASH, str(journal), PASSPHRASE],
        stdout=subprocess.PIPE,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(path for path in sys.path if path)},
    )
    assert process.stdout is not None
    for _ in range(lines):
        process.stdout.readline()
    process.send_signal(signal.SIGKILL)
    process.wait()
    process.stdout.close()

    KEYRING.keep(journal, PASSPHRASE)
    (file,) = continuations_of(journal, ())
    found = read_continuation(file, PASSPHRASE).records
    assert len(found) >= lines
    assert [each.seq for each in found] == list(range(1, len(found) + 1))


async def test_what_a_full_disk_spilled_comes_home_when_there_is_room(disk: Disk) -> None:
    """As with any other journal: saved, said, joined; and no name was anywhere in plain."""
    await disk.arrive("P-1")
    disk.fill_up()
    await disk.arrive(NAME)
    not_saved = disk.keeper.not_saved
    assert not_saved is not None
    assert not_saved.continuation is not None
    assert is_locked(not_saved.continuation)
    assert in_plain(disk.path.parent.parent) == []

    disk.make_room()
    await disk.keeper.check()
    assert disk.keeper.not_saved is None
    assert disk.at_home() == ["P-1", NAME]
    assert disk.files() == []
    assert in_plain(disk.path.parent.parent) == []


async def test_what_was_spilled_is_joined_at_the_next_start(disk: Disk) -> None:
    """Whoever starts it again has given the passphrase already."""
    disk.fill_up()
    await disk.arrive(NAME)
    await disk.arrive("P-2")
    end = disk.keeper.head

    assert await disk.restart() == []
    assert disk.at_home() == [NAME, "P-2"]
    assert disk.keeper.head == end


async def test_on_a_disk_that_is_still_full_the_next_run_goes_on_in_the_same_file(
    disk: Disk,
) -> None:
    """Nothing is ever in two places at once."""
    disk.fill_up()
    await disk.arrive("P-1")
    assert await disk.restart(full=True) == []
    await disk.arrive("P-2")
    (file,) = disk.files()
    assert names_in(read_continuation(file, PASSPHRASE).records) == ["P-1", "P-2"]
    disk.make_room()
    await disk.keeper.check()
    assert disk.at_home() == ["P-1", "P-2"]


async def test_a_moved_journal_is_gone_on_beside_under_the_passphrase(disk: Disk) -> None:
    """Wherever it was moved to: its name in the keyring is the one it was opened by."""
    await disk.arrive("P-1")
    disk.move_away()
    await disk.arrive(NAME)
    (file,) = disk.files()
    assert is_locked(file)
    assert in_plain(disk.path.parent.parent) == []
    disk.move_back()
    assert await disk.restart() == []
    assert disk.at_home() == ["P-1", NAME]


async def test_a_file_of_another_passphrase_is_a_branch(disk: Disk) -> None:
    """It is told at each start until a person has settled it."""
    KEYRING.keep(disk.path, "another one altogether")
    Continuation.begin(disk.path, disk.places, Head(), "t").append(arrivals("P-9"))
    KEYRING.keep(disk.path, PASSPHRASE)
    (branch,) = await disk.restart()
    assert "passphrase" in branch.why
    journal = SqliteJournal.open(disk.path, read_only=True)
    assert lying_beside(journal, disk.path, disk.places) == [branch.path]
    journal.close()


def test_a_foreign_database_is_no_continuation(tmp_path: Path) -> None:
    """Whatever it is, it is kept."""
    file = begun(tmp_path)
    file.close()
    connection = apsw.Connection(str(file.path))
    connection.pragma("cipher", "chacha20")
    connection.pragma("key", PASSPHRASE)
    connection.execute("DROP TABLE line")
    connection.close()
    with pytest.raises(JournalError, match="keep it and tell a supervisor"):
        read_continuation(file.path, PASSPHRASE)


def test_a_file_that_the_passphrase_does_not_open_is_not_gone_on_with(tmp_path: Path) -> None:
    """It is said, as of any other file that cannot be written."""
    file = begun(tmp_path)
    file.close()
    with pytest.raises(JournalError, match="keep it and tell a supervisor"):
        Continuation.resume(
            file.path, Continued(base=BASE, records=()), "another, of the same length"
        )

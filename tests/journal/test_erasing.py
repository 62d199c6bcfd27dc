"""What is erased is gone from the file, with the event that says so or not at all."""

from __future__ import annotations

import hashlib
import signal
import subprocess
import sys
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

import apsw
import pytest

from builders import START, private
from journal.samples import chain
from readbell.core.keeping.events import ErasedScope, RecordErased
from readbell.core.people.events import PersonRegistered
from readbell.core.private import Private
from readbell.core.stock.events import LotHeld
from readbell.journal.continuation import Continuation, read_continuation
from readbell.journal.erasing import erased_by
from readbell.journal.errors import BrokenChainError
from readbell.journal.in_place import log_of
from readbell.journal.locked import KEYRING
from readbell.journal.record import Head
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import verify

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.journal.record import Record

NAMES = ("Ada-Who-Is-To-Go", "Bea-Who-Stays")
LONG = "Somebody-With-A-Long-Story-" * 400
"""More than a page: SQLite lays it out over several."""


def key_of(name: str) -> str:
    """Return a key from which nobody could read the name."""
    return f"key-{hashlib.sha256(name.encode()).hexdigest()[:12]}"


def people(*names: str, after: Head | None = None) -> list[Record]:
    """Return the stored arrivals of `names`."""
    known = (
        Private(key=key_of(each), salt=f"salt-of-{key_of(each)}", value=each) for each in names
    )
    return chain([PersonRegistered(at=START, by=None, person=each) for each in known], after)


def erasing(*names: str) -> RecordErased:
    """Return the event that erases these persons."""
    return RecordErased(
        at=START,
        by="key-op-1",
        scope=ErasedScope.PERSON,
        through=None,
        people=len(names),
        kept=0,
        keys=tuple(map(key_of, names)),
        words=private("asked"),
    )


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Return where a journal with people in it stands."""
    found = tmp_path / "bay.journal"
    with closing(SqliteJournal.open(found)) as journal:
        journal.append(people(*NAMES, LONG), Head())
    return found


@pytest.fixture
def passphrase(tmp_path: Path) -> Iterator[Path]:
    """Return where a journal will be under a passphrase."""
    found = tmp_path / "locked.journal"
    KEYRING.keep(found, "a passphrase for tests")
    yield found
    KEYRING.drop(found)


def append(journal: SqliteJournal, event: RecordErased) -> None:
    """Store `event` at the end."""
    end = journal.head()
    journal.append(chain([event], end), end)


def bytes_beside(path: Path) -> bytes:
    """Return all that the journal has on the disk: its file, its log and what goes with it."""
    return b"".join(each.read_bytes() for each in sorted(path.parent.glob(f"{path.name}*")))


def test_with_the_event_the_values_go_and_the_chain_stays(path: Path) -> None:
    """The digest stays, and without its salt it helps nobody to guess."""
    with closing(SqliteJournal.open(path)) as journal:
        append(journal, erasing(NAMES[0], LONG))

        found = verify(journal)
        gone = journal.private(key_of(NAMES[0]))

    assert (found.erased, found.unexplained) == (2, 0)
    assert [number for number, _ in found.erasures] == [4]
    assert found.board.name(key_of(NAMES[0])) is None
    assert found.board.name(key_of(NAMES[1])) == NAMES[1]
    assert gone is not None
    assert (gone.salt, gone.value) == ("", None)


def test_nothing_of_it_is_left_in_the_file_nor_in_its_log(path: Path) -> None:
    """Also while the journal is still open, once the file was written anew."""
    assert NAMES[0].encode() in bytes_beside(path)
    with closing(SqliteJournal.open(path)) as journal:
        append(journal, erasing(NAMES[0], LONG))
        assert journal.holds_old_bytes
    with closing(SqliteJournal.open(path)) as journal:
        assert not journal.holds_old_bytes
        assert NAMES[0].encode() not in bytes_beside(path)
    left = bytes_beside(path)
    assert NAMES[0].encode() not in left
    assert LONG[:200].encode() not in left
    assert NAMES[1].encode() in left


def test_a_snapshot_goes_with_it_and_leaves_no_bytes(path: Path) -> None:
    """It holds every name, and is no part of the truth."""
    with closing(SqliteJournal.open(path)) as journal:
        body = f"all of {NAMES[0]}".encode() * 900
        journal.keep_snapshot({0: body}, frozenset(), journal.erasures())
        append(journal, erasing(NAMES[0]))
        assert journal.snapshot() == {}
    SqliteJournal.open(path).close()
    assert NAMES[0].encode() not in bytes_beside(path)


def test_while_somebody_reads_from_before_the_rest_waits_and_is_done_later(path: Path) -> None:
    """The values are gone at once; the old bytes as soon as nobody needs them."""
    with closing(SqliteJournal.open(path)) as journal:
        with closing(apsw.Connection(str(path))) as reader:
            walk = reader.execute("SELECT key, value FROM private ORDER BY key")
            next(walk)
            append(journal, erasing(NAMES[0]))
            journal.close()
            with closing(SqliteJournal.open(path)) as again:
                assert again.holds_old_bytes
                assert verify(again).erased == 1
            walk.close()
        with closing(SqliteJournal.open(path)) as later:
            assert not later.holds_old_bytes
    assert NAMES[0].encode() not in bytes_beside(path)


def test_a_locked_journal_forgets_as_well(passphrase: Path) -> None:
    """Written anew it is under its passphrase still."""
    with closing(SqliteJournal.open(passphrase)) as journal:
        journal.append(people(*NAMES), Head())
        append(journal, erasing(NAMES[0]))
    with closing(SqliteJournal.open(passphrase)) as journal:
        assert not journal.holds_old_bytes
        assert verify(journal).erased == 1
    assert not passphrase.read_bytes().startswith(b"SQLite format 3")
    assert NAMES[1].encode() not in bytes_beside(passphrase)


def test_an_event_that_was_spilled_erases_when_it_is_joined(path: Path) -> None:
    """Whichever way it comes into the file, it is never there without what it says."""
    with closing(SqliteJournal.open(path, read_only=True)) as journal:
        end = journal.head()
    spilled = Continuation.begin(path, (), end, "token")
    spilled.append(chain([erasing(NAMES[0])], end))

    with closing(SqliteJournal.open(path)) as journal:
        journal.append(read_continuation(spilled.path).records, end)
        assert verify(journal).erased == 1


def test_something_erased_that_is_there_again_breaks_the_record(path: Path) -> None:
    """A name that was put back would pass for one that was never erased."""
    with closing(SqliteJournal.open(path)) as journal:
        append(journal, erasing(NAMES[0]))
    with closing(apsw.Connection(str(path))) as other:
        other.execute("DROP TRIGGER private_stays")
        other.execute(
            "UPDATE private SET value = ?, salt = ? WHERE key = ?",
            (NAMES[0], f"salt-of-{key_of(NAMES[0])}", key_of(NAMES[0])),
        )
    with (
        closing(SqliteJournal.open(path, read_only=True)) as journal,
        pytest.raises(BrokenChainError, match="event 4: something that it erased is there again"),
    ):
        verify(journal)


def test_what_goes_without_an_event_is_counted_apart(path: Path) -> None:
    """The chain is whole, and yet somebody was at the file."""
    with closing(apsw.Connection(str(path))) as other:
        other.execute("UPDATE private SET value = NULL WHERE key = ?", (key_of(NAMES[0]),))
    with closing(SqliteJournal.open(path, read_only=True)) as journal:
        found = verify(journal)
    assert (found.erased, found.unexplained, found.erasures) == (1, 1, ())


def test_no_text_of_an_event_passes_for_an_erasing() -> None:
    """A lot may be called whatever stands on its box."""
    odd = LotHeld(at=START, by=None, number='"kind":"record-erased","keys":["key-P-1"]')
    (spoken,) = chain([odd])
    assert erased_by(spoken) == ()
    (erases,) = chain([erasing("P-1")])
    assert erased_by(erases) == (key_of("P-1"),)


KILLED = """
import os, signal, sys
from pathlib import Path
import apsw
from readbell.journal import erasing, sqlite
from readbell.journal.sqlite import SqliteJournal
sys.path.insert(0, sys.argv[3])
from journal.test_erasing import NAMES, append
from journal.test_erasing import erasing as erased

def die(*_):
    os.kill(os.getpid(), signal.SIGKILL)

where, path = sys.argv[1], Path(sys.argv[2])
journal = SqliteJournal.open(path)
if where == "before":
    journal._connection.set_commit_hook(die)
    append(journal, erased(NAMES[0]))
append(journal, erased(NAMES[0]))
if where == "after":
    die()
done = 0
def count():
    global done
    done += 1
    if done == int(where):
        die()
    return False
journal._connection.set_progress_handler(count, 20)
erasing.overwrite_old_bytes(journal._connection)
die()
"""


@pytest.mark.parametrize("where", ["before", "after", "1", "5", "9", "100000"])
def test_a_power_cut_leaves_it_done_or_undone_and_the_next_start_finishes_it(
    path: Path, where: str
) -> None:
    """In the middle of the transaction, right after it, and while the file is written anew."""
    ended = subprocess.run(
        [sys.executable, "-c", KILLED, where, str(path), str(Path(__file__).parents[1])],
        check=False,
        capture_output=True,
    )
    assert ended.returncode == -signal.SIGKILL, ended.stderr.decode()

    with closing(SqliteJournal.open(path)) as journal:
        assert not journal.holds_old_bytes
        found = verify(journal)

    undone = where == "before"
    assert (found.head.seq, found.erased) == ((3, 0) if undone else (4, 1))
    assert (NAMES[0].encode() in bytes_beside(path)) is undone
    assert not log_of(path).exists()

"""Two programs that write to one journal would each think the other a forger."""

from __future__ import annotations

import os
import subprocess
import sys
from typing import TYPE_CHECKING

import pytest

from patience import PATIENCE_SECONDS
from readbell.journal.errors import InUseError, JournalError
from readbell.journal.lock import JournalLock, is_taken

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

HOLD = """
import sys
from pathlib import Path
from readbell.journal.lock import JournalLock

lock = JournalLock(Path(sys.argv[1]))
lock.take()
print("taken", flush=True)
sys.stdin.read()
"""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Give the name of a journal."""
    return tmp_path / "bay.journal"


@pytest.fixture
def holder(path: Path) -> Iterator[subprocess.Popen[str]]:
    """Give another program that holds the lock until it is ended."""
    with subprocess.Popen(
        [sys.executable, "-c", HOLD, str(path)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == "taken\n"
        yield other
        other.kill()


@pytest.mark.usefixtures("holder")
def test_a_journal_in_the_hands_of_another_program_is_refused(path: Path) -> None:
    """The sentence must tell somebody at the bench what to do instead."""
    with pytest.raises(InUseError, match="another readbell is writing to this journal: use that"):
        JournalLock(path).take()


@pytest.mark.usefixtures("holder")
def test_whoever_tries_again_soon_need_not_wait(path: Path) -> None:
    """A wall looks four times a second; the next look finds it free."""
    lock = JournalLock(path)
    with pytest.raises(InUseError):
        lock.take(patience=0)
    # Were it waited for without an end, this would be the end of the tests.
    with pytest.raises(InUseError):
        lock.take(patience=0.001)


def test_a_killed_program_gives_the_journal_free(path: Path, holder: subprocess.Popen[str]) -> None:
    """A lock that outlives its owner keeps a bay closed while a window runs out."""
    holder.kill()  # SIGKILL: nothing of it gets to run again
    holder.wait(timeout=PATIENCE_SECONDS)

    lock = JournalLock(path)
    lock.take()

    lock.release()


def test_a_program_that_ends_well_gives_the_journal_free(
    path: Path, holder: subprocess.Popen[str]
) -> None:
    """The next shift begins on the same file."""
    holder.communicate("", timeout=PATIENCE_SECONDS)

    lock = JournalLock(path)
    lock.take()

    lock.release()


def test_a_second_taker_in_the_same_program_is_refused(path: Path) -> None:
    """Two bays opened by one program would disturb each other just as well."""
    first = JournalLock(path)
    first.take()

    with pytest.raises(InUseError):
        JournalLock(path).take()

    first.release()


def test_a_lock_given_back_can_be_taken_again(path: Path) -> None:
    """A bay is closed and opened again without leaving the program."""
    first, second = JournalLock(path), JournalLock(path)
    first.take()
    first.release()

    second.take()

    second.release()


def test_two_journals_do_not_lock_each_other(path: Path) -> None:
    """A rehearsal runs beside the live bay."""
    live, rehearsal = JournalLock(path), JournalLock(path.with_name("rehearsal.journal"))
    live.take()

    rehearsal.take()

    rehearsal.release()
    live.release()


@pytest.mark.skipif(os.name != "posix", reason="elsewhere a link needs special rights")
def test_another_name_for_the_same_journal_is_locked_too(path: Path) -> None:
    """A link on the desktop leads to the same record as the full name."""
    path.touch()
    link = path.with_name("desktop-link.journal")
    link.symlink_to(path)
    first = JournalLock(path)
    first.take()

    with pytest.raises(InUseError):
        JournalLock(link).take()

    first.release()


def test_a_place_where_no_lock_can_be_made_is_told(path: Path) -> None:
    """A file stands where a folder should be: the text asks for another one."""
    path.touch()

    with pytest.raises(JournalError, match="choose a folder you may write in") as caught:
        JournalLock(path / "bay.journal").take()

    assert not isinstance(caught.value, InUseError)


@pytest.mark.usefixtures("holder")
def test_somebody_who_looks_on_sees_that_a_program_writes(path: Path) -> None:
    """And hinders nobody by looking."""
    assert is_taken(path)
    assert is_taken(path)


def test_somebody_who_looks_on_sees_that_none_does(
    path: Path, holder: subprocess.Popen[str]
) -> None:
    """Killed or ended, or never started."""
    holder.kill()
    holder.wait()
    assert is_taken(path) is False
    assert is_taken(path.with_name("other.journal")) is False


def test_a_start_has_the_patience_for_whoever_only_asks(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A wall asks for an instant; a start at that instant must not be refused for it."""
    fcntl = pytest.importorskip("fcntl")
    lock = JournalLock(path)
    lock.take()
    lock.release()
    waited: list[float] = []
    with path.with_name(f"{path.name}.lock").open("rb") as file:
        fcntl.flock(file, fcntl.LOCK_SH)

        def wait(seconds: float) -> None:
            waited.append(seconds)
            fcntl.flock(file, fcntl.LOCK_UN)  # whoever asked has its answer meanwhile

        monkeypatch.setattr("time.sleep", wait)
        lock.take()
    lock.release()

    assert len(waited) == 1

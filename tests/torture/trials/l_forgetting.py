"""Killed while somebody is forgotten: it was done or it was not, and no byte of it is left.

The child opens the journal, erases half of those in it and has the file written anew; the
parent kills it at an instant that chance chooses, from before the first byte to after the
last. Whoever opens the journal next must find the event with all that it erases gone, or
neither, and in the first case not a byte of a name in any file beside it.
"""

from __future__ import annotations

import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

from builders import START, private
from journal.samples import chain
from readbell.core.keeping.events import ErasedScope, RecordErased
from readbell.core.people.events import PersonRegistered
from readbell.core.private import Private
from readbell.journal.errors import JournalError
from readbell.journal.record import Head
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import verify
from torture.trial import Ground, Trial, Tried

if TYPE_CHECKING:
    from collections.abc import Iterator

PEOPLE = 3_000
CHILD = """
import sys
from pathlib import Path
sys.path.insert(0, sys.argv[2])
from readbell.journal.sqlite import SqliteJournal
from torture.trials.l_forgetting import forget
print("ready", flush=True)
journal = SqliteJournal.open(Path(sys.argv[1]))
forget(journal)
journal.close()
SqliteJournal.open(Path(sys.argv[1])).close()
print("done", flush=True)
"""


def called(number: int) -> str:
    """Return what the person of this number is called; every second one is to be forgotten."""
    return f"{'Gone' if number % 2 else 'Stays'}-{number:05}-of-the-torture"


def key_of(number: int) -> str:
    """Return the key of the person of this number."""
    return f"key-{number:05}"


def forget(journal: SqliteJournal) -> None:
    """Erase every second person."""
    keys = tuple(key_of(number) for number in range(PEOPLE) if number % 2)
    erased = RecordErased(
        at=START,
        by="key-op-1",
        scope=ErasedScope.PERIOD,
        through=START,
        people=len(keys),
        kept=0,
        keys=keys,
        words=private("for torture"),
    )
    end = journal.head()
    journal.append(chain([erased], end), end)


def forgetting(place: Ground) -> Iterator[Tried]:
    """Kill the child again and again."""
    tried = Tried(what="killed while half of all people are erased")
    chance = place.chance("forgetting")
    done = 0
    for _ in range(place.times(long=400, short=6)):
        tried.times += 1
        path = place.folder() / "bay.journal"
        _fill(path)
        _killed(path, 10 ** chance.uniform(-4.0, -0.3))
        done += _check(tried, path)
    tried.note = f"{done} of them were done, the others undone"
    yield tried


def _fill(path: Path) -> None:
    with closing(SqliteJournal.open(path)) as journal:
        known = (
            Private(key=key_of(number), salt=f"salt-{number}", value=called(number))
            for number in range(PEOPLE)
        )
        events = [PersonRegistered(at=START, by=None, person=each) for each in known]
        journal.append(chain(events), Head())


def _killed(path: Path, after: float) -> None:
    child = subprocess.Popen(
        [sys.executable, "-c", CHILD, str(path), str(Path(__file__).parents[2])],
        stdout=subprocess.PIPE,
    )
    assert child.stdout is not None
    child.stdout.readline()
    time.sleep(after)
    child.kill()
    child.wait()
    child.stdout.close()


def _check(tried: Tried, path: Path) -> bool:
    """Look at what is left; say whether it was done."""
    try:
        with closing(SqliteJournal.open(path)) as journal:
            tried.expect(not journal.holds_old_bytes, "old bytes were left after the next start")
            found = verify(journal)
    except JournalError as error:
        tried.fail(str(error))
        return False
    was_done = bool(found.erasures)
    tried.expect(found.erased == (PEOPLE // 2 if was_done else 0), f"{found.erased} are gone")
    tried.expect(found.unexplained == 0, "something is gone that no event accounts for")
    left = b"".join(each.read_bytes() for each in path.parent.iterdir())
    tried.expect((b"Gone-" in left) is not was_done, "a name that was erased is in the file")
    tried.expect(left.count(b"Stays-") >= PEOPLE // 2, "somebody who stays is gone")
    return was_done


TRIALS = [Trial(name="forgetting", title="Killed while somebody is forgotten", run=forgetting)]

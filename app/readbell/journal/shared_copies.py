"""Copying a record between a file and the server of a shared bay, whole or not at all.

To the server it is one transaction: broken off, nothing of it was ever there. From the
server it is a file under another name, which takes its own once it was verified. The hashes
of the PINs go with the record, or neither does. Nobody may be writing meanwhile, on either
side, and where anything stands nothing is copied.
"""

from __future__ import annotations

import secrets
from contextlib import closing, suppress
from glob import escape
from itertools import islice
from typing import TYPE_CHECKING

from readbell.core.board.events import BayFounded
from readbell.core.made_later import dataclass
from readbell.journal.archiving import PART, with_private
from readbell.journal.codec import decode_each
from readbell.journal.continuation import lying_beside
from readbell.journal.disk import put_in_free_place
from readbell.journal.errors import BrokenChainError, InUseError, JournalError
from readbell.journal.lock import JournalLock
from readbell.journal.pin_file import PinFile, pins_beside
from readbell.journal.postgres import PostgresJournal
from readbell.journal.postgres_link import connected
from readbell.journal.postgres_news import HERE_LOCK
from readbell.journal.postgres_pins import all_of, put_all
from readbell.journal.record import Head
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.sqlite_opening import has_log
from readbell.journal.verify import chained, verify

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence
    from pathlib import Path

    from readbell.journal.postgres_address import Address
    from readbell.journal.postgres_link import Link

AT_ONCE = 500
"""Events in one call: even a slow server has to be done with them within seconds."""
_ALONE = b"SELECT pg_try_advisory_lock(%s, %s)"
"""Every station that is connected holds the same lock together with the others."""
NOT_WHOLE = "the copy is not what was copied: nothing was kept of it, try again"


@dataclass(frozen=True, slots=True)
class Copied:
    """What was copied."""

    head: Head
    """The end of the record."""
    pins: bool
    """Whether there were PINs, whose hashes went with it."""


def copy_to_server(
    source: Path,
    address: Address,
    bay: str,
    places: Sequence[Path] = (),
    told: Callable[[int, int], None] = lambda _done, _of: None,
) -> Copied:
    """Copy the journal in the file `source`, and its PINs, to the bay of that name on a server.

    Args:
        source: a journal in whose hands nobody is.
        address: the server.
        bay: its name there; it must not be there yet, or hold no event.
        places: folders where something may have been spilled to, besides the journal's own.
        told: is told how many events of how many are copied.

    Raises:
        InUseError: a program writes to the file, or stations to the bay.
        LinkLostError: the link was lost; what the server then has is all or nothing.
        JournalError: the file is no whole journal, the PINs beside it cannot be read, or something
            stands on the server.
    """
    if not source.is_file():
        msg = f"{source}: there is no journal: check the name"
        raise JournalError(msg)
    lock = JournalLock(source)
    lock.take()
    try:
        with closing(SqliteJournal.open(source, read_only=True)) as journal:
            _must_be_fit(journal, source, places)
            end = verify(journal).head
            pins = PinFile(pins_beside(source.resolve())).hashes()
            with connected(address) as reached, reached.whole_or_nothing():
                _write(journal, reached, bay, end, told)
                if pins:
                    put_all(reached, PostgresJournal.on(reached, bay).bay_id, pins)
    finally:
        lock.release()
    return Copied(end, pins=bool(pins))


def copy_from_server(
    address: Address,
    bay: str,
    target: Path,
    told: Callable[[int, int], None] = lambda _done, _of: None,
) -> Copied:
    """Copy the record of a bay on a server, and its PINs, to the file `target`.

    Raises:
        InUseError: stations of the bay are running.
        LinkLostError: the link was lost; no file is left.
        JournalError: there is no such bay, something stands at the target or where its PINs
            belong, or there is no room.
    """
    if target.exists():
        msg = f"{target}: something stands there already: move it away first"
        raise JournalError(msg)
    part = target.with_name(f"{target.name}{PART}{secrets.token_hex(4)}")
    try:
        with connected(address) as reached:
            journal = PostgresJournal.on(reached, bay)
            _must_be_alone(reached, journal)
            pins = all_of(reached, journal.bay_id)
            beside = pins_beside(target.resolve())
            if pins and beside.exists():
                msg = f"{beside}: something stands there already: move it away first"
                raise JournalError(msg)
            end = journal.head()
            if end.seq == 0:
                msg = f"{address.told}: nothing is on record in bay {bay!r} yet: there is nothing to copy"
                raise JournalError(msg)
            with closing(SqliteJournal.open(part)) as copy:
                head, walk = Head(), journal.newer()
                while some := list(islice(walk, AT_ONCE)):
                    head = copy.append(some, head)
                    told(head.seq, end.seq)
            if has_log(part):  # it could not be brought home into the file: no room
                raise BrokenChainError(end.seq, NOT_WHOLE)
            with closing(SqliteJournal.open(part, read_only=True)) as copy:
                if verify(copy).head != end or copy.damage(thorough=True) is not None:
                    raise BrokenChainError(end.seq, NOT_WHOLE)
        _put_both(part, target, pins)
    except OSError as error:
        msg = f"{target}: {error.strerror}: choose a place with room where you may write"
        raise JournalError(msg) from None
    finally:
        for left in part.parent.glob(f"{escape(part.name)}*"):
            with suppress(OSError):
                left.unlink()
    return Copied(end, pins=bool(pins))


def name_in(source: Path) -> str:
    """Return what the bay in the journal `source` is called.

    Raises:
        JournalError: there is no journal, or it was not begun yet.
    """
    if not source.is_file():
        msg = f"{source}: there is no journal: check the name"
        raise JournalError(msg)
    with closing(SqliteJournal.open(source, read_only=True)) as journal:
        for envelope in decode_each(journal.records(), journal.private):
            if isinstance(envelope.event, BayFounded):
                return envelope.event.bay
    msg = f"{source}: no bay was founded in it yet: there is nothing to copy"
    raise JournalError(msg)


def _write(
    journal: SqliteJournal,
    reached: Link,
    bay: str,
    end: Head,
    told: Callable[[int, int], None],
) -> None:
    copy = PostgresJournal.on(reached, bay, found=True)
    _must_be_alone(reached, copy)
    head = copy.head()
    if head.seq:
        msg = (
            f"{reached.address.told}: bay {bay!r} stands there already, with {head.seq} events: "
            "give the copy another name"
        )
        raise JournalError(msg)
    walk = with_private(chained(journal), journal.private)
    while some := list(islice(walk, AT_ONCE)):
        head = copy.append(some, head)
        told(head.seq, end.seq)
    if copy.head() != end:
        raise BrokenChainError(end.seq, NOT_WHOLE)


def _put_both(part: Path, target: Path, pins: Mapping[str, str]) -> None:
    """Let the whole copy `part` stand as `target` with `pins` beside it, or neither of them.

    Raises:
        OSError: the disk does not allow it, or something stands there by now.
        PinFileError: the PINs cannot be kept.
    """
    if not pins:
        put_in_free_place(part, target)
        return
    made, beside = pins_beside(part), pins_beside(target.resolve())
    PinFile(made).take(pins)
    put_in_free_place(made, beside)
    try:
        put_in_free_place(part, target)
    except OSError:
        beside.unlink()
        raise


def _must_be_fit(journal: SqliteJournal, source: Path, places: Sequence[Path]) -> None:
    if journal.is_archive:
        msg = f"{source}: this is an archive and is gone on with nowhere: name the journal itself"
        raise JournalError(msg)
    damage = journal.damage(thorough=True)
    if damage is not None:
        msg = f"{source}: the file is damaged ({damage}): restore a backup"
        raise JournalError(msg)
    beside = lying_beside(journal, source.resolve(), places)
    if beside:
        msg = (
            f"{source}: events of it lie beside it in {beside[0]}: "
            "open the bay to join them, then copy"
        )
        raise JournalError(msg)


def _must_be_alone(reached: Link, journal: PostgresJournal) -> None:
    """Refuse to copy while stations of the bay are connected, and keep them out until we are done."""
    if not reached.ask(_ALONE, (HERE_LOCK, journal.bay_id))[0][0]:
        msg = (
            f"{reached.address.told}: stations of this bay are running: leave them first, then copy"
        )
        raise InUseError(msg)

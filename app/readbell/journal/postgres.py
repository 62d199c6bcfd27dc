"""The journal of a shared bay, on a PostgreSQL server.

An append is one call and one transaction of its own, stored for good before it returns. The
server itself checks that each event follows from the one before, numbers leave no gap, and
nothing that stands is ever changed: the role of the program may look and add, and triggers
refuse the rest to everybody. Why the program asks for no transaction of its own: a station
whose link dies in the middle would hold up all others until the server noticed.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Self

from readbell.journal.errors import (
    BrokenChainError,
    ConflictError,
    JournalError,
    LinkLostError,
    NotWrittenError,
)
from readbell.journal.postgres_address import listener, listeners
from readbell.journal.postgres_faults import BROKEN, CONFLICT, ONCE, ServerRefusedError
from readbell.journal.postgres_link import Link, connected
from readbell.journal.record import Head, PrivateRow, Record, link

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.journal.postgres_address import Address

AT_ONCE = 2_000
"""Events that are read, or should be appended, in one call."""
_APPEND = b"""
SELECT readbell.append(%s::integer, %s::bigint, %s::bytea, %s::text, %s::bigint,
    %s::bigint[], %s::text[], %s::text[], %s::bytea[],
    %s::bigint[], %s::bytea[], %s::bytea[], %s::bytea[])
"""
_END = b"SELECT seq, hash FROM readbell.event WHERE bay = %s ORDER BY seq DESC LIMIT 1"
_EVENTS = b"""
SELECT seq, body, hash FROM readbell.event
WHERE bay = %s AND seq > %s ORDER BY seq LIMIT %s
"""
_BROUGHT = b"""
SELECT seq, key, salt, value FROM readbell.private
WHERE bay = %s AND seq BETWEEN %s AND %s
"""
_PRIVATE = b"SELECT key, salt, value FROM readbell.private WHERE bay = %s AND key = %s"
_OFFSET = b"""
SELECT line_offset FROM readbell.event
WHERE bay = %s AND line_offset IS NOT NULL ORDER BY seq DESC LIMIT 1
"""
_NAMESAKE = b"""
SELECT 1 FROM pg_stat_activity
WHERE datname = current_database() AND application_name LIKE %s AND application_name <> %s LIMIT 1
"""
_NOW = b"SELECT (extract(epoch FROM clock_timestamp()) * 1000)::bigint"
_READ_ONLY = b"SELECT current_setting('transaction_read_only') = 'on'"
_BAYS = b"SELECT name FROM readbell.bay ORDER BY name"
_BAY = b"SELECT id FROM readbell.bay WHERE name = %s"
_FOUND = b"INSERT INTO readbell.bay (name) VALUES (%s) ON CONFLICT DO NOTHING RETURNING id"


class PostgresJournal:
    """The record of one bay on a server; connected when it is asked something.

    Every method raises `LinkLostError` where the server gives no answer, and connects anew
    the next time.
    """

    def __init__(self, reached: Link, bay_id: int, station: str = "") -> None:
        self._link = reached
        self.bay_id = bay_id
        self._station = station
        self.line_offset: int | None = None
        """The writer's own time line less the server's clock, in milliseconds; None: not known."""

    @classmethod
    def open(cls, address: Address, bay: str, *, station: str = "", found: bool = False) -> Self:
        """Connect to the record of `bay`.

        Args:
            address: the server and its database.
            bay: the name of the bay.
            station: who writes; it is kept with each event.
            found: whether the bay is to be made where there is none of that name.

        Raises:
            LinkLostError: nobody answers there now.
            JournalError: there is no such bay, or the server is not fit for one.
        """
        reached = Link(address)
        reached.open()
        try:
            return cls.on(reached, bay, station=station, found=found)
        except BaseException:
            reached.close()
            raise

    @classmethod
    def on(cls, reached: Link, bay: str, *, station: str = "", found: bool = False) -> Self:
        """Return the record of `bay` over a link that is open already.

        Raises:
            LinkLostError: nobody answers there now.
            JournalError: there is no such bay.
        """
        rows = (reached.ask(_FOUND, (bay,)) if found else []) or reached.ask(_BAY, (bay,))
        if not rows:
            there = ", ".join(repr(name) for (name,) in reached.ask(_BAYS)) or "none yet"
            msg = f"{reached.address.told}: there is no bay {bay!r} on it: there is {there}"
            raise JournalError(msg)
        return cls(reached, rows[0][0], station)

    def head(self) -> Head:
        """Return the present end."""
        rows = self._link.ask(_END, (self.bay_id,))
        return Head(seq=rows[0][0], hash=rows[0][1]) if rows else Head()

    def append(self, records: Sequence[Record], expected: Head) -> Head:
        """Store `records` durably, all or none, and return the new end.

        Raises:
            ConflictError: the end is no longer `expected`, or they do not follow from it, or
                one of them is there already.
            LinkLostError: there was no answer; they may be stored or not, and `records` tells.
            NotWrittenError: the server refused them.
        """
        brought = [(each.seq, row) for each in records for row in each.private]
        try:
            self._link.ask(
                _APPEND,
                (
                    self.bay_id,
                    expected.seq,
                    expected.hash,
                    self._station,
                    self.line_offset,
                    [each.seq for each in records],
                    [json.loads(each.body)["id"] for each in records],
                    [each.body for each in records],
                    [each.hash for each in records],
                    [seq for seq, _ in brought],
                    [row.key.encode() for _, row in brought],
                    [row.salt.encode() for _, row in brought],
                    [None if row.value is None else row.value.encode() for _, row in brought],
                ),
            )
        except ServerRefusedError as error:
            raise _refused(error, records, expected) from None
        return records[-1].head if records else expected

    def records(self, after: int = 0) -> Iterator[Record]:
        """Yield the stored events after number `after`, in order."""
        while rows := self._link.ask(_EVENTS, (self.bay_id, after, AT_ONCE)):
            for seq, body, hashed in rows:
                yield Record(seq=seq, body=body, hash=hashed)
            after = rows[-1][0]

    def newer(self, after: int = 0) -> Iterator[Record]:
        """Yield what `records` does, each with what it brought on the erasable side."""
        while rows := self._link.ask(_EVENTS, (self.bay_id, after, AT_ONCE)):
            last = rows[-1][0]
            brought: dict[int, list[PrivateRow]] = {}
            for seq, *row in self._link.ask(_BROUGHT, (self.bay_id, rows[0][0], last)):
                brought.setdefault(seq, []).append(_row(*row))
            for seq, body, hashed in rows:
                private = tuple(brought.get(seq, ()))
                yield Record(seq=seq, body=body, hash=hashed, private=private)
            after = last

    def private(self, key: str) -> PrivateRow | None:
        """Return what was kept apart under `key`, or None."""
        rows = self._link.ask(_PRIVATE, (self.bay_id, key.encode()))
        return _row(*rows[0]) if rows else None

    def last_line_offset(self) -> int | None:
        """Return the `line_offset` of the newest event that has one; None: none has."""
        rows = self._link.ask(_OFFSET, (self.bay_id,))
        return rows[0][0] if rows else None

    def has_namesake(self, run: str) -> bool:
        """Say whether any run of the program but `run` listens in the name of this station.

        A computer that lost its power is among them until the server has noticed.
        """
        known = listeners(self.bay_id, self._station), listener(self.bay_id, self._station, run)
        return bool(self._link.ask(_NAMESAKE, known))

    def server_now(self) -> int:
        """Return what the clock of the server shows, in milliseconds of UTC."""
        now: int = self._link.ask(_NOW)[0][0]
        return now

    def ailment(self) -> str | None:
        """Say why the next append would fail, or None; it may take seconds to find out."""
        try:
            (only_read,) = self._link.ask(_READ_ONLY)[0]
        except LinkLostError as error:
            return str(error)
        return "the server may only be read" if only_read else None

    def close(self) -> None:
        """Let go of the server."""
        self._link.close()


def bays(address: Address) -> tuple[str, ...]:
    """Return the names of the bays on a server.

    Raises:
        LinkLostError: nobody answers there now.
        JournalError: the server is not fit for shared bays.
    """
    with connected(address) as reached:
        return tuple(name for (name,) in reached.ask(_BAYS))


def _row(key: bytes, salt: bytes | None, value: bytes | None) -> PrivateRow:
    # What is damaged here no longer fits its digest, and is named by its event there.
    return PrivateRow(
        key=key.decode(errors="replace"),
        salt="" if salt is None else salt.decode(errors="replace"),
        value=None if value is None else value.decode(errors="replace"),
    )


def _refused(error: ServerRefusedError, records: Sequence[Record], expected: Head) -> JournalError:
    """Return what to raise for records that the server did not take."""
    if error.code == CONFLICT or error.rule == ONCE:
        return ConflictError("somebody else has written to this journal since")
    if error.code == BROKEN:
        before = expected
        for each in records:
            if each.hash != link(before.hash, each.body):
                break
            before = each.head
        what = "it does not follow from the one before it: nothing was stored"
        return BrokenChainError(before.seq + 1, what)
    return NotWrittenError(str(error))

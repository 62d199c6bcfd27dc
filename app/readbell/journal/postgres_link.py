"""One connection to a server, made when it is wanted, and made anew once it was lost.

Nobody waits longer than a few seconds for an answer: a network that is gone says nothing,
so a watch ends the connection then, and whoever waits hears that the link is lost.
"""

from __future__ import annotations

import select
import socket
import threading
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING, Any

from readbell.journal.errors import LINK_LOST, JournalError, LinkLostError
from readbell.journal.postgres_faults import ServerRefusedError, is_link_fault
from readbell.journal.postgres_opening import ANSWER_SECONDS, connect, look

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    import psycopg

    from readbell.journal.postgres_address import Address


class Link:
    """A connection that any thread may use, one after another."""

    def __init__(self, address: Address) -> None:
        self.address = address
        self._lock = threading.RLock()
        self._connection: psycopg.Connection[Any] | None = None
        self._in_one_piece = False

    def open(self) -> None:
        """Connect, and look whether the server is fit for shared bays.

        Raises:
            LinkLostError: nobody answers there now.
            JournalError: it is not, or does not let us in.
        """
        with self._lock:
            self._connection = connect(self.address)
            try:
                look(self._connection, self.address)
            except BaseException:
                self.close()
                raise

    def ask(self, statement: bytes, parameters: Sequence[Any] = ()) -> list[tuple[Any, ...]]:
        """Run `statement` and return its rows.

        Raises:
            LinkLostError: it got no answer; whether it was done is not known.
            ServerRefusedError: the server did not do it.
        """
        import psycopg

        with self._lock:
            connection = self._connected()
            try:
                with no_longer_than(connection, ANSWER_SECONDS):
                    return connection.execute(statement, parameters, binary=True).fetchall()
            except psycopg.Error as error:
                raise self._told(error, connection) from None

    @contextmanager
    def whole_or_nothing(self) -> Iterator[None]:
        """Let all that is asked within be stored at its end, or nothing of it.

        Raises:
            LinkLostError: the link was lost; only if it was at the very end, all may be stored.
            ServerRefusedError: the server did not store it.
        """
        import psycopg

        with self._lock:
            connection = self._connected()
            try:
                with connection.transaction():
                    self._in_one_piece = True
                    yield
            except psycopg.Error as error:
                raise self._told(error, connection) from None
            finally:
                self._in_one_piece = False

    def close(self) -> None:
        """Let go of the connection; the next question makes a new one."""
        with self._lock:
            if self._connection is not None:
                self._connection.close()
                self._connection = None

    def _told(self, error: psycopg.Error, connection: psycopg.Connection[Any]) -> JournalError:
        """Return what to raise for `error`, having let go of a connection that is of no use."""
        if is_link_fault(error) or connection.closed:
            self.close()
            return LinkLostError(LINK_LOST)
        return ServerRefusedError(error.sqlstate or "", error.diag.constraint_name)

    def _connected(self) -> psycopg.Connection[Any]:
        if self._connection is not None and _has_ended(self._connection):
            self.close()
        if self._connection is None and self._in_one_piece:
            raise LinkLostError(LINK_LOST)  # a new one would know nothing of what was asked before
        if self._connection is None:
            try:
                self._connection = connect(self.address)
            except LinkLostError:
                raise LinkLostError(LINK_LOST) from None
            except JournalError as error:
                # A password was changed, say: for whoever records it is lost all the same.
                raise LinkLostError(str(error)) from None
        return self._connection


@contextmanager
def connected(address: Address) -> Iterator[Link]:
    """Give a link that is open, for as long as what is done within takes.

    Raises:
        LinkLostError: nobody answers there now.
        JournalError: the server is not fit for shared bays, or does not let us in.
    """
    reached = Link(address)
    reached.open()
    try:
        yield reached
    finally:
        reached.close()


@contextmanager
def no_longer_than(connection: psycopg.Connection[Any], seconds: float) -> Iterator[None]:
    """End `connection` if what is done within takes longer than `seconds`."""
    watch = threading.Timer(seconds, _hang_up, (connection,))
    watch.daemon = True
    watch.start()
    try:
        yield
    finally:
        watch.cancel()


def _has_ended(connection: psycopg.Connection[Any]) -> bool:
    """Say whether the server has hung up; the driver would find it out by the next question only.

    Nothing is listened for on such a connection, so whatever comes unasked is a farewell.
    """
    if connection.closed:
        return True
    heard, _, _ = select.select([connection], [], [], 0)
    return bool(heard)


def _hang_up(connection: psycopg.Connection[Any]) -> None:
    import psycopg

    # Closing it here would take it from under whoever waits; this only wakes them.
    with (
        suppress(OSError, psycopg.Error),
        socket.fromfd(connection.fileno(), socket.AF_INET, socket.SOCK_STREAM) as waiting,
    ):
        waiting.shutdown(socket.SHUT_RDWR)

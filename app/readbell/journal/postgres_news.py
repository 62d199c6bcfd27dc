"""Hears from the server what other stations record, and says and hears who is here.

It has a connection and a thread of its own, so that it neither waits for an append nor
holds one up. A notification is a hint that there is something to look for and never the
thing itself: whoever is let in may send one. What came while the link was lost is not
sent again, so each time the link comes up the end of the record is told anew.
"""

from __future__ import annotations

import queue
import select
import socket
import threading
from concurrent.futures import Future
from contextlib import suppress
from typing import TYPE_CHECKING, Any

from readbell.core.made_later import dataclass
from readbell.journal.errors import JournalError
from readbell.journal.postgres_link import no_longer_than
from readbell.journal.postgres_opening import connect

if TYPE_CHECKING:
    from collections.abc import Callable

    import psycopg

    from readbell.journal.postgres_address import Address

QUIET_SECONDS = 2.0
"""After so long without a word the server is asked whether it is still there."""
ANSWER_SECONDS = 3.0
SHORTEST_PAUSE, LONGEST_PAUSE = 0.1, 2.0
"""Between two tries to connect; each failure doubles it."""
FAREWELL_SECONDS = 1.0
"""Its thread ends with the program in any case."""
ROUND_TRIPS = 8
LONGEST_PULSE = 7_999
"""Bytes; the server takes no more in one notification."""
LONGEST_NUMBER = 19
"""Digits of the largest number that an event may have there."""
HERE_LOCK = 20978
"""With the number of a bay, the lock that its stations hold together; any number of our own does."""
_HERE = b"SELECT pg_try_advisory_lock_shared(%s, %s)"
"""Held while the thread is connected; whoever copies the bay asks for it alone."""
_CALLED = b"SELECT set_config('application_name', %s, false)"
_END = b"SELECT coalesce(max(seq), 0) FROM readbell.event WHERE bay = %s"
_SAY = b"SELECT pg_notify(%s, %s)"
_STILL_THERE = b"SELECT 1"
_NOW = b"SELECT (extract(epoch FROM clock_timestamp()) * 1000)::bigint"

Job = tuple["bytes | None", "Future[Measured | None] | None"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """What two clocks showed at one instant, as nearly as can be told over a network."""

    server: int
    """UTC milliseconds by the clock of the server."""
    counting: int
    """Milliseconds by the counting clock of this computer."""
    around: int
    """How long the question took, in milliseconds: the instant is known to half of it."""


class Hearing(threading.Thread):
    """Listens to one bay until it is closed; connects anew by itself.

    Args:
        address: the server.
        bay: its number there.
        on_news: is told the number of the last event, each time there are new ones.
        on_pulse: is told what a station says of itself, this one included.
        on_link: is told whether the link is up, each time that changes.
        counting: the counting clock of this computer, in milliseconds.
        called: what the server calls it while it listens; others of the same station find it by that.

    All three are called from this thread, and may neither fail nor take long.
    """

    def __init__(
        self,
        address: Address,
        bay: int,
        *,
        on_news: Callable[[int], None],
        on_pulse: Callable[[str], None],
        on_link: Callable[[bool], None],
        counting: Callable[[], int],
        called: str = "",
    ) -> None:
        super().__init__(name="readbell-hearing", daemon=True)
        self._address = address
        self._bay = bay
        self._on_news = on_news
        self._on_pulse = on_pulse
        self._on_link = on_link
        self._counting = counting
        self._called = called
        self._news, self._here = f"readbell_{bay}", f"readbell_{bay}_here"
        self._jobs: queue.SimpleQueue[Job] = queue.SimpleQueue()
        self._bell, self._ear = socket.socketpair()
        self._ear.setblocking(False)
        self._ending = threading.Event()
        self._is_up = threading.Event()

    @property
    def is_up(self) -> bool:
        """Whether the server is heard now."""
        return self._is_up.is_set()

    def say(self, payload: str) -> None:
        """Tell every station of the bay; what cannot be said now is not said later.

        Raises:
            ValueError: it is longer than the server takes.
        """
        said = payload.encode()
        if len(said) > LONGEST_PULSE:
            msg = "a pulse is longer than the server takes"
            raise ValueError(msg)
        if self.is_up:
            self._give((said, None))

    def measure(self) -> Measured | None:
        """Hold the clock of the server against ours; None if it cannot be reached.

        Not to be called from this thread. It takes a few round trips.
        """
        if not self.is_up:
            return None
        answer: Future[Measured | None] = Future()
        self._give((None, answer))
        with suppress(TimeoutError):
            return answer.result(timeout=2 * ANSWER_SECONDS)
        return None

    def close(self) -> None:
        """Stop listening; whoever leaves does not wait for a server that says nothing."""
        self._ending.set()
        self._ring()
        if self.is_alive():
            self.join(FAREWELL_SECONDS)
        elif self.ident is None:  # it was never started
            self._bell.close()
            self._ear.close()

    def run(self) -> None:
        """Listen; whenever the link is lost, connect anew."""
        try:
            self._listen_on()
        finally:
            self._bell.close()
            self._ear.close()

    def _listen_on(self) -> None:
        import psycopg

        pause = SHORTEST_PAUSE
        while not self._ending.is_set():
            with suppress(JournalError, psycopg.Error, OSError), connect(self._address) as found:
                if self._begin(found):
                    pause = SHORTEST_PAUSE
                    self._listen(found)
            if self.is_up:
                self._is_up.clear()
                self._refuse_jobs()
                self._on_link(False)
            self._ending.wait(pause)
            pause = min(2 * pause, LONGEST_PAUSE)

    def _begin(self, connection: psycopg.Connection[Any]) -> bool:
        """Say whether we are among those who listen now; not while the bay is being copied."""
        with no_longer_than(connection, ANSWER_SECONDS):
            row = connection.execute(_HERE, (HERE_LOCK, self._bay)).fetchone()
            if row is None or not row[0]:
                return False
            if self._called:
                connection.execute(_CALLED, (self._called,))
            connection.execute(f"LISTEN {self._news}".encode())
            connection.execute(f"LISTEN {self._here}".encode())
            end = connection.execute(_END, (self._bay,)).fetchone()
        self._is_up.set()
        self._on_link(True)
        self._on_news(0 if end is None else end[0])
        return True

    def _listen(self, connection: psycopg.Connection[Any]) -> None:
        ear = self._ear.fileno()
        while not self._ending.is_set():
            heard, _, _ = select.select([connection.fileno(), ear], [], [], QUIET_SECONDS)
            with no_longer_than(connection, ANSWER_SECONDS):
                if ear in heard:
                    self._do_jobs(connection)
                elif not heard:
                    connection.execute(_STILL_THERE)
                notes = list(connection.notifies(timeout=0))
            news = [int(each.payload) for each in notes if self._tells_news(each)]
            if news:
                self._on_news(max(news))
            for each in notes:
                if each.channel == self._here:
                    self._on_pulse(each.payload)
        with no_longer_than(connection, ANSWER_SECONDS):
            self._do_jobs(connection)  # a goodbye among them

    def _tells_news(self, note: psycopg.Notify) -> bool:
        said = note.payload
        is_number = said.isascii() and said.isdigit() and len(said) <= LONGEST_NUMBER
        return note.channel == self._news and is_number

    def _do_jobs(self, connection: psycopg.Connection[Any]) -> None:
        with suppress(BlockingIOError):
            self._ear.recv(4_096)
        while not self._jobs.empty():
            said, answer = self._jobs.get()
            if said is not None:
                connection.execute(_SAY, (self._here, said.decode()))
            if answer is not None:
                try:
                    answer.set_result(self._measured(connection))
                finally:
                    if not answer.done():
                        answer.set_result(None)

    def _measured(self, connection: psycopg.Connection[Any]) -> Measured:
        found: list[Measured] = []
        for _ in range(ROUND_TRIPS):
            before = self._counting()
            ((server,),) = connection.execute(_NOW).fetchall()
            after = self._counting()
            around = after - before
            found.append(Measured(server=server, counting=before + around // 2, around=around))
        return min(found, key=lambda each: each.around)

    def _give(self, job: Job) -> None:
        self._jobs.put(job)
        self._ring()

    def _ring(self) -> None:
        with suppress(OSError):
            self._bell.send(b"\x00")

    def _refuse_jobs(self) -> None:
        while not self._jobs.empty():
            _, answer = self._jobs.get()
            if answer is not None:
                answer.set_result(None)

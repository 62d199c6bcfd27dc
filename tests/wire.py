"""A wire to a server that a test can cut, hold still, or have lose one answer."""

from __future__ import annotations

import re
import socket
import threading
from contextlib import suppress
from enum import Enum, auto

AT_ONCE = 65_536
APPENDS = re.compile(rb'kind\\?":\\?"')
"""Stands in the bytes of every append, and of nothing else that is sent to the server."""
OVERLAP = 16


class _Loses(Enum):
    """What becomes of the next append."""

    NOTHING = auto()
    REQUEST = auto()
    ANSWER = auto()


class Wire:
    """Listens on a port of its own and passes everything on to the server, until told otherwise.

    Args:
        server: the port of the server on this machine.
    """

    def __init__(self, server: int) -> None:
        self._server = server
        self._lock = threading.Lock()
        self._flows = threading.Event()
        self._flows.set()
        self._is_cut = self._is_closed = False
        self._loses = _Loses.NOTHING
        self.lost = threading.Event()
        """Set once the wire was cut in the middle of an append, as it was told."""
        self._pairs: list[tuple[socket.socket, socket.socket]] = []
        self._door = socket.create_server(("127.0.0.1", 0))
        self.port: int = self._door.getsockname()[1]
        threading.Thread(target=self._welcome, daemon=True).start()

    def cut(self) -> None:
        """End every connection, and take no new one until it is mended."""
        with self._lock:
            self._is_cut = True
        self._end_all()

    def hold(self) -> None:
        """Let nothing through either way, and say nothing of it: as a network does that is gone."""
        self._flows.clear()

    def mend(self) -> None:
        """Let everything through again; what was held arrives."""
        self._is_cut = False
        self._flows.set()

    def lose_next_request(self) -> None:
        """Cut the wire just before the next append reaches the server: it is not stored."""
        self.lost.clear()
        self._loses = _Loses.REQUEST

    def lose_next_answer(self) -> None:
        """Cut the wire once the server has stored the next append, before it can say so."""
        self.lost.clear()
        self._loses = _Loses.ANSWER

    def close(self) -> None:
        """Let go of everything."""
        self.mend()
        with self._lock:
            self._is_closed = True
        with suppress(OSError):
            self._door.shutdown(socket.SHUT_RDWR)
        self._door.close()
        self._end_all()

    def _welcome(self) -> None:
        while True:
            try:
                client, _ = self._door.accept()
            except OSError:
                return
            if self._has_ended():
                client.close()
                continue
            try:
                server = socket.create_connection(("127.0.0.1", self._server))
            except OSError:
                client.close()  # the server is down
                continue
            for end in (client, server):
                end.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
            with self._lock:
                is_open = not self._has_ended()
                if is_open:
                    self._pairs.append((client, server))
            if not is_open:  # it was cut just now
                _end(client, server)
                continue
            in_append = threading.Event()
            for start in (
                lambda c=client, s=server, a=in_append: self._requests(c, s, a),
                lambda c=client, s=server, a=in_append: self._answers(c, s, a),
            ):
                threading.Thread(target=start, daemon=True).start()

    def _has_ended(self) -> bool:
        return self._is_cut or self._is_closed

    def _requests(
        self, client: socket.socket, server: socket.socket, in_append: threading.Event
    ) -> None:
        before = b""
        while data := _some(client):
            if APPENDS.search(before + data):
                if self._loses is _Loses.REQUEST:
                    self._break_off()
                    return
                in_append.set()
            before = data[-OVERLAP:]
            self._flows.wait()
            if not _pass_on(server, data):
                break
        _end(client, server)

    def _answers(
        self, client: socket.socket, server: socket.socket, in_append: threading.Event
    ) -> None:
        while data := _some(server):
            # The server sends nothing of an append before it is stored for good.
            if in_append.is_set() and self._loses is _Loses.ANSWER:
                self._break_off()
                return
            in_append.clear()
            self._flows.wait()
            if not _pass_on(client, data):
                break
        _end(client, server)

    def _break_off(self) -> None:
        with self._lock:
            self._loses = _Loses.NOTHING
            self._is_cut = True
        self.lost.set()  # before either end can notice
        self._end_all()

    def _end_all(self) -> None:
        with self._lock:
            pairs, self._pairs = self._pairs, []
        for pair in pairs:
            _end(*pair)


def _some(end: socket.socket) -> bytes:
    try:
        return end.recv(AT_ONCE)
    except OSError:
        return b""


def _pass_on(end: socket.socket, data: bytes) -> bool:
    try:
        end.sendall(data)
    except OSError:
        return False
    return True


def _end(*ends: socket.socket) -> None:
    for end in ends:
        with suppress(OSError):
            end.shutdown(socket.SHUT_RDWR)
        end.close()

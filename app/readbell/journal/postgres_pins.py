"""PINs of a shared bay: their hashes stand on the server, and a copy beside each station.

A PIN is set once for all stations. Each check takes the newest hashes first; while the
link is lost the copy is checked, so that people can sign in at a station that is alone.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.journal.errors import LinkLostError
from readbell.journal.pin_file import PinFileError, hasher
from readbell.journal.postgres_faults import ServerRefusedError
from readbell.journal.postgres_link import Link

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readbell.core.staff.acts import PinCheck
    from readbell.journal.pin_file import PinFile
    from readbell.journal.postgres_address import Address

_ALL = b"SELECT key, hash FROM readbell.pin WHERE bay = %s AND hash IS NOT NULL ORDER BY number"
_PUT = b"""
INSERT INTO readbell.pin (bay, key, hash)
SELECT %s, * FROM unnest(%s::text[], %s::text[]) RETURNING 1
"""


class ServerPins:
    """PIN hashes on the server, under the numbers of a bay.

    Args:
        address: the server.
        bay: its number there.
        beside: the copy of this station.
    """

    def __init__(self, address: Address, bay: int, beside: PinFile) -> None:
        self._link = Link(address)
        self._bay = bay
        self._beside = beside

    def check(self, key: str, pin: str) -> PinCheck:
        """Say whether `pin` is that of the operator `key`; slow on purpose.

        Raises:
            PinFileError: neither the server's hashes nor the copy can be read.
        """
        self.refresh()
        return self._beside.check(key, pin)

    def refresh(self) -> None:
        """Bring the copy of this station up to date; while the link is lost it stays as it is.

        Raises:
            PinFileError: the copy cannot be written.
        """
        try:
            found = all_of(self._link, self._bay)
        except LinkLostError:
            return
        self._beside.take(found)

    def put(self, key: str, pin: str) -> None:
        """Keep `pin` for the operator `key`, at every station.

        Raises:
            PinFileError: it cannot be kept; then the one before still holds.
        """
        self._insert(key, hasher().hash(pin))

    def drop(self, key: str) -> None:
        """Keep nothing of the operator `key` any more.

        Raises:
            PinFileError: it cannot be written; then the PIN still holds.
        """
        self._insert(key, None)

    def close(self) -> None:
        """Let go of the server."""
        self._link.close()

    def _insert(self, key: str, kept: str | None) -> None:
        try:
            put_all(self._link, self._bay, {key: kept})
        except LinkLostError as error:
            msg = f"{error}: no PIN was changed; do it again once it is back"
            raise PinFileError(msg) from None
        except ServerRefusedError as error:
            msg = f"{error}: no PIN was changed"
            raise PinFileError(msg) from None
        self.refresh()


def all_of(reached: Link, bay: int) -> dict[str, str]:
    """Return the hash of each operator's PIN of a bay, by the operator's key.

    Raises:
        LinkLostError: the server gives no answer.
    """
    return dict(reached.ask(_ALL, (bay,)))


def put_all(reached: Link, bay: int, hashes: Mapping[str, str | None]) -> None:
    """Keep `hashes` for their operators, in the place of those before; None: no PIN any more.

    Raises:
        LinkLostError: the server gives no answer; whether they are kept is not known.
        ServerRefusedError: it does not keep them; then those before still hold.
    """
    reached.ask(_PUT, (bay, list(hashes), list(hashes.values())))

"""PINs of a shared bay, at one station of it."""

from __future__ import annotations

from contextlib import closing, contextmanager
from typing import TYPE_CHECKING

from readbell.journal.errors import JournalError, LinkLostError
from readbell.journal.pin_file import PinFile, PinFileError, pins_beside
from readbell.journal.postgres_address import read_address
from readbell.journal.postgres_pins import ServerPins
from readbell.settings.station_file import (
    read_station_file,
)
from readbell.stations.opening import server_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from readbell.core.staff.acts import PinCheck


class StationPins:
    """The PINs of a shared bay, reached when one is asked for; while the link is lost, their copy here.

    Args:
        path: the station file.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self._beside = PinFile(pins_beside(path))
        self._bay_id: int | None = None

    def check(self, key: str, pin: str) -> PinCheck:
        """Say whether `pin` is that of the operator `key`; slow on purpose.

        Raises:
            PinFileError: what is kept cannot be read.
        """
        try:
            with self._reached() as pins:
                return pins.check(key, pin)
        except PinFileError:
            raise
        except JournalError:  # also where the server does not let this station in any more
            return self._beside.check(key, pin)

    def put(self, key: str, pin: str) -> None:
        """Keep `pin` for the operator `key`, at every station.

        Raises:
            PinFileError: it cannot be kept; then the one before still holds.
        """
        self._change(lambda pins: pins.put(key, pin))

    def drop(self, key: str) -> None:
        """Keep nothing of the operator `key` any more.

        Raises:
            PinFileError: it cannot be written; then the PIN still holds.
        """
        self._change(lambda pins: pins.drop(key))

    def _change(self, change: Callable[[ServerPins], None]) -> None:
        try:
            with self._reached() as pins:
                change(pins)
        except LinkLostError as error:
            msg = f"{error}: no PIN was changed; do it again once it is back"
            raise PinFileError(msg) from None

    @contextmanager
    def _reached(self) -> Iterator[ServerPins]:
        """Give the PINs on the server; a PIN is asked for seldom, so no connection is kept for it.

        Raises:
            LinkLostError: the server cannot be reached.
            JournalError: it does not let us in.
        """
        file = read_station_file(self._path)
        if self._bay_id is None:
            with closing(server_of(file)) as server:
                self._bay_id = server.bay_id
        with closing(ServerPins(read_address(file.address), self._bay_id, self._beside)) as pins:
            yield pins

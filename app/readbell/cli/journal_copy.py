"""Copies a record between a file and a server, and says what was copied."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import DONE
from readbell.cli.passphrase import unlock
from readbell.cli.progress import Progress
from readbell.cli.spelt_out import spelt_out
from readbell.core.made_later import dataclass
from readbell.journal.errors import JournalError
from readbell.journal.postgres import bays
from readbell.journal.postgres_address import is_address, read_address
from readbell.journal.shared_copies import (
    copy_from_server,
    copy_to_server,
    name_in,
)
from readbell.settings.places import spill_folders
from readbell.settings.station_file import is_station_file, read_station_file

if TYPE_CHECKING:
    from collections.abc import Callable

    from readbell.journal.postgres_address import Address
    from readbell.journal.shared_copies import Copied

NEITHER = "copy goes between a file and a server: 'readbell backup' copies a file to a file"


@dataclass(frozen=True, slots=True)
class _OnServer:
    address: Address
    bay: str

    @property
    def told(self) -> str:
        return f"bay {self.bay} on {self.address.told}"


def copy(source: str, target: str, *, as_json: bool) -> int:
    """Copy the record at `source` to `target`.

    Raises:
        JournalError: it cannot be; the sentence says why, and nothing is left of it.
    """
    come_from = _place(source)
    with Progress() as progress:

        def tell(done: int, of: int) -> None:
            progress.tell("events copied", done, of)

        if isinstance(come_from, _OnServer):
            copied, told = _to_file(come_from, target, tell)
        else:
            copied, told = _to_server(come_from, target, tell)
    head, pins = copied.head, copied.pins
    if as_json:
        print(json.dumps({"to": told, "events": head.seq, "head": head.hex, "pins": pins}))
        return DONE
    with_pins = ", with the hashes of the PINs" if pins else ""
    print(spelt_out(f"{told}: whole copy of {head.seq} events, head {head.hex}{with_pins}"))
    left = source if isinstance(come_from, Path) else come_from.told
    print(spelt_out(f"{left} is as it was: from now on go on with one of the two alone"))
    return DONE


def _to_server(source: Path, target: str, tell: Callable[[int, int], None]) -> tuple[Copied, str]:
    if not is_address(target):
        raise JournalError(NEITHER)
    unlock(source)
    address = read_address(target)
    there = _OnServer(address, address.bay or name_in(source))
    return copy_to_server(source, address, there.bay, spill_folders(), tell), there.told


def _to_file(
    source: _OnServer, target: str, tell: Callable[[int, int], None]
) -> tuple[Copied, str]:
    if is_address(target):
        raise JournalError(NEITHER)
    path = Path(target)
    return copy_from_server(source.address, source.bay, path, tell), str(path)


def _place(given: str) -> Path | _OnServer:
    """Return the file that was meant, or the bay on a server that was.

    Raises:
        JournalError: the bay was not named and cannot be guessed.
    """
    if not is_address(given):
        path = Path(given)
        if not is_station_file(path):
            return path
        station = read_station_file(path)
        return _OnServer(read_address(station.address), station.bay)
    address = read_address(given)
    if address.bay is not None:
        return _OnServer(address, address.bay)
    there = bays(address)
    if len(there) != 1:
        names = ", ".join(map(repr, there)) or "none yet"
        msg = f"{address.told}: there is {names}: say which bay, with ?bay=NAME behind the address"
        raise JournalError(msg)
    return _OnServer(address, there[0])

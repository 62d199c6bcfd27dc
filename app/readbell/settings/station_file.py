"""The station file: what a computer keeps of the shared bay that it joined.

It stands where a journal would stand, under a name of its own, and every command that takes
a journal takes it as well; its first line tells the two apart. The password of the server may
be in it, so nobody but its owner may read it. What checks it is imported where one is read: every
command asks whether there is one.
"""

from __future__ import annotations

import json
import os
from contextlib import suppress
from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.errors import ReadbellError
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from pathlib import Path

FIRST_LINE = "# readbell station"
OWNER_ONLY = 0o600
LONGEST_STATION = 40
"""Letters of what a station is called: it stands in the header of every screen (our own choice)."""
MIRROR = ".mirror"
LINE = ".line"
WAITS, WINDOWS = "waits", "windows"
HEARS = (WAITS, WINDOWS)
"""What a station may be there to hear: waits that are over, and windows to read in."""


class StationFileError(ReadbellError):
    """A station file cannot be written; the text says why and what to do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StationFile:
    """One station of one shared bay."""

    address: str = field(repr=False)
    """Where the server is; a password may stand in it."""
    bay: str
    """What the bay is called on the server."""
    station: str
    """What this station is called; no other station of the bay is called so."""
    mark: str
    """The capital letter that begins the labels it makes up while it is alone."""
    hears: frozenset[str] = frozenset(HEARS)
    lanes: frozenset[str] = frozenset()
    """The lanes whose calls ring here; empty: all."""
    sets_policy: bool = False
    """Whether the decisions of the bay are those in the settings of this computer."""


def is_station_file(path: Path) -> bool:
    """Say whether a station file stands at `path`, and no journal."""
    with suppress(OSError, ValueError), path.open("rb") as file:
        return file.read(len(FIRST_LINE)) == FIRST_LINE.encode()
    return False


def mirror_of(path: Path) -> Path:
    """Return where the record of the shared bay lies beside its station file."""
    return path.with_name(path.name + MIRROR)


def line_of(path: Path) -> Path:
    """Return where a station keeps how its clocks last stood to the line of the bay."""
    return path.with_name(path.name + LINE)


def record_of(path: Path) -> Path:
    """Return the file with the record of the bay that `path` names: a journal, or a mirror."""
    return mirror_of(path) if is_station_file(path) else path


def refuse_mirror(path: Path) -> None:
    """Refuse to work in the mirror of a station as if it were a journal of its own.

    Raises:
        StationFileError: `path` is one: what was recorded there would never come to the server.
    """
    station = path.with_name(path.name.removesuffix(MIRROR))
    if station != path and is_station_file(station):
        msg = f"{path}: this is the mirror of a station of a shared bay: name {station} instead"
        raise StationFileError(msg)


def is_a_station_name(text: str) -> bool:
    """Say whether a station may be called `text`."""
    return 0 < len(text) <= LONGEST_STATION and text.isprintable() and text == text.strip()


def read_station_file(path: Path) -> StationFile:
    """Return what the station file at `path` says.

    Raises:
        WrongFileError: it is none, or a key or a value of it is wrong.
    """
    from readbell.settings.station_table import StationTable
    from readbell.toml_tables import WrongFileError, read_tables, read_text

    text = read_text(path)
    if not text.startswith(FIRST_LINE):
        fault = f"{path}: this is no station file: make one with 'readbell join ADDRESS'"
        raise WrongFileError([fault])
    said = read_tables(text, StationTable, str(path))
    return StationFile(
        address=said.address,
        bay=said.bay,
        station=said.station,
        mark=said.mark,
        hears=frozenset(said.hears) or frozenset(HEARS),
        lanes=frozenset(said.lanes),
        sets_policy=said.sets_policy,
    )


def write_station_file(path: Path, station: StationFile) -> None:
    """Put `station` at `path`, whole or not at all, for its owner's eyes alone.

    Raises:
        StationFileError: the disk does not take it.
    """
    part = path.with_name(f"{path.name}.part")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        part.unlink(missing_ok=True)
        handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, OWNER_ONLY)
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(_text_of(station))
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
    except OSError as error:
        with suppress(OSError):
            part.unlink(missing_ok=True)
        reason = error.strerror or type(error).__name__
        msg = f"{path}: {reason}: name a file that can be written with --journal"
        raise StationFileError(msg) from None


def _text_of(station: StationFile) -> str:
    lanes = sorted(station.lanes)
    hears = [each for each in HEARS if each in station.hears]
    return (
        f"{FIRST_LINE}\n"
        "# Made by 'readbell join'. A password may stand in the address: show this file to nobody.\n"
        f"address = {_quoted(station.address)}\n"
        f"bay = {_quoted(station.bay)}\n"
        f"station = {_quoted(station.station)}\n"
        f"mark = {_quoted(station.mark)}\n"
        "# Which calls ring here: waits that are over, windows to read in.\n"
        f"hears = [{', '.join(map(_quoted, hears))}]\n"
        "# The lanes whose calls ring here; empty: all of them.\n"
        f"lanes = [{', '.join(map(_quoted, lanes))}]\n"
        "# Whether the [policy] of this computer's settings is the policy of the bay.\n"
        f"sets_policy = {'true' if station.sets_policy else 'false'}\n"
    )


def _quoted(text: str) -> str:
    """Return `text` as TOML writes it: JSON's way, with the one sign beside it that TOML bars."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")

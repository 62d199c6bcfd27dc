"""The file of PIN hashes beside a journal: readable by its owner alone, replaced whole.

The hash is argon2id with the second of the two uniform choices of RFC 9106
(section 4): 64 MiB, three passes, four lanes, a random salt of 128 bits, a tag
of 256. A PIN has few digits, so what guards it is that nobody else can read the
file, and that a wrong one costs time.
"""

from __future__ import annotations

import json
import os
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass
from readbell.core.staff.acts import PinCheck
from readbell.journal.errors import JournalError

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from argon2 import PasswordHasher

SUFFIX = ".pins"
VERSION = 1
MEMORY_KIB = 65_536
PASSES = 3
LANES = 4
SALT_BYTES = 16
TAG_BYTES = 32
OWNER_ALONE = 0o600


class PinFileError(JournalError):
    """The file of PINs cannot be read or written; the text says which, and what to do."""


def pins_beside(journal: Path) -> Path:
    """Return where the PINs of the bay in `journal` are kept."""
    return journal.with_name(journal.name + SUFFIX)


@dataclass(frozen=True, slots=True)
class PinFile:
    """PIN hashes in one file; it need not exist before the first PIN is set."""

    path: Path

    def check(self, key: str, pin: str) -> PinCheck:
        """Say whether `pin` is that of the operator `key`; slow on purpose.

        Raises:
            PinFileError: the file cannot be read, or is none of ours.
        """
        kept = self._read().get(key)
        if kept is None:
            return PinCheck.NONE_ON_FILE
        from argon2.exceptions import InvalidHashError, VerificationError

        try:
            hasher().verify(kept, pin)
        except InvalidHashError:
            raise self._broken() from None
        except VerificationError:
            return PinCheck.WRONG
        return PinCheck.RIGHT

    def copy_to(self, other: PinFile) -> bool:
        """Copy what is kept to `other`, where nothing stands yet; say whether there was anything.

        Raises:
            PinFileError: it cannot be read or written, or something stands there.
        """
        pins = self._read()
        if not pins:
            return False
        if other.path.exists():
            msg = f"{other.path}: something stands there already: move it away first"
            raise PinFileError(msg)
        other._write(pins)  # of its own kind
        return True

    def hashes(self) -> Mapping[str, str]:
        """Return the hash of each operator's PIN by the operator's key.

        Raises:
            PinFileError: the file cannot be read, or is none of ours.
        """
        return self._read()

    def take(self, hashes: Mapping[str, str]) -> None:
        """Keep `hashes` and nothing else: what a server keeps for all stations of a bay.

        Raises:
            PinFileError: they cannot be kept; then the file is as it was.
        """
        if hashes != self._read():
            self._write(hashes)

    def put(self, key: str, pin: str) -> None:
        """Keep `pin` for the operator `key`, on the disk when this returns.

        Raises:
            PinFileError: it cannot be kept; then the file is as it was.
        """
        self._write({**self._read(), key: hasher().hash(pin)})

    def drop(self, key: str) -> None:
        """Keep nothing of the operator `key` any more.

        Raises:
            PinFileError: it cannot be written; then the file is as it was.
        """
        pins = self._read()
        if key in pins:
            self._write({each: kept for each, kept in pins.items() if each != key})

    def _write(self, pins: Mapping[str, str]) -> None:
        written = json.dumps({"version": VERSION, "pins": {**pins}}, indent=1, sort_keys=True)
        beside = self.path.with_name(self.path.name + ".new")
        try:
            beside.unlink(missing_ok=True)
            handle = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, OWNER_ALONE)
            with os.fdopen(handle, "w", encoding="utf-8") as file:
                file.write(written)
                file.flush()
                os.fsync(file.fileno())
            beside.replace(self.path)
            _settle(self.path.parent)
        except OSError as error:
            msg = f"{self.path}: {error.strerror}: no PIN was kept; make room, or check the rights"
            raise PinFileError(msg) from None

    def _read(self) -> Mapping[str, str]:
        try:
            found = json.loads(self.path.read_text(encoding="utf-8"))
            pins = found["pins"] if found["version"] == VERSION else None
        except FileNotFoundError:
            return {}
        except OSError as error:
            msg = f"{self.path}: {error.strerror}: check the rights"
            raise PinFileError(msg) from None
        except (ValueError, KeyError, TypeError):
            raise self._broken() from None
        if not isinstance(pins, dict) or not all(isinstance(each, str) for each in pins.values()):
            raise self._broken()
        return pins

    def _broken(self) -> PinFileError:
        return PinFileError(
            f"{self.path}: this is no file of PINs: restore a backup of it, "
            "or move it away and have a supervisor set the PINs anew"
        )


def hasher() -> PasswordHasher:
    """Return what hashes a PIN, with the parameters stated above; imported by the first who has one."""
    from argon2 import PasswordHasher, Type

    return PasswordHasher(
        time_cost=PASSES,
        memory_cost=MEMORY_KIB,
        parallelism=LANES,
        hash_len=TAG_BYTES,
        salt_len=SALT_BYTES,
        type=Type.ID,
    )


def _settle(folder: Path) -> None:
    """Have the new name of the file on the disk too, where folders can be opened."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    finally:
        os.close(handle)

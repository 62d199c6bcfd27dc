"""A file that stands in its place whole, or not at all; readable by its owner alone."""

from __future__ import annotations

import hashlib
import os
from contextlib import suppress
from typing import TYPE_CHECKING, Self

from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from pathlib import Path
    from types import TracebackType

OWNER_ONLY = 0o600
A_PIECE = 1 << 16
"""Bytes that are gathered before they are written."""


class OutFile:
    """Writes beside its place, and moves there at the end of a context in which nothing failed.

    Where the system has files without a name, what was written has none until it is whole:
    a program that is killed on the way leaves nothing behind.

    Raises:
        WrongFileError: something stands there already, or it cannot be written.
    """

    def __init__(self, place: Path) -> None:
        self._place = place
        self._beside: Path | None = None
        """Where it is written; None: nowhere that has a name."""
        self._digest = hashlib.sha256()
        self._gathered: list[bytes] = []
        self._size = 0
        if place.exists() or place.is_symlink():
            msg = f"{place}: something stands there already: name another file"
            raise WrongFileError([msg])
        try:
            self._handle = self._begin()
        except OSError as error:
            raise self._wrong(error) from None

    @property
    def digest(self) -> str:
        """SHA-256 of what was written, in hexadecimal."""
        return self._digest.hexdigest()

    def write(self, piece: str | bytes) -> None:
        """Add to it; text as UTF-8."""
        made = piece.encode() if isinstance(piece, str) else piece
        self._digest.update(made)
        self._gathered.append(made)
        self._size += len(made)
        if self._size >= A_PIECE:
            self._flush()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        try:
            if error is None:
                self._flush()
                self._put_in_place()
        finally:
            os.close(self._handle)
            if self._beside is not None:
                with suppress(OSError):
                    self._beside.unlink(missing_ok=True)

    def _begin(self) -> int:
        nameless = nameless_flag()
        if nameless:
            with suppress(OSError):  # a file system that has none
                return os.open(self._place.parent, nameless | os.O_WRONLY, OWNER_ONLY)
        self._beside = self._place.with_name(f".{self._place.name}.unfinished")
        # What a program that was killed left there is begun anew.
        self._beside.unlink(missing_ok=True)
        flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
        return os.open(self._beside, flags, OWNER_ONLY)

    def _flush(self) -> None:
        left = memoryview(b"".join(self._gathered))
        self._gathered, self._size = [], 0
        try:
            while left:
                left = left[os.write(self._handle, left) :]
        except OSError as error:
            raise self._wrong(error) from None

    def _put_in_place(self) -> None:
        """Give it its name; unlike a move that never takes the place of what came there meanwhile."""
        try:
            os.fsync(self._handle)
            if self._beside is None:
                self._give_name()
            else:
                try:
                    self._place.hardlink_to(self._beside)
                except FileExistsError:
                    raise
                except OSError:
                    self._beside.rename(self._place)  # a file system that knows no links
            _sync(self._place.parent)
        except OSError as error:
            raise self._wrong(error) from None

    def _give_name(self) -> None:
        folder = os.open(self._place.parent, os.O_RDONLY)
        try:
            # With a folder named the call follows what stands under /proc; without, it does not.
            source, name = f"/proc/self/fd/{self._handle}", self._place.name
            os.link(source, name, dst_dir_fd=folder, follow_symlinks=True)
        finally:
            os.close(folder)

    def _wrong(self, error: OSError) -> WrongFileError:
        folder = self._place.parent
        if isinstance(error, FileNotFoundError) and not folder.is_dir():
            msg = f"{folder}: there is no such folder: make it first, or name another place"
            return WrongFileError([msg])
        return WrongFileError([f"{self._place}: {error.strerror}: name another place with room"])


def nameless_flag() -> int:
    """Return what opens a file without a name, or 0 where the system has none (Linux alone has)."""
    return getattr(os, "O_TMPFILE", 0) if os.path.isdir("/proc/self/fd") else 0  # noqa: PTH112


def _sync(folder: Path) -> None:
    """Put the new name on the disk too."""
    if os.name == "posix":
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)

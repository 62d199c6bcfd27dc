"""A disk that notes every write and every synchronisation, or fails on demand.

It lies between SQLite and the system, so the product's own journal writes
through it, unchanged. From the notes the files can be made as they would have
been found after a power cut at any point.
"""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import dataclass, field
from enum import Enum
from pathlib import Path
from typing import TYPE_CHECKING

import apsw

if TYPE_CHECKING:
    import random
    from collections.abc import Callable, Iterator

SECTOR = 512
"""What a disk writes whole or not at all."""


class Kind(Enum):
    """What was asked of the disk."""

    OPEN = "open"
    WRITE = "write"
    CUT = "cut"
    SYNC = "sync"
    DELETE = "delete"


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """One thing asked of the disk."""

    kind: Kind
    file: str
    at: int = 0
    data: bytes = b""


@dataclass(kw_only=True)
class Tape:
    """Everything that was asked, in order; and when the disk is to fail."""

    notes: list[Note] = field(default_factory=list)
    fails: Callable[[Note], Exception | None] = lambda _: None

    def ask(self, note: Note) -> None:
        """Note it, or fail."""
        failure = self.fails(note)
        if failure is not None:
            raise failure
        self.notes.append(note)


class _Disk(apsw.VFS):
    def __init__(self, name: str, base: str, tape: Tape) -> None:
        self._base, self._tape = base, tape
        super().__init__(name, base, makedefault=True)
        self._default = base

    def xOpen(self, name: str | apsw.URIFilename | None, flags: list[int]) -> _File:  # noqa: N802
        return _File(self._base, name, flags, self._tape)

    def xDelete(self, filename: str, syncdir: bool) -> None:  # noqa: N802
        self._tape.ask(Note(kind=Kind.DELETE, file=Path(filename).name, at=int(syncdir)))
        super().xDelete(filename, syncdir)


class _File(apsw.VFSFile):
    def __init__(
        self, base: str, name: str | apsw.URIFilename | None, flags: list[int], tape: Tape
    ) -> None:
        full = name.filename() if isinstance(name, apsw.URIFilename) else name
        self._name, self._tape = Path(full or "").name, tape
        super().__init__(base, name, flags)
        tape.ask(Note(kind=Kind.OPEN, file=self._name))

    def xWrite(self, data: bytes, offset: int) -> None:  # noqa: N802
        self._tape.ask(Note(kind=Kind.WRITE, file=self._name, at=offset, data=bytes(data)))
        super().xWrite(data, offset)

    def xTruncate(self, newsize: int) -> None:  # noqa: N802
        self._tape.ask(Note(kind=Kind.CUT, file=self._name, at=newsize))
        super().xTruncate(newsize)

    def xSync(self, flags: int) -> None:  # noqa: N802
        self._tape.ask(Note(kind=Kind.SYNC, file=self._name))
        super().xSync(flags)


@contextmanager
def taped() -> Iterator[Tape]:
    """Let everything SQLite opens meanwhile be opened on a taped disk."""
    base = apsw.vfs_names()[0]
    tape = Tape()
    disk = _Disk(f"taped-{id(tape)}", base, tape)
    try:
        yield tape
    finally:
        disk.unregister()
        apsw.set_default_vfs(base)


@dataclass(kw_only=True)
class _Kept:
    """One file: what is surely on the disk, and what is on its way."""

    synced: bytearray | None = None
    """None: not even the name is there."""
    coming: list[Note] = field(default_factory=list)
    before: bytearray | None = None
    """A file of this name that was deleted, its deletion not synchronised."""


class PowerCut:
    """The disk as it is found when the power went after the first so many notes."""

    def __init__(self) -> None:
        self._files: dict[str, _Kept] = {}
        self._done = 0

    def go_on(self, notes: list[Note], until: int) -> None:
        """Let everything happen up to note `until`."""
        for note in notes[self._done : until]:
            self._happen(note)
        self._done = max(self._done, until)

    def _happen(self, note: Note) -> None:
        file = self._files.setdefault(note.file, _Kept())
        match note.kind:
            case Kind.WRITE | Kind.CUT:
                file.coming.append(note)
            case Kind.SYNC:
                if file.synced is None:
                    # SQLite synchronises the folder with a new file, and with it every name.
                    for each in self._files.values():
                        each.before = None
                file.synced = _written(file.synced or bytearray(), file.coming)
                file.coming = []
            case Kind.DELETE:
                before = None if note.at else file.synced or file.before
                self._files[note.file] = _Kept(before=before)
            case Kind.OPEN:
                pass

    def leave(self, folder: Path, chance: random.Random | None = None) -> None:
        """Write the files: only what was synchronised, or by `chance` some of the rest as well."""
        folder.mkdir()
        for name, file in self._files.items():
            content = file.synced
            if chance is None and content is None:
                content = file.before
            if chance is not None and chance.random() < 0.8:
                content = _written(content or bytearray(), _torn(file.coming, chance))
            if content is not None and name:
                (folder / name).write_bytes(content)


def _written(content: bytearray, notes: list[Note]) -> bytearray:
    content = bytearray(content)
    for note in notes:
        if note.kind is Kind.CUT:
            del content[note.at :]
        else:
            content.extend(bytes(max(0, note.at - len(content))))
            content[note.at : note.at + len(note.data)] = note.data
    return content


def _torn(notes: list[Note], chance: random.Random) -> list[Note]:
    """Return what got through of `notes`: each whole, in part, or not at all."""
    found: list[Note] = []
    for note in notes:
        fate = chance.random()
        if fate < 0.5:
            found.append(note)
        elif fate < 0.75 and note.kind is Kind.WRITE:
            sectors = range(0, len(note.data), SECTOR)
            found += [
                Note(
                    kind=Kind.WRITE,
                    file=note.file,
                    at=note.at + at,
                    data=note.data[at : at + SECTOR],
                )
                for at in sectors
                if chance.random() < 0.5
            ]
    return found

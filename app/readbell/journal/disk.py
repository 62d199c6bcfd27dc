"""Whether the disk under a journal can be trusted with it, and how a whole file comes to stand on it."""

from __future__ import annotations

import errno
import os
import re
from pathlib import Path

SHARED_KINDS = frozenset(
    {"9p", "afs", "cifs", "fuse.sshfs", "glusterfs", "nfs", "nfs4", "smb3", "smbfs", "virtiofs"}
)
"""File systems on which a write-ahead log is not safe, because locks do not reach everybody."""
_ESCAPED = re.compile(r"\\(\d{3})")
"""How the kernel writes a space and its like in a mount's name."""
_MOUNTS = Path("/proc/self/mountinfo")


def doubt_about(journal: Path, mounts: Path = _MOUNTS) -> str | None:
    """Say why `journal` should not stand where it stands, or None if nothing is known against it."""
    try:
        lines = mounts.read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError):
        return None  # only Linux tells
    kind = _kind_under(journal.resolve(), lines)
    if kind not in SHARED_KINDS:
        return None
    return (
        f"{journal}: this is a network disk ({kind}): move the journal to a disk of this computer"
    )


def sync_folder(folder: Path) -> None:
    """Put a new file's name on the disk too: without it a power cut may take the whole file."""
    if os.name == "posix":  # elsewhere a folder cannot be opened
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def put_in_free_place(part: Path, target: Path) -> None:
    """Let `part` stand as `target`, on the disk when this returns; never in another's place."""
    handle = os.open(part, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
    try:
        os.link(part, target)
    except FileExistsError:
        raise
    except OSError:  # a disk that knows no second name
        if target.exists():  # put there while the copy was made: a rename would take its place
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST)) from None
        part.rename(target)
    else:
        part.unlink()
    sync_folder(target.parent)


def _kind_under(place: Path, lines: list[str]) -> str:
    """Return the kind of the deepest mount that holds `place`; of two on one spot, the later."""
    deepest, kind = -1, ""
    for line in lines:
        before, _, after = line.partition(" - ")
        fields = before.split()
        mounted = Path(_ESCAPED.sub(lambda found: chr(int(found[1], 8)), fields[4]))
        if place.is_relative_to(mounted) and len(mounted.parts) >= deepest:
            deepest, kind = len(mounted.parts), after.split()[0]
    return kind

"""What stands in a journal, read without the product: by the bytes alone."""

from __future__ import annotations

import hashlib
import json
from contextlib import closing
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import apsw

if TYPE_CHECKING:
    from pathlib import Path

WAL_HEADER, FRAME_HEADER = 32, 24


@dataclass(kw_only=True)
class Stored:
    """The events of a journal, their values put back, and whether the chain holds."""

    events: list[dict[str, Any]] = field(default_factory=list)
    whole: bool = True

    def of(self, kind: str) -> list[dict[str, Any]]:
        """Return what stands in each event of a kind, in order."""
        return [each["event"] for each in self.events if each["kind"] == kind]


def stored_in(path: Path) -> Stored:
    """Read the journal at `path`, hashing the chain anew."""
    found = Stored()
    with closing(apsw.Connection(str(path), flags=apsw.SQLITE_OPEN_READONLY)) as file:
        private = dict(file.execute("SELECT key, value FROM private"))
        before = bytes(32)
        for number, (seq, body, hashed) in enumerate(
            file.execute("SELECT seq, body, hash FROM event ORDER BY seq"), start=1
        ):
            before = hashlib.sha256(before + str(body).encode()).digest()
            found.whole &= seq == number and hashed == before
            found.events.append(_named(json.loads(str(body)), private))
    return found


def _named(body: dict[str, Any], private: dict[Any, Any]) -> dict[str, Any]:
    for name, value in body["event"].items():
        if isinstance(value, dict) and "digest" in value:
            body["event"][name] = private.get(value["key"])
    return body


def torn_frames(journal: Path) -> int:
    """Return how many pages of an append that was never finished lie at the end of the log."""
    log = journal.with_name(f"{journal.name}-wal")
    content = log.read_bytes() if log.exists() else b""
    if len(content) < WAL_HEADER:
        return 0
    page = int.from_bytes(content[8:12], "big")
    salt = content[16:24]
    open_frames = 0
    for at in range(WAL_HEADER, len(content), FRAME_HEADER + page):
        header = content[at : at + FRAME_HEADER]
        if header[8:16] != salt:
            break  # left over from before the log was begun anew
        commits = any(header[4:8]) and len(content) >= at + FRAME_HEADER + page
        open_frames = 0 if commits else open_frames + 1
    return open_frames

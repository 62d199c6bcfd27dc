"""Damaged, cut and foreign files: the place is named, or nothing that is told has changed."""

from __future__ import annotations

import asyncio
import io
import json
import os
import threading
from contextlib import closing, redirect_stderr, redirect_stdout
from typing import TYPE_CHECKING, Any

import apsw

from readbell.cli.main import main
from readbell.journal.codec import decode
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import chained
from torture.bench import Hand, place_in
from torture.trial import Ground, Trial, Tried

if TYPE_CHECKING:
    import random
    from collections.abc import Iterator
    from pathlib import Path

    from readbell.journal.envelope import Envelope

Rows = list[tuple[Any, ...]]
FIRST_LINE = 1


def quietly(*words: str) -> tuple[int, str, str]:
    """Run a command of the program in this process; return its status and what it said."""
    out, err = io.StringIO(), io.StringIO()
    hook, mask = threading.excepthook, os.umask(0o077)
    try:
        with redirect_stdout(out), redirect_stderr(err):
            status = main(words)
    finally:
        threading.excepthook = hook
        os.umask(mask)
    return status, out.getvalue(), err.getvalue()


async def short_day(folder: Path, chance: random.Random) -> Path:
    """Leave a small journal in one file, and return it."""
    place = place_in(folder)
    work = await place.take_up()
    await work.prepare()
    hand = Hand(chance=chance, work=work)
    for _ in range(6):
        await hand.act()
    await work.close()
    return place.path


def rows_of(path: Path) -> tuple[Rows, Rows] | None:
    """Return what both tables hold, by the bytes; None where that cannot be read."""
    try:
        with closing(apsw.Connection(str(path), flags=apsw.SQLITE_OPEN_READONLY)) as file:
            event = "SELECT seq, CAST(body AS BLOB), CAST(hash AS BLOB) FROM event ORDER BY seq"
            private = "SELECT CAST(key AS BLOB), CAST(salt AS BLOB), CAST(value AS BLOB)"
            rows = file.execute(f"{private} FROM private ORDER BY rowid").fetchall()
            return file.execute(event).fetchall(), rows
    except apsw.Error:
        return None


def told_of(path: Path) -> list[Envelope]:
    """Return what the product itself reads out of the journal, identifiers included."""
    with closing(SqliteJournal.open(path, read_only=True)) as journal:
        return [decode(each, journal.private) for each in chained(journal)]


def introduced(rows: tuple[Rows, Rows]) -> list[int]:
    """Return which event brought each identifier."""
    return [
        next(seq for seq, body, _ in rows[0] if b'"' + key + b'"' in body) for key, _, _ in rows[1]
    ]


class Flips:
    """One journal, damaged in one byte at a time and mended again."""

    def __init__(self, path: Path) -> None:
        self.path, self.content = path, path.read_bytes()
        rows = rows_of(path)
        assert rows is not None
        self.rows, self.brought = rows, introduced(rows)
        self.told = told_of(path)
        self.flipped = Tried(what="one byte flipped anywhere in a journal, then verify")
        self.named, self.damaged, self.same = 0, 0, 0

    def flip(self, at: int, bits: int) -> None:
        """Damage one byte, verify, and judge what was said."""
        tried = self.flipped
        tried.times += 1
        content = bytearray(self.content)
        content[at] ^= bits
        self.path.write_bytes(content)
        status, out, err = quietly("verify", "--journal", str(self.path), "--json")
        where = f"byte {at} ^ {bits:#x}"
        if "readbell failed" in err:
            tried.fail(f"{where}: a crash: {err.splitlines()[0]}")
            return
        found = json.loads(out) if out else {"whole": False, "event": None}
        rows = rows_of(self.path)
        if found["whole"]:
            self.same += 1
            tried.expect(status == 0 and rows == self.rows, f"{where}: called whole, and is not")
            tried.expect(told_of(self.path) == self.told, f"{where}: it tells something else")
            return
        tried.expect(status in (1, 2), f"{where}: status {status}")
        named, wrong = found["event"], self._wrong(rows)
        self.named += named is not None
        self.damaged += named is None
        if len(wrong) == 1 and named is not None:
            tried.expect(named in wrong, f"{where}: event {named} is named, {wrong} is wrong")

    def _wrong(self, rows: tuple[Rows, Rows] | None) -> set[int]:
        if rows is None or [len(each) for each in rows] != [len(each) for each in self.rows]:
            return set()
        events = {
            seq for (seq, *_), new in zip(self.rows[0], rows[0], strict=True) if new[0] == seq
        }
        if len(events) < len(self.rows[0]):
            return set()
        return {old[0] for old, new in zip(self.rows[0], rows[0], strict=True) if old != new} | {
            seq
            for seq, old, new in zip(self.brought, self.rows[1], rows[1], strict=True)
            if old != new
        }


def flips(ground: Ground) -> Iterator[Tried]:
    """Flip bytes: in the short run some, in the long run every one."""
    chance = ground.chance("flips")
    path = asyncio.run(short_day(ground.folder(), chance))
    it = Flips(path)
    size = len(it.content)
    for at in range(size) if ground.long else chance.sample(range(size), 120):
        it.flip(at, chance.choice((0xFF, 1 << chance.randrange(8))))
    it.flipped.note = (
        f"{size:,} bytes; {it.named:,} times the event was named, {it.damaged:,} times the file was "
        f"called damaged or no journal, {it.same:,} times every event and identifier read as before"
    )
    path.write_bytes(it.content)
    yield it.flipped
    yield cuts(ground, it)


def cuts(ground: Ground, it: Flips) -> Tried:
    """Cut the journal short at many lengths."""
    tried = Tried(what="a journal cut short at any length, then verify")
    chance = ground.chance("cuts")
    size = len(it.content)
    for _ in range(ground.times(long=500, short=10)):
        tried.times += 1
        length = chance.choice((chance.randrange(size), chance.randrange(size // 4096) * 4096))
        it.path.write_bytes(it.content[:length])
        status, out, err = quietly("verify", "--journal", str(it.path), "--json")
        tried.expect(
            status in (1, 2) and '"whole": true' not in out and "readbell failed" not in err,
            f"cut to {length}: status {status} {out} {err}",
        )
    it.path.write_bytes(it.content)
    return tried


FOREIGN = (
    ("newer tables", ("PRAGMA user_version = 2",), 2),
    ("another program's", ("PRAGMA application_id = 77",), None),
    ("no tables", ("DROP TABLE event", "DROP TABLE private"), None),
)


def versions(ground: Ground) -> Iterator[Tried]:
    """Old events are read as ever; newer ones and newer tables are refused, and left alone."""
    tried = Tried(what="tables of a newer program, or of another: each command refuses, no change")
    chance = ground.chance("versions")
    for name, statements, _ in FOREIGN:
        path = asyncio.run(short_day(ground.folder(), chance))
        with closing(apsw.Connection(str(path))) as file:
            for statement in statements:
                file.execute(statement)
            file.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchall()
        before = path.read_bytes()
        copy = str(path.with_name("copy"))
        for words in (
            ("bay", "--quiet", "--journal", str(path)),
            ("watch", "--once", "--journal", str(path)),
            ("verify", "--journal", str(path)),
            ("backup", "--journal", str(path), "--to", copy),
            ("restore", "--from", str(path), "--journal", copy),
        ):
            tried.times += 1
            status, _, err = quietly(*words)
            tried.expect(
                status in (1, 2) and len(err.splitlines()) == FIRST_LINE,
                f"{name}, {words[0]}: status {status} {err}",
            )
            tried.expect(path.read_bytes() == before, f"{name}, {words[0]}: it was changed")
    yield tried
    yield events_of_other_versions(ground)


def events_of_other_versions(ground: Ground) -> Tried:
    """Rewrite a whole journal in an older shape and in a newer one, its chain made anew."""
    import hashlib

    tried = Tried(what="events in an old shape are lifted; in a newer one they are refused")
    chance = ground.chance("shapes")
    for version, fits in ((1, True), (99, False)):
        tried.times += 1
        path = asyncio.run(short_day(ground.folder(), chance))
        with closing(apsw.Connection(str(path))) as file:
            rows = file.execute("SELECT seq, body FROM event ORDER BY seq").fetchall()
            file.execute("DROP TRIGGER event_stays")
            before = bytes(32)
            for seq, text in rows:
                body = json.loads(str(text))
                if body["kind"] == "step-done":
                    body["version"] = version
                    body["event"].pop("together")
                text = json.dumps(body, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
                before = hashlib.sha256(before + text.encode()).digest()
                file.execute(
                    "UPDATE event SET body = ?, hash = ? WHERE seq = ?", (text, before, seq)
                )
        status, _, err = quietly("verify", "--journal", str(path))
        tried.expect((status == 0) is fits, f"version {version}: status {status} {err}")
        tried.expect(fits or "a newer readbell wrote it" in err, f"version {version}: {err}")
    return tried


TRIALS = [
    Trial(name="damage", title="Damaged files", run=flips),
    Trial(name="versions", title="Files of other versions", run=versions),
]

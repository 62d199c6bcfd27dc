"""S1 and S2: what it costs that an event is on the disk before anybody is shown it."""

from __future__ import annotations

import gc
import os
import time
from dataclasses import replace
from functools import partial, reduce
from statistics import median
from typing import TYPE_CHECKING

from benchmarks.figure import Figure
from benchmarks.measure import milliseconds, runs, took
from benchmarks.past import at_rest
from readbell.cli.starting import started
from readbell.journal.codec import decode, encode_each
from readbell.journal.record import NO_HASH, link
from readbell.journal.sqlite import SqliteJournal

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
    from pathlib import Path

    from benchmarks.measure import Plan
    from readbell.journal.envelope import Envelope

AN_APPEND = 200
"""Durable appends in a run, of which the median counts."""
UNTIL_FULL = 5
"""So many runs fill the write-ahead log: from then on it is written over and grows no more."""
TOGETHER = 200
BURSTS = 15


def measure(plan: Plan) -> Iterator[Figure]:
    """Yield S1 and S2."""
    usual = gc.get_threshold()
    started()  # rubbish is looked for as seldom as in a program that is up
    yield from _measured(plan)
    gc.set_threshold(*usual)
    gc.unfreeze()


def _measured(plan: Plan) -> Iterator[Figure]:
    folder = plan.folder / "appends"
    folder.mkdir()
    at_rest(folder / "source.journal", 200)
    source = SqliteJournal.open(folder / "source.journal", read_only=True)
    envelopes = [decode(each, source.private) for each in source.records()]
    source.close()
    envelopes = [each for each in envelopes if type(each.event).__name__ in _KINDS]
    store, raw = _Store(folder / "bay.journal"), RawFile(folder / "raw")
    chosen = envelopes[: plan.size(AN_APPEND, 20)]
    growing = [
        _each([partial(store.append, [each]) for each in chosen])
        for _ in range(plan.runs(UNTIL_FULL))
    ]
    ones, made, others, busy = [], [], [], []
    for _ in runs(plan, "S1, durable append", 7):
        # In blocks of their own: one file's log and the other's share the disk's queue.
        begins = time.process_time()
        ones.append(_each([partial(store.append, [each]) for each in chosen]))
        busy.append((time.process_time() - begins) / len(chosen))
        made.append(_each([partial(_make_and_write, raw, [each], store) for each in chosen]))
        bodies = [_bytes_of([each], store) for each in chosen]
        others.append(_each([partial(raw.append, each) for each in bodies]))
    beside = {
        "append": milliseconds(*ones),
        "of it the processor": milliseconds(*busy),
        "while the log still grows": milliseconds(*growing[:2]),
        "made and raw": milliseconds(*made),
        "raw": milliseconds(*others),
    }
    yield Figure(
        row="S1",
        what="durable append of one event, p50, against making the same bytes, write and fdatasync",
        samples=_ratios(ones, made),
        reach=1.5,
        how=f"{_HOW_STORED}, and on the other side the same codec before the plain write: so was the "
        "floor measured that the reach comes from",
        beside=beside,
        bound=_BOUND_OF_ONE,
    )
    yield Figure(
        row="S1",
        what="the same against write and fdatasync alone, of bytes made beforehand",
        samples=_ratios(ones, others),
        reach=1.5,
        how=f"{_HOW_STORED}; the plain write is given its bytes",
        beside=beside,
        bound="as the row before; the bytes themselves take little",
    )
    many, count = (envelopes * 2)[:TOGETHER], plan.size(BURSTS, 3)
    many = [replace(each, stamp=many[0].stamp) for each in many]  # a commit is stamped once
    ones, made, others, codec, hashing = [], [], [], [], []
    for _ in runs(plan, "S2, one commit of many", 7):
        ones.append(_each([partial(store.append, many)] * count))
        made.append(_each([partial(_make_and_write, raw, many, store)] * count))
        others.append(_each([partial(raw.append, _bytes_of(many, store))] * count))
        codec.append(_each([partial(_bytes_of, many, store)] * count))
        texts = [each.body for each in encode_each(many, store.head)]
        hashing.append(_each([partial(reduce, link, texts, NO_HASH)] * count))
    beside = {
        "commit": milliseconds(*ones),
        "of it the codec": milliseconds(*codec),
        "of that the hashes alone": milliseconds(*hashing),
        "made and raw": milliseconds(*made),
        "raw": milliseconds(*others),
    }
    yield Figure(
        row="S2",
        what=f"{TOGETHER} events in one commit, against making the same bytes, write and one sync",
        samples=_ratios(ones, made),
        reach=1.3,
        how="as S1; turning the events into bytes and hashing them is part of both sides",
        beside=beside,
        bound="the rows of the database: 0.25 ms to put 200 into their pages, 0.14 for the rule in the "
        "file that none of them takes another's place, which holds for every program that opens "
        "it and is worth that, 0.1 for the log's own sums and writes",
    )
    yield Figure(
        row="S2",
        what="the same against write and one sync alone, of bytes made beforehand",
        samples=_ratios(ones, others),
        reach=1.3,
        how="as S1; turning the events into bytes and hashing them is part of the product's side alone",
        beside=beside,
        bound="turning events into chained bytes (a function for each class, yet Python), then the rows. "
        "The reach leaves 0.3 of the raw commit for all of that, and on a disk as fast as this one "
        "the hashes alone, one for each event, take as much: no program can meet it that chains "
        "them so. Beside a raw commit of 1.5 ms the same work would be 1.8 x",
    )
    store.close()
    raw.close()


_KINDS = {"StepDone", "AlertRaised"}
"""Most of a day; none of them keeps anything apart, which would be another row."""
_HOW_STORED = "the product's codec and store, in the thread that writes, hashing included; in blocks, in turns"
_BOUND_OF_ONE = (
    "the disk's flush, which takes up to a third longer while the log still grows: for the first 700 "
    "events of a start; then the processor, of which the kernel's way to the disk takes half, the "
    "looks before and after whether the files are still in their place 0.02 ms, the codec as much, as "
    "it comes back to an empty cache after each wait, and SQLite's own work little; half as much again "
    "from one hour to the next on one machine, with the speed of its disk and processor"
)


class _Store:
    """The product's codec and store, from where they stand."""

    def __init__(self, path: Path) -> None:
        self._journal = SqliteJournal.open(path)
        self.head = self._journal.head()

    def append(self, envelopes: Sequence[Envelope]) -> None:
        """Encode, chain and store, all or none."""
        self.head = self._journal.append(encode_each(envelopes, self.head), self.head)

    def close(self) -> None:
        """Let go of the file."""
        self._journal.close()


class RawFile:
    """The floor: bytes at the end of a file, and a sync of its data."""

    def __init__(self, path: Path) -> None:
        self._file = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)

    def append(self, data: bytes) -> None:
        """Write and sync."""
        os.write(self._file, data)
        os.fdatasync(self._file)

    def close(self) -> None:
        """Let go of the file."""
        os.close(self._file)


def _each(works: Sequence[Callable[[], object]]) -> float:
    """Return the median of the seconds that each of `works` takes."""
    return median(map(took, works))


def _ratios(ones: Sequence[float], others: Sequence[float]) -> list[float]:
    return [one / other for one, other in zip(ones, others, strict=True)]


def _make_and_write(raw: RawFile, envelopes: Sequence[Envelope], store: _Store) -> None:
    raw.append(_bytes_of(envelopes, store))


def _bytes_of(envelopes: Sequence[Envelope], store: _Store) -> bytes:
    records = encode_each(envelopes, store.head)
    return b"".join(record.body.encode() + record.hash for record in records)

"""S5: reading a whole journal back, against hashing its chain alone."""

from __future__ import annotations

import gc
from collections import deque
from typing import TYPE_CHECKING

from benchmarks.figure import Figure
from benchmarks.measure import progress, runs, took
from benchmarks.past import long_past
from readbell.core.board.fold import replay
from readbell.journal.codec import decode_each
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import chained, no_collection

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from benchmarks.measure import Plan

EVENTS, ALL = 100_000, 1_000_000


def measure(plan: Plan) -> Iterator[Figure]:
    """Yield S5, often at a tenth of its size and once at its whole."""
    yield _figure(plan, plan.size(EVENTS, 5_000), 5)
    if not plan.quick:
        yield _figure(plan, ALL, 1)


def _figure(plan: Plan, events: int, usual: int) -> Figure:
    path = long_past(plan.folder, events, making(events))
    journal = SqliteJournal.open(path, read_only=True)
    events = journal.head().seq
    chain, decoded, whole = [], [], []
    for _ in runs(plan, f"S5, {events:,} events", usual):
        chain.append(took(lambda: _chain(journal)))
        decoded.append(took(lambda: _decode(journal)))
        whole.append(took(lambda: _rebuild(journal)))
        gc.collect()
    journal.close()
    each = {
        name: sorted(found)[len(found) // 2] / events * 1e6
        for name, found in (("chain alone", chain), ("and decoded", decoded), ("and folded", whole))
    }
    return Figure(
        row="S5",
        what=f"validated rebuild of {events:,} events, against hashing the chain alone",
        samples=[one / other for one, other in zip(whole, chain, strict=True)],
        reach=2,
        how="both read the product's journal; the rebuild is what a start does with it",
        beside={name: f"{micros:.1f} us an event" for name, micros in each.items()},
        bound="Python objects: to read and hash an event takes 3 us, to parse its JSON 4, to make its values "
        "4, to fold them 5. A decoder written in C (msgspec 0.22) took 3.6 of 17 off: 4.2 x, not worth "
        "a second way to read the same bytes, as a start with a snapshot waits for none of it",
    )


def _chain(journal: SqliteJournal) -> None:
    deque(chained(journal), maxlen=0)


def _decode(journal: SqliteJournal) -> None:
    with no_collection():
        deque(decode_each(chained(journal), journal.private), maxlen=0)


def _rebuild(journal: SqliteJournal) -> None:
    with no_collection():
        replay(each.event for each in decode_each(chained(journal), journal.private))


def making(events: int) -> Callable[[int], None]:
    """Return what says how far a journal of so many is made."""
    said = 0

    def say(done: int) -> None:
        nonlocal said
        if done >= said:
            progress(f"making a journal: {done:,} of {events:,} events")
            said += max(events // 10, 1)

    return say

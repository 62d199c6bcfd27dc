"""G1 and G2: how soon others see what a station recorded, and how much one server takes.

A server of its own is started in a temporary folder (the one that the tests start), writing through
to the disk as a site's does; the stations' journals are the product's, with their mirrors.
"""

from __future__ import annotations

import sys
import threading
from contextlib import ExitStack, contextmanager
from dataclasses import replace
from statistics import quantiles
from typing import TYPE_CHECKING

from benchmarks.figure import Figure
from benchmarks.measure import milliseconds, now, runs
from benchmarks.past import at_rest
from benchmarks.site import REPOSITORY
from readbell.bay.onlooker import Onlooker
from readbell.clock.system import SystemClock
from readbell.journal.codec import decode, encode_each
from readbell.journal.errors import ConflictError
from readbell.journal.postgres import PostgresJournal
from readbell.journal.postgres_address import Address, read_address
from readbell.journal.postgres_news import Hearing
from readbell.journal.shared import SharedJournal
from readbell.journal.sqlite import SqliteJournal

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from benchmarks.measure import Plan
    from readbell.journal.envelope import Envelope

BAY = "Harrow Quay"
ACTS = 300
SECONDS = 4.0
EVENTS = 700
"""Of a day, as it was played: half of them stand before anything is measured."""


def measure(plan: Plan) -> Iterator[Figure]:
    """Yield G1 and G2."""
    folder = plan.folder / "stations"
    folder.mkdir()
    envelopes = _day(folder)
    with _server() as new_address:
        middles, ends, sent, seen = [], [], [], []
        for number in runs(plan, "G1, seen at another station", 5):
            one, other = _fan_out(
                folder / f"fan{number}", new_address(), envelopes, plan.size(ACTS, 20)
            )
            middles.append(_at(other, 50) / _at(one, 50))
            ends.append(_at(other, 99) / _at(one, 99))
            sent.append(one)
            seen.append(other)
        every_sent = [each for run in sent for each in run]
        every_seen = [each for run in seen for each in run]
        yield Figure(
            row="G1",
            what="from a station's act to the board of another one, p50, against the sender's own commit",
            samples=middles,
            reach=2.0,
            how="one station appends through its journal, server and mirror both, one act at a time; the "
            "other hears of it, brings it into its mirror, and folds it into its board; both from the "
            "instant at which the sender began, on one machine, server and all",
            beside={
                "commit p50": milliseconds(_at(every_sent, 50)),
                "p99": milliseconds(_at(every_sent, 99)),
                "seen p50": milliseconds(_at(every_seen, 50)),
                "seen p99": milliseconds(_at(every_seen, 99)),
                "p99 against p99": f"{_at(sorted(ends), 50):.2f} x",
            },
            bound="the server's flush, which both wait for; then a notification, one query for what is "
            "new, and the flush of the other station's mirror, here on the same disk as the server's and "
            "the sender's, one after the other; on computers of their own these go on at once",
        )
        alone, three = [], []
        for _ in runs(plan, "G2, appends a second", 5):
            seconds = SECONDS if not plan.quick else 0.5
            alone.append(_appends(new_address(), envelopes, 1, seconds))
            three.append(_appends(new_address(), envelopes, 3, seconds))
        yield Figure(
            row="G2",
            what="appends a second on the server, three stations at once against one",
            samples=[many / one for one, many in zip(alone, three, strict=True)],
            reach=0.8,
            at_least=True,
            how="each station appends one event after the other for some seconds, on its own connection, "
            "deciding anew whenever another was first; encoding and hashing included, mirrors not",
            beside={
                "one station": f"{_at(alone, 50):,.0f}/s",
                "three at once": f"{_at(three, 50):,.0f}/s",
            },
            bound="one flush of the server's log for each append, one after the other: the bay's lock "
            "keeps the order; three stations lose what they decide anew",
        )


def _day(folder: Path) -> list[Envelope]:
    at_rest(folder / "source.journal", EVENTS)
    source = SqliteJournal.open(folder / "source.journal", read_only=True)
    found = [decode(each, source.private) for each in source.records()]
    source.close()
    return found


@contextmanager
def _server() -> Iterator[NewAddress]:
    """Start a server; give what makes an empty database on it and returns its address."""
    tests = str(REPOSITORY / "tests")
    if tests not in sys.path:
        sys.path.append(tests)
    from server import Server

    server = Server(durable=True)
    try:
        yield NewAddress(server)
    finally:
        server.close()


class NewAddress:
    """Makes empty databases."""

    def __init__(self, server: object) -> None:
        self._server = server

    def __call__(self) -> Address:
        """Return the address of a new one."""
        server = self._server
        return read_address(server.address(server.new_database()))  # type: ignore[attr-defined]


def _opened(address: Address, station: str) -> PostgresJournal:
    return PostgresJournal.open(address, BAY, station=station, found=True)


def _fan_out(
    folder: Path, address: Address, envelopes: Sequence[Envelope], acts: int
) -> tuple[list[float], list[float]]:
    """Return for each act the seconds of the sender's commit, and until another board has it."""
    folder.mkdir()
    told = threading.Event()
    with ExitStack() as stack:
        server = _opened(address, "window")
        sender = SharedJournal(SqliteJournal.open(folder / "window.mirror"))
        sender.linked(server)
        stack.callback(sender.close)
        other_server = _opened(address, "bench")
        other = SharedJournal(SqliteJournal.open(folder / "bench.mirror"))
        other.linked(other_server)
        stack.callback(other.close)
        path = folder / "bench.mirror"
        onlooker = Onlooker(SqliteJournal.open(path, read_only=True), path, (), SystemClock())
        stack.callback(onlooker.close)
        hearing = Hearing(
            address,
            other_server.bay_id,
            on_news=lambda _: told.set(),
            on_pulse=lambda _: None,
            on_link=lambda _: None,
            counting=lambda: 0,
        )
        hearing.start()
        stack.callback(hearing.close)
        told.wait(5)
        sent, seen = [], []
        base, rest = envelopes[: EVENTS // 2], envelopes[EVENTS // 2 :]
        head = sender.append(encode_each(base, sender.head()), sender.head())
        other.pull()
        onlooker.look()
        for each in rest[:acts]:
            told.clear()
            began = now()
            done = threading.Event()

            def follow(began: float = began, done: threading.Event = done) -> None:
                told.wait(5)
                other.pull()
                onlooker.look()
                seen.append(now() - began)
                done.set()

            follower = threading.Thread(target=follow)
            follower.start()
            head = sender.append(encode_each([each], head), head)
            sent.append(now() - began)
            done.wait(10)
            follower.join()
    return sent, seen


def _appends(
    address: Address, envelopes: Sequence[Envelope], stations: int, seconds: float
) -> float:
    """Return how many appends a second so many stations get onto the server together."""
    journals = [_opened(address, f"station-{each}") for each in range(stations)]
    counts = [0] * stations
    begin = threading.Barrier(stations + 1)
    over = threading.Event()

    def work(place: int) -> None:
        journal = journals[place]
        head = journal.head()
        begin.wait()
        while not over.is_set():
            event = replace(envelopes[0], id=f"event-{place}-{counts[place]}")
            try:
                head = journal.append(encode_each([event], head), head)
            except ConflictError:
                head = journal.head()
            else:
                counts[place] += 1

    threads = [threading.Thread(target=work, args=(each,)) for each in range(stations)]
    for each in threads:
        each.start()
    begin.wait()
    began = now()
    over.wait(seconds)
    over.set()
    for each in threads:
        each.join()
    took = now() - began
    for journal in journals:
        journal.close()
    return sum(counts) / took


def _at(values: Sequence[float], hundredth: int) -> float:
    """Return the value below which so many hundredths of `values` lie."""
    if len(values) < 2:  # of one there is nothing to divide
        return values[0]
    return quantiles(values, n=100, method="inclusive")[hundredth - 1]

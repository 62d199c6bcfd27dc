"""Stations hear from the server what others record and who is here, and again after a cut."""

from __future__ import annotations

import queue
import threading
from contextlib import closing
from typing import TYPE_CHECKING

import psycopg
import pytest

from journal.samples import arrivals
from patience import PATIENCE_SECONDS
from readbell.clock.system import SystemClock
from readbell.journal.postgres import PostgresJournal
from readbell.journal.postgres_address import listener, read_address
from readbell.journal.postgres_news import LONGEST_PULSE, Hearing
from readbell.journal.record import Head

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from server import Database
    from wire import Wire


def counting() -> int:
    """Return what the counting clock of this computer shows, in milliseconds."""
    return SystemClock().read().counting


class Ears:
    """A station that listens, and what it heard in its order."""

    def __init__(self, address: str, bay: int, called: str = "") -> None:
        self.news: queue.Queue[int] = queue.Queue()
        self.pulses: queue.Queue[str] = queue.Queue()
        self.link: queue.Queue[bool] = queue.Queue()
        self.hearing = Hearing(
            read_address(address),
            bay,
            on_news=self.news.put,
            on_pulse=self.pulses.put,
            on_link=self.link.put,
            counting=counting,
            called=called,
        )
        self.hearing.start()

    def up(self) -> bool:
        """Wait until the link changes, and return whether it is up."""
        return self.link.get(timeout=PATIENCE_SECONDS)

    def heard_of(self, seq: int) -> bool:
        """Wait until there is news of event `seq`."""
        while self.news.get(timeout=PATIENCE_SECONDS) < seq:
            pass
        return True


def until(holds: Callable[[], bool]) -> None:
    """Insist that it holds before anybody would have given up."""
    give_up = counting() + 1_000 * PATIENCE_SECONDS
    while not holds():
        assert counting() < give_up


@pytest.fixture
def journal(database: Database) -> Iterator[PostgresJournal]:
    """Give the empty record of a bay."""
    address = read_address(database.address)
    with closing(PostgresJournal.open(address, "Harrow Quay", found=True)) as opened:
        yield opened


@pytest.fixture
def ears(database: Database, journal: PostgresJournal, wire: Wire) -> Iterator[Ears]:
    """Give a station that listens through a wire, and is let in."""
    made = Ears(database.through(wire), journal.bay_id)
    assert made.up()
    yield made
    made.hearing.close()


def test_what_one_station_records_another_hears_of(journal: PostgresJournal, ears: Ears) -> None:
    """Its board follows without asking."""
    journal.append(arrivals("P-1", "P-2"), Head())

    assert ears.heard_of(2)


def test_whoever_begins_to_listen_is_told_the_end(
    database: Database, journal: PostgresJournal
) -> None:
    """What was recorded just before would be missed otherwise."""
    journal.append(arrivals("P-1"), Head())
    late = Ears(database.address, journal.bay_id)

    assert late.heard_of(1)

    late.hearing.close()


def test_another_bay_on_the_same_server_is_not_heard(
    database: Database, journal: PostgresJournal, ears: Ears
) -> None:
    """Three bays of one site share a server, and nothing else."""
    address = read_address(database.address)
    with closing(PostgresJournal.open(address, "Mill Lane", found=True)) as other:
        other.append(arrivals("P-1", "P-2", "P-3"), Head())
    journal.append(arrivals("P-1"), Head())

    assert [ears.news.get(timeout=PATIENCE_SECONDS) for _ in range(2)] == [0, 1]


@pytest.mark.parametrize(
    "station", ["window", "Fenster am Straßenrand, hinten links, der zweite Tisch"]
)
def test_the_server_knows_of_another_run_of_the_same_station(
    database: Database, station: str
) -> None:
    """Two computers bear one name: the second need not wait for a word of the first to know it."""
    address = read_address(database.address)
    with closing(PostgresJournal.open(address, "Mill Lane", station=station, found=True)) as bay:
        ears = Ears(database.address, bay.bay_id, called=listener(bay.bay_id, station, "first"))
        assert ears.up()

        assert bay.has_namesake("second")
        assert not bay.has_namesake("first")

        ears.hearing.close()
        until(lambda: not bay.has_namesake("second"))


@pytest.mark.parametrize(("further", "station"), [(1, "window"), (0, "window 2"), (0, "bench")])
def test_a_station_of_another_name_or_bay_is_no_namesake(
    database: Database, further: int, station: str
) -> None:
    """Each listens under a name of its own."""
    address = read_address(database.address)
    with closing(PostgresJournal.open(address, "Mill Lane", station="window", found=True)) as bay:
        called = listener(bay.bay_id + further, station, "first")
        ears = Ears(database.address, bay.bay_id, called=called)
        assert ears.up()

        assert not bay.has_namesake("second")

        ears.hearing.close()


def test_what_a_station_says_of_itself_all_hear(
    database: Database, journal: PostgresJournal, ears: Ears
) -> None:
    """The one that says it included: so it knows that it is heard."""
    other = Ears(database.address, journal.bay_id)
    assert other.up()

    ears.hearing.say('{"station": "window"}')

    assert other.pulses.get(timeout=PATIENCE_SECONDS) == '{"station": "window"}'
    assert ears.pulses.get(timeout=PATIENCE_SECONDS) == '{"station": "window"}'
    other.hearing.close()


def test_a_goodbye_is_said_by_one_that_is_closed_while_it_is_busy(
    database: Database, journal: PostgresJournal, ears: Ears
) -> None:
    """Its calls pass to the others at once, and not after seconds of silence."""
    other = Ears(database.address, journal.bay_id)
    assert other.up()
    is_busy, may_go_on = threading.Event(), threading.Event()

    def be_busy(_: str) -> None:
        is_busy.set()
        may_go_on.wait(PATIENCE_SECONDS)

    ears.hearing._on_pulse = be_busy
    other.hearing.say("hello")
    assert is_busy.wait(PATIENCE_SECONDS)

    ears.hearing.say("goodbye")
    closing = threading.Thread(target=ears.hearing.close)
    closing.start()
    assert ears.hearing._ending.wait(PATIENCE_SECONDS)
    may_go_on.set()

    assert [other.pulses.get(timeout=PATIENCE_SECONDS) for _ in range(2)] == ["hello", "goodbye"]
    closing.join()
    other.hearing.close()


def test_a_pulse_that_the_server_would_not_take_is_refused_here(ears: Ears) -> None:
    """On the way it would end the connection, and nobody would know why."""
    with pytest.raises(ValueError, match="longer"):
        ears.hearing.say("x" * (LONGEST_PULSE + 1))


@pytest.mark.parametrize("manner", ["fast", "immediate"])
def test_a_server_that_is_restarted_is_heard_again(
    database: Database, journal: PostgresJournal, ears: Ears, manner: str
) -> None:
    """Nobody at a station should have to do anything for it."""
    database.server.restart("fast" if manner == "fast" else "immediate")

    assert not ears.up()
    assert ears.up()
    journal.append(arrivals("P-1"), Head())
    assert ears.heard_of(1)


def test_after_a_cut_the_end_is_told_that_was_missed(
    journal: PostgresJournal, ears: Ears, wire: Wire
) -> None:
    """A notification is sent once; whoever was cut off never gets it."""
    wire.cut()
    assert not ears.up()
    journal.append(arrivals("P-1"), Head())
    wire.mend()

    assert ears.up()
    assert ears.heard_of(1)


def test_a_network_that_says_nothing_any_more_is_found_out(
    database: Database, journal: PostgresJournal, wire: Wire, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A plug that was pulled sends no farewell: two seconds of quiet and three for an answer, here less."""
    monkeypatch.setattr("readbell.journal.postgres_news.QUIET_SECONDS", 0.2)
    monkeypatch.setattr("readbell.journal.postgres_news.ANSWER_SECONDS", 0.3)
    ears = Ears(database.through(wire), journal.bay_id)
    assert ears.up()
    wire.hold()

    assert not ears.up()

    wire.mend()
    assert ears.up()
    ears.hearing.close()


def test_the_clocks_are_held_against_each_other(ears: Ears) -> None:
    """Server and station are one machine here, so both tell the same instant."""
    read = SystemClock().read()
    apart = read.wall - read.counting

    found = ears.hearing.measure()

    assert found is not None
    assert abs(found.server - (found.counting + apart)) <= found.around + 2


def test_without_a_link_nothing_is_measured_and_nothing_said(ears: Ears, wire: Wire) -> None:
    """An old pulse, sent late, would say that somebody is here who is not."""
    wire.cut()
    assert not ears.up()

    ears.hearing.say("old")

    assert ears.hearing.measure() is None
    wire.mend()
    assert ears.up()
    ears.hearing.say("new")
    assert ears.pulses.get(timeout=PATIENCE_SECONDS) == "new"


@pytest.mark.parametrize("payload", ["", "many", "-1", "٣", "1e9", "9" * 5_000])
def test_a_notification_that_is_no_number_is_passed_over(
    database: Database, journal: PostgresJournal, ears: Ears, payload: str
) -> None:
    """Whoever is let in may send one."""
    with psycopg.connect(database.address, autocommit=True) as somebody:
        somebody.execute("SELECT pg_notify(%s, %s)", (f"readbell_{journal.bay_id}", payload))

    journal.append(arrivals("P-1"), Head())

    assert [ears.news.get(timeout=PATIENCE_SECONDS) for _ in range(2)] == [0, 1]


def test_a_server_that_is_not_there_does_not_end_the_listening(
    database: Database, journal: PostgresJournal, wire: Wire
) -> None:
    """A station is switched on before the server in the morning."""
    wire.cut()
    early = Ears(database.through(wire), journal.bay_id)
    assert early.hearing.measure() is None
    wire.mend()

    assert early.up()

    early.hearing.close()

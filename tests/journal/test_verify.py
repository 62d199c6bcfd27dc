"""Whoever changes a record by hand is found out, and the first wrong event is named."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import START
from journal.samples import arrival, arrivals, chain, day
from readbell.core.cartridge.events import CartridgeLapsed
from readbell.core.reading.interpretation import Outcome
from readbell.journal.errors import BrokenChainError, JournalError
from readbell.journal.record import Head
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import chained, verify

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.journal.record import Record

DAY = day()


def unguarded(records: Sequence[Record]) -> SqliteJournal:
    """Return a journal whose triggers somebody has taken away."""
    journal = SqliteJournal.open(None)
    journal.append(records, Head())
    for (guard,) in journal._connection.execute(
        "SELECT name FROM sqlite_schema WHERE type = 'trigger'"
    ).fetchall():
        journal._connection.execute(f'DROP TRIGGER "{guard}"')
    return journal


@pytest.fixture
def journal() -> Iterator[SqliteJournal]:
    """Give the record of a day, open to tampering."""
    opened = unguarded(DAY)
    yield opened
    opened.close()


def broken_at(journal: SqliteJournal) -> int:
    """Return the number of the event that `verify` names."""
    with pytest.raises(BrokenChainError) as caught:
        verify(journal)
    return caught.value.seq


def test_a_record_that_nobody_touched_is_whole(journal: SqliteJournal) -> None:
    """A check that cries wolf is soon not run any more."""
    found = verify(journal)

    assert found.head == DAY[-1].head
    assert len(found.board.ended) == 1
    assert len(found.board.running) == 1


def test_an_empty_journal_is_whole() -> None:
    """It is checked before the first event, too."""
    empty = SqliteJournal.open(None)

    assert verify(empty).head == Head()

    empty.close()


@settings(max_examples=150, deadline=None)
@given(
    which=st.integers(0, len(DAY) - 1),
    place=st.floats(0, 1, exclude_max=True),
    bit=st.integers(0, 7),
)
def test_a_bit_flipped_anywhere_in_any_event_is_named(which: int, place: float, bit: int) -> None:
    """Whether a disk or a person did it, the damage is found where it is."""
    record = DAY[which]
    body = bytearray(record.body.encode())
    body[int(place * len(body))] ^= 1 << bit
    tampered = unguarded(DAY)
    tampered._connection.execute(
        "UPDATE event SET body = CAST(? AS TEXT) WHERE seq = ?", (bytes(body), record.seq)
    )

    try:
        assert broken_at(tampered) == record.seq
    finally:
        tampered.close()


@settings(max_examples=40, deadline=None)
@given(which=st.integers(0, len(DAY) - 1), place=st.integers(0, 31), bit=st.integers(0, 7))
def test_a_bit_flipped_in_a_stored_hash_is_named(which: int, place: int, bit: int) -> None:
    """The hashes lie in the same file as what they protect."""
    record = DAY[which]
    hashed = bytearray(record.hash)
    hashed[place] ^= 1 << bit
    tampered = unguarded(DAY)
    tampered._connection.execute(
        "UPDATE event SET hash = ? WHERE seq = ?", (bytes(hashed), record.seq)
    )

    try:
        assert broken_at(tampered) == record.seq
    finally:
        tampered.close()


@pytest.mark.parametrize(
    "seq",
    [
        pytest.param(1, id="the first"),
        pytest.param(5, id="one in the middle"),
        pytest.param(len(DAY) - 1, id="the last but one"),
    ],
)
def test_an_event_taken_out_is_missed(journal: SqliteJournal, seq: int) -> None:
    """A gap in the numbers needs no hash to be seen."""
    journal._connection.execute("DELETE FROM event WHERE seq = ?", (seq,))

    with pytest.raises(BrokenChainError, match=f"event {seq}: it is missing"):
        verify(journal)


def test_a_gap_that_was_closed_up_is_found(journal: SqliteJournal) -> None:
    """Whoever takes an event out may also number the rest anew; the hash tells."""
    journal._connection.execute("DELETE FROM event WHERE seq = 5")
    journal._connection.execute("UPDATE event SET seq = -seq WHERE seq > 5")
    journal._connection.execute("UPDATE event SET seq = -seq - 1 WHERE seq < 0")

    assert broken_at(journal) == 5


def test_two_events_that_changed_places_are_found(journal: SqliteJournal) -> None:
    """The order is part of what happened."""
    journal._connection.execute("UPDATE event SET seq = -5 WHERE seq = 5")
    journal._connection.execute("UPDATE event SET seq = 5 WHERE seq = 6")
    journal._connection.execute("UPDATE event SET seq = 6 WHERE seq = -5")

    assert broken_at(journal) == 5


def test_an_event_put_in_between_is_found(journal: SqliteJournal) -> None:
    """An act that was never done cannot be added later."""
    (made_up,) = chain([arrival("P-9")], DAY[4].head)
    journal._connection.execute("UPDATE event SET seq = -seq WHERE seq > 5")
    journal._connection.execute("UPDATE event SET seq = -seq + 1 WHERE seq < 0")
    journal._connection.execute(
        "INSERT INTO event (seq, body, hash) VALUES (?, ?, ?)",
        (made_up.seq, made_up.body, made_up.hash),
    )

    assert broken_at(journal) == 7


def test_events_taken_off_the_end_are_found_by_a_head_noted_earlier(
    journal: SqliteJournal,
) -> None:
    """The chain alone cannot know of them, which is why the day sheet prints the head."""
    noted = DAY[-1].hash.hex()
    assert noted in verify(journal).heads_seen

    journal._connection.execute("DELETE FROM event WHERE seq = ?", (len(DAY),))

    assert noted not in verify(journal).heads_seen
    assert DAY[-2].hash.hex() in verify(journal).heads_seen


def test_a_head_noted_in_the_middle_of_a_day_stays_part_of_it(journal: SqliteJournal) -> None:
    """Yesterday's sheet must still fit when today's events have been added."""
    assert verify(journal).heads_seen == {each.hash.hex() for each in DAY}


def test_an_erased_identifier_leaves_the_chain_whole(journal: SqliteJournal) -> None:
    """To forget a person is a right; it must not make the record look forged."""
    journal._connection.execute("UPDATE private SET value = NULL WHERE key = 'key-P-001'")

    found = verify(journal)

    assert found.head == DAY[-1].head
    assert found.board.name("key-P-001") is None
    assert found.board.name("key-P-002") == "P-002"


def test_a_changed_identifier_is_named_by_the_event_that_brought_it(
    journal: SqliteJournal,
) -> None:
    """It lies outside the chain, so the chain alone would not see it."""
    brought = next(each for each in DAY if each.private and each.private[0].key == "key-P-001")
    journal._connection.execute("UPDATE private SET value = 'P-002' WHERE key = 'key-P-001'")

    assert broken_at(journal) == brought.seq


def test_a_well_chained_event_that_cannot_have_happened_is_named() -> None:
    """Whoever rebuilds the chain must still tell a story that the rules allow."""
    lapsed = CartridgeLapsed(
        at=START, cartridge="nobody-labelled-it", outcomes=(), outcome=Outcome.INVALID
    )
    journal = unguarded(chain([arrival("P-1"), lapsed, arrival("P-2")]))

    assert broken_at(journal) == 2

    journal.close()


def test_the_chain_can_be_checked_from_any_event_on(journal: SqliteJournal) -> None:
    """Whoever catches up reads the new events only, and checks those as strictly."""
    assert [each.seq for each in chained(journal, DAY[9].head)] == list(range(11, len(DAY) + 1))

    other = Head(seq=10, hash=bytes(32))
    with pytest.raises(BrokenChainError, match="event 11: it was changed"):
        list(chained(journal, other))


def test_every_finding_says_what_to_do(journal: SqliteJournal) -> None:
    """It is read by somebody at a bench, not by a programmer."""
    journal._connection.execute("UPDATE event SET body = '{}' WHERE seq = 3")

    with pytest.raises(JournalError, match=r"^event 3: it was changed.*: restore a backup$"):
        verify(journal)


def test_arrivals_alone_make_a_record() -> None:
    """The samples of the other tests are sound themselves."""
    journal = unguarded(arrivals("P-1", "P-2"))

    assert set(verify(journal).board.persons) == {"P-1", "P-2"}

    journal.close()

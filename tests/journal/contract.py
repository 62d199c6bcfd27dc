"""What any journal must do, whatever it is stored in.

A new kind of journal is held to this by a subclass that brings its own
`journal` fixture; the tests come with the class.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from journal.samples import arrivals, day
from readbell.journal.errors import ConflictError, NotWrittenError
from readbell.journal.record import Head, PrivateRow
from readbell.journal.verify import verify

if TYPE_CHECKING:
    from readbell.journal.journal import Journal
    from readbell.journal.record import Record


def plain(records: list[Record]) -> list[tuple[int, str, bytes]]:
    """Return the chained part of `records`, which is all that a journal reads back."""
    return [(each.seq, each.body, each.hash) for each in records]


class JournalContract:
    """The tests; a subclass brings a fixture `journal`: an empty one, closed afterwards."""

    def test_new_journal_ends_before_its_first_event(self, journal: Journal) -> None:
        """The first event is chained to this end, so it must be the same everywhere."""
        assert journal.head() == Head(seq=0, hash=bytes(32))
        assert list(journal.records()) == []

    def test_append_returns_the_new_end(self, journal: Journal) -> None:
        """The caller chains the next event to what it is given here."""
        records = arrivals("P-1", "P-2")

        end = journal.append(records, Head())

        assert end == records[-1].head
        assert journal.head() == end

    def test_what_was_appended_is_read_back_byte_for_byte(self, journal: Journal) -> None:
        """One byte changed in storage would break the chain for ever."""
        records = day()

        journal.append(records, Head())

        assert plain(list(journal.records())) == plain(records)

    def test_several_appends_make_one_record(self, journal: Journal) -> None:
        """A day is many small appends, and is read as one."""
        head = Head()
        for record in day():
            head = journal.append([record], head)

        assert plain(list(journal.records())) == plain(day())
        assert verify(journal).head == head

    @pytest.mark.parametrize(
        ("after", "found"),
        [
            pytest.param(0, [1, 2, 3], id="from the start"),
            pytest.param(1, [2, 3], id="after the first"),
            pytest.param(2, [3], id="after the last but one"),
            pytest.param(3, [], id="after the last"),
            pytest.param(4, [], id="beyond the end"),
        ],
    )
    def test_reading_begins_after_the_number_asked_for(
        self, journal: Journal, after: int, found: list[int]
    ) -> None:
        """Whoever catches up must get neither the same event twice nor one too few."""
        journal.append(arrivals("P-1", "P-2", "P-3"), Head())

        assert [each.seq for each in journal.records(after)] == found

    def test_append_of_nothing_changes_nothing(self, journal: Journal) -> None:
        """An act without consequences is not an error."""
        end = journal.append(arrivals("P-1"), Head())

        assert journal.append([], end) == end
        assert journal.head() == end

    def test_append_after_an_end_that_has_passed_is_a_conflict(self, journal: Journal) -> None:
        """Two who decide on the same board must not both have their way unseen."""
        end = journal.append(arrivals("P-1"), Head())

        with pytest.raises(ConflictError):
            journal.append(arrivals("P-2"), Head())

        assert journal.head() == end

    def test_the_same_append_twice_is_a_conflict(self, journal: Journal) -> None:
        """A request that is sent again by mistake is not an act done twice."""
        records = arrivals("P-1")
        journal.append(records, Head())

        with pytest.raises(ConflictError):
            journal.append(records, Head())

        assert [each.seq for each in journal.records()] == [1]

    def test_an_end_of_the_same_number_but_another_hash_is_a_conflict(
        self, journal: Journal
    ) -> None:
        """The number alone does not say that two journals are the same."""
        journal.append(arrivals("P-1"), Head())
        other = arrivals("P-9")[-1].head

        with pytest.raises(ConflictError):
            journal.append(arrivals("P-2", after=other), other)

        assert [each.seq for each in journal.records()] == [1]

    def test_append_after_an_end_not_reached_yet_is_a_conflict(self, journal: Journal) -> None:
        """A journal brought back from a backup has lost its end, and must say so."""
        records = arrivals("P-1", "P-2")

        with pytest.raises(ConflictError):
            journal.append(records[1:], records[0].head)

        assert journal.head() == Head()

    def test_an_append_is_stored_whole_or_not_at_all(self, journal: Journal) -> None:
        """Half an act on the record would be an act that nobody did."""
        end = journal.append(arrivals("P-1"), Head())
        twice_the_same_key = arrivals("P-2", "P-1", after=end)

        with pytest.raises(NotWrittenError):
            journal.append(twice_the_same_key, end)

        assert journal.head() == end
        assert journal.private("key-P-2") is None

    def test_a_refused_append_does_not_stand_in_the_way_of_the_next(self, journal: Journal) -> None:
        """One failure must not leave the journal locked or half in a transaction."""
        end = journal.append(arrivals("P-1"), Head())
        with pytest.raises(ConflictError):
            journal.append(arrivals("P-2"), Head())
        with pytest.raises(NotWrittenError):
            journal.append(arrivals("P-1", after=end), end)

        journal.append(arrivals("P-3", after=end), end)

        assert [each.seq for each in journal.records()] == [1, 2]

    def test_nothing_is_kept_apart_for_an_append_in_conflict(self, journal: Journal) -> None:
        """An identifier without its event could never be found and erased."""
        journal.append(arrivals("P-1"), Head())

        with pytest.raises(ConflictError):
            journal.append(arrivals("P-2"), Head())

        assert journal.private("key-P-2") is None

    @pytest.mark.parametrize(
        "value",
        [
            pytest.param("P-001", id="plain"),
            pytest.param("", id="empty"),
            pytest.param("Zoë Ångström 李", id="letters of other scripts"),
            pytest.param("a\x00b", id="a zero in the middle"),
            pytest.param("two\nlines\r\nand\x85three\u2028four", id="line ends of every kind"),
            pytest.param("\u202eright to left \U0001f9ea", id="direction mark and emoji"),
        ],
    )
    def test_what_is_kept_apart_comes_back_unchanged(self, journal: Journal, value: str) -> None:
        """An identifier changed in storage is another person's, and breaks its digest."""
        records = arrivals(value)

        journal.append(records, Head())

        assert journal.private(f"key-{value}") == PrivateRow(
            key=f"key-{value}", salt=f"salt-{value}", value=value
        )
        assert value in verify(journal).board.persons

    def test_a_key_nobody_used_is_not_found(self, journal: Journal) -> None:
        """Not found and erased are told apart by whoever asks."""
        journal.append(arrivals("P-1"), Head())

        assert journal.private("key-P-9") is None

    def test_a_journal_that_can_be_written_has_no_ailment(self, journal: Journal) -> None:
        """The banner that acts are not saved must never stand there without cause."""
        assert journal.ailment() is None

"""The check beside a running bay believes nothing: no hash, no event, and no snapshot."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import TYPE_CHECKING

import apsw
import pytest

from journal.samples import STAMP, day
from readbell.core.board.board import Board
from readbell.core.board.record_check import RecordCheck, RecordState
from readbell.journal import checking
from readbell.journal.checking import GONE, LIES, as_line, check, check_file, from_line
from readbell.journal.record import Head, Record, link
from readbell.journal.snapshot import Written, taking
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import verify

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

RECORDS = day()
LAST = RECORDS[-1].seq


def journal_of(path: Path, records: Sequence[Record] = RECORDS) -> SqliteJournal:
    """Make a journal that holds `records`."""
    made = SqliteJournal.open(path)
    made.append(records, Head())
    return made


def keep(journal: SqliteJournal, board: Board, head: Head) -> None:
    """Put a snapshot beside the record that says `board` of `head`, true or not."""
    written = list(taking(board, STAMP, head))[-1]
    assert isinstance(written, Written)
    assert journal.keep_snapshot(written.parts, frozenset(), journal.erasures())


def found_in(journal: SqliteJournal) -> RecordCheck:
    """Check `journal`."""
    return check(journal, lambda _: None)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where the journal of a test stands."""
    return tmp_path / "bay.journal"


@pytest.mark.parametrize("end", [LAST // 2, LAST])
def test_a_whole_record_with_a_true_snapshot_is_whole(path: Path, end: int) -> None:
    """Of its end, or of an earlier day."""
    journal = journal_of(path, RECORDS[:end])
    keep(journal, verify(journal).board, journal.head())
    journal.append(RECORDS[end:], journal.head())

    assert found_in(journal) == RecordCheck(state=RecordState.WHOLE, event=LAST)
    journal.close()


def test_where_the_snapshot_is_gone_nobody_is_told_that_it_was_compared(path: Path) -> None:
    """An identifier was erased since the start, or the program renewed; the events are whole."""
    journal = journal_of(path)

    assert found_in(journal) == RecordCheck(state=RecordState.NOT_CHECKED, event=LAST, why=GONE)
    journal.close()


def test_it_says_how_far_it_has_come(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A stretch at a time, and each percent once."""
    monkeypatch.setattr(checking, "A_STRETCH", 3)
    journal = journal_of(path)
    told: list[RecordCheck] = []

    check(journal, told.append)

    percents = [each.percent for each in told]
    assert percents == sorted(set(percents))
    assert percents[-1] == 100
    assert len(percents) > 5
    assert {each.state for each in told} == {RecordState.CHECKING}
    journal.close()


@pytest.mark.parametrize("broken", [1, 5, LAST])
def test_a_changed_event_is_named(path: Path, broken: int) -> None:
    """Before the snapshot or after it."""
    journal = journal_of(path)
    keep(journal, verify(journal).board, journal.head())
    _change(path, "UPDATE event SET body = replace(body, 'bench', 'bunch') WHERE seq = ?", broken)

    found = found_in(journal)

    assert (found.state, found.event) == (RecordState.BROKEN, broken)
    assert "it was changed" in found.why
    journal.close()


def test_an_event_that_is_missing_is_named(path: Path) -> None:
    """From the middle."""
    journal = journal_of(path)
    _change(path, "DELETE FROM event WHERE seq = 4")

    assert (found_in(journal).event, found_in(journal).state) == (4, RecordState.BROKEN)
    journal.close()


def test_events_that_were_taken_off_the_end_are_missed(path: Path) -> None:
    """The snapshot remembers that they were there; the chain alone would not."""
    journal = journal_of(path)
    keep(journal, verify(journal).board, journal.head())
    _change(path, "DELETE FROM event WHERE seq > ?", LAST - 2)

    found = found_in(journal)

    assert (found.state, found.event) == (RecordState.BROKEN, LAST - 1)
    assert "missing" in found.why
    journal.close()


def test_a_well_chained_event_that_cannot_have_happened_is_named(path: Path) -> None:
    """Whoever can write the file can chain; what they write must still make sense."""
    twice = RECORDS[-1].body
    again = Record(seq=LAST + 1, body=twice, hash=link(RECORDS[-1].hash, twice))
    journal = journal_of(path, [*RECORDS, again])

    found = found_in(journal)

    assert (found.state, found.event) == (RecordState.BROKEN, LAST + 1)
    journal.close()


LIARS = [
    pytest.param({"ended": {}}, id="a result is left out"),
    pytest.param({"persons": {"P-001": "key-P-002"}}, id="a result is somebody else's"),
    pytest.param({"stopped_cleanly": True}, id="a clean end that was none"),
]


@pytest.mark.parametrize("lie", LIARS)
def test_a_snapshot_that_lies_is_found_out(path: Path, lie: dict[str, object]) -> None:
    """Well made, with the right end and the right digests: only the events tell."""
    journal = journal_of(path)
    board = replace(verify(journal).board, **lie)  # type: ignore[arg-type]
    keep(journal, board, journal.head())

    found = found_in(journal)

    assert (found.state, found.why) == (RecordState.BROKEN, LIES)
    journal.close()


def test_a_snapshot_in_another_order_lies(path: Path) -> None:
    """Who came first, and which adoption counts, is told by the order alone."""
    journal = journal_of(path)
    board = verify(journal).board
    turned = dict(reversed(list(board.persons.items())))
    keep(journal, replace(board, persons=turned), journal.head())

    assert found_in(journal).why == LIES
    journal.close()


def test_a_snapshot_of_another_record_lies(path: Path) -> None:
    """Somebody wrote the whole chain anew; the snapshot remembers how it was."""
    journal = journal_of(path)
    board = verify(journal).board
    keep(journal, board, Head(seq=LAST, hash=bytes(32)))

    assert found_in(journal).why == LIES
    journal.close()


def test_nothing_on_a_board_escapes_the_comparison(path: Path) -> None:
    """A field that is added later is compared as well."""
    journal = journal_of(path)
    board = verify(journal).board
    keep(journal, board, journal.head())
    journal.close()

    compared = {each.name for each in fields(Board) if each.compare}

    assert compared == {each.name for each in fields(Board)}


def test_a_file_that_cannot_be_opened_is_told_as_not_checked(path: Path) -> None:
    """Nothing is known against the record, and nobody is to think that it was checked."""
    told: list[RecordCheck] = []

    check_file(path, told.append)

    assert [each.state for each in told] == [RecordState.NOT_CHECKED]
    assert str(path) in told[0].why


def test_a_damaged_file_is_broken(path: Path) -> None:
    """Pages that no event lies in may be broken too: an index, for one."""
    journal = journal_of(path)
    journal.close()
    _change(
        path,
        "PRAGMA writable_schema=ON;"
        "UPDATE sqlite_schema SET rootpage = 2 WHERE name LIKE 'sqlite_autoindex_private%'",
        drops=False,
    )
    told: list[RecordCheck] = []

    check_file(path, told.append)

    assert told[-1].state is not RecordState.WHOLE


@pytest.mark.parametrize(
    "found",
    [
        RecordCheck(state=RecordState.CHECKING, percent=43),
        RecordCheck(state=RecordState.WHOLE, event=9),
        RecordCheck(state=RecordState.BROKEN, event=7, why="it was changed"),
    ],
)
def test_what_is_said_on_a_line_is_understood(found: RecordCheck) -> None:
    """The two ends of one pipe."""
    assert from_line(as_line(found)) == found


def _change(path: Path, what: str, *values: int, drops: bool = True) -> None:
    """Do to the file what its own rules forbid."""
    with apsw.Connection(str(path)) as found:
        if drops:
            found.execute("DROP TRIGGER event_stays; DROP TRIGGER event_is_kept")
        found.execute(what, values)
    found.close()

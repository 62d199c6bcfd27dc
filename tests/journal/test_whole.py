"""A journal and what lies beside it are asked as one."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from journal.samples import arrivals
from readbell.journal.continuation import Continuation
from readbell.journal.record import Head, PrivateRow
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.whole import Whole

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


class Walked(tuple[PrivateRow, ...]):
    """Rows that count how often somebody walked over them."""

    __slots__ = ()
    walks = 0

    def __iter__(self) -> Iterator[PrivateRow]:
        """Count, and walk."""
        Walked.walks += 1
        return super().__iter__()


def test_names_are_found_on_both_sides_and_what_is_beside_is_walked_once(tmp_path: Path) -> None:
    """A room asks for the names of all its people: else it would wait for their square."""
    stored = arrivals("P-1", "P-2")
    beside = arrivals("P-3", "P-4", after=stored[-1].head)
    path = tmp_path / "bay.journal"
    journal = SqliteJournal.open(path)
    journal.append(stored, Head())
    spilled = Continuation.begin(path, (), stored[-1].head, "x")
    spilled.append(beside)
    spilled.records = [replace(each, private=Walked(each.private)) for each in beside]
    whole = Whole(journal, [spilled])
    Walked.walks = 0

    for each in (*stored, *beside):
        for row in each.private:
            assert whole.private(row.key) == row
    assert whole.private("key-of-nobody") is None

    assert Walked.walks == len(beside)
    spilled.close()
    journal.close()

"""What lies beside a journal until the program that writes it enters it."""

from __future__ import annotations

import os
import stat
from typing import TYPE_CHECKING

import pytest

from readbell.journal.errors import JournalError
from readbell.journal.receipts import (
    leave_receipt,
    read_receipt,
    receipts_beside,
    set_aside,
    take_away,
)

if TYPE_CHECKING:
    from pathlib import Path


def test_a_receipt_lies_beside_its_journal_until_it_is_taken_away(tmp_path: Path) -> None:
    """For its owner's eyes alone, and for no other journal."""
    journal = tmp_path / "bay.journal"
    assert list(receipts_beside(journal)) == []
    place = leave_receipt(journal, "what left")
    assert list(receipts_beside(journal)) == [place]
    assert list(receipts_beside(tmp_path / "other.journal")) == []
    assert stat.S_IMODE(place.stat().st_mode) == 0o600
    assert read_receipt(place) == "what left"
    take_away(place)
    assert list(tmp_path.iterdir()) == []
    take_away(place)
    assert read_receipt(place) is None


def test_those_that_wait_come_in_the_order_in_which_they_were_left(tmp_path: Path) -> None:
    """Entered the other way round, a result would seem to have left as it was before."""
    journal = tmp_path / "bay.journal"
    left = [leave_receipt(journal, f"{number}") for number in range(8)]
    for number, place in enumerate(left):
        os.utime(place, ns=(number, number))  # a disk may keep time more coarsely than we write
    assert list(receipts_beside(journal)) == left


def test_one_that_was_refused_is_kept_and_not_looked_at_again(tmp_path: Path) -> None:
    """Somebody may want to know what it said."""
    journal = tmp_path / "bay.journal"
    place = leave_receipt(journal, "what left")
    set_aside(place)
    assert list(receipts_beside(journal)) == []
    assert [each.read_text() for each in tmp_path.iterdir()] == ["what left"]


def test_where_none_can_be_left_that_is_said(tmp_path: Path) -> None:
    """An export that is not on record was none."""
    with pytest.raises(JournalError, match="cannot be noted"):
        leave_receipt(tmp_path / "none" / "bay.journal", "what left")
    assert list(receipts_beside(tmp_path / "none" / "bay.journal")) == []

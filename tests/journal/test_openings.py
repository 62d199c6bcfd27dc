"""Looks that were noted beside a journal in use: none is lost, none is shown unnoted."""

from __future__ import annotations

import os
import stat
from typing import TYPE_CHECKING

import pytest

from builders import START, at
from readbell.core.keeping.events import TraceOf, TraceOpened
from readbell.core.staff.events import Opened, RecordOpened
from readbell.journal.errors import JournalError
from readbell.journal.openings import (
    TAKEN,
    forget_openings,
    note_opening,
    openings_beside,
    take_openings,
)

if TYPE_CHECKING:
    from pathlib import Path

LOOKS = (
    RecordOpened(at=START, by="key-1", person="key-2", what=Opened.TRACE, since=None),
    TraceOpened(at=at("1:00"), by="key-1", of=TraceOf.LOT, about="L-100", since=START),
)


@pytest.fixture
def journal(tmp_path: Path) -> Path:
    """Where a journal would stand."""
    return tmp_path / "bay.journal"


def test_what_was_noted_is_taken_in_its_order_and_then_forgotten(journal: Path) -> None:
    """Readable by its owner alone, and gone once it is on record."""
    for each in LOOKS:
        note_opening(journal, each)
    assert stat.S_IMODE(openings_beside(journal).stat().st_mode) == 0o600
    assert take_openings(journal) == LOOKS
    forget_openings(journal)
    assert take_openings(journal) == ()
    assert list(journal.parent.iterdir()) == []


def test_a_look_while_others_are_entered_is_not_lost(journal: Path) -> None:
    """It goes into a file of its own, and is entered next."""
    note_opening(journal, LOOKS[0])
    assert take_openings(journal) == LOOKS[:1]
    note_opening(journal, LOOKS[1])
    forget_openings(journal)
    assert take_openings(journal) == LOOKS[1:]


def test_what_was_taken_before_a_power_cut_is_taken_again(journal: Path) -> None:
    """And what was noted since waits for its turn."""
    note_opening(journal, LOOKS[0])
    take_openings(journal)
    note_opening(journal, LOOKS[1])
    assert take_openings(journal) == LOOKS[:1]
    forget_openings(journal)
    assert take_openings(journal) == LOOKS[1:]


def test_a_file_that_is_moved_away_under_the_hand_is_written_anew(
    journal: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The line was perhaps written into what had been read already."""
    real = os.fsync
    moved: list[int] = []

    def moving(handle: int) -> None:
        real(handle)
        if not moved:
            moved.append(handle)
            openings_beside(journal).rename(journal.with_name("read-already"))

    monkeypatch.setattr(os, "fsync", moving)
    note_opening(journal, LOOKS[0])
    assert take_openings(journal) == LOOKS[:1]


def test_a_line_cut_short_and_one_that_is_no_look_are_passed_over(journal: Path) -> None:
    """The first was never shown to anybody."""
    note_opening(journal, LOOKS[0])
    with openings_beside(journal).open("ab") as file:
        file.write(b'{"kind":"bay-founded","event":{}}\nrubbish\n{"kind":"rec')
    assert take_openings(journal) == LOOKS[:1]


def test_what_is_noted_behind_a_line_cut_short_is_not_lost_with_it(journal: Path) -> None:
    """A full disk, or a crash, left half a line at the end of the file."""
    note_opening(journal, LOOKS[0])
    with openings_beside(journal).open("ab") as file:
        file.write(b'{"kind":"rec')
    note_opening(journal, LOOKS[1])
    assert take_openings(journal) == LOOKS


def test_half_a_line_on_a_full_disk_is_no_note(
    journal: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was not noted whole is not shown."""
    real = os.write
    monkeypatch.setattr(os, "write", lambda handle, line: real(handle, line[:9]))
    with pytest.raises(JournalError, match="No space left"):
        note_opening(journal, LOOKS[0])
    monkeypatch.undo()
    note_opening(journal, LOOKS[1])
    assert take_openings(journal) == LOOKS[1:]


def test_what_cannot_be_noted_is_said(journal: Path) -> None:
    """A look without a trace is not taken."""
    openings_beside(journal).mkdir()
    with pytest.raises(JournalError, match="a look that cannot be noted is not taken"):
        note_opening(journal, LOOKS[0])
    journal.with_name(openings_beside(journal).name + TAKEN).mkdir()
    assert take_openings(journal) == ()

"""What is told of a shift bears the times that the clock on the wall showed in it."""

from __future__ import annotations

from contextlib import closing
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import START
from journal.samples import STAMP
from readbell.cli.kept_shifts import open_kept
from readbell.core.board.events import BayFounded, ClockJumped, Mode
from readbell.core.instant import HOUR, Span, later
from readbell.core.shift.events import ShiftOpened
from readbell.journal.codec import encode_each
from readbell.journal.envelope import Envelope
from readbell.journal.record import Head
from readbell.journal.sqlite import SqliteJournal

if TYPE_CHECKING:
    from pathlib import Path

    from readbell.core.board.event import Event

NIGHT = Span(15 * HOUR)


@pytest.fixture
def journal(tmp_path: Path) -> Path:
    """A shift, a night whose length nobody knew that moved the wall clock alone, another shift."""
    begun = later(START, Span(HOUR))
    events: list[Event] = [
        BayFounded(at=START, bay="Harrow Quay", timezone="UTC", mode=Mode.LIVE),
        ShiftOpened(at=START, by="key-1", number=1, checks=()),
        ClockJumped(at=begun, by_span=NIGHT, cartridges=()),
        ShiftOpened(at=begun, by="key-1", number=2, checks=()),
    ]
    envelopes = [
        Envelope(
            id=f"event-{number}",
            event=event,
            stamp=replace(STAMP, mode=Mode.LIVE, at=event.at, wall=event.at),
            assay=None,
        )
        for number, event in enumerate(events, 1)
    ]
    with closing(SqliteJournal.open(tmp_path / "bay.journal")) as made:
        made.append(encode_each(envelopes, Head()), Head())
    return tmp_path / "bay.journal"


def test_a_shift_after_a_night_of_unknown_length_is_of_its_own_day(journal: Path) -> None:
    """The sheet that is signed would else bear the date of the day before."""
    with open_kept(journal) as kept:
        opened = [kept.local(each.shift.opened.at) for each in kept.shifts.values()]
    first, second = opened
    assert (second - first).total_seconds() * 1000 == HOUR + NIGHT
    assert int(first.timestamp() * 1000) == START

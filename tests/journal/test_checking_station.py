"""The check of a station's record holds its snapshot to the board of that station, and to no other."""

from __future__ import annotations

from contextlib import closing
from dataclasses import replace
from typing import TYPE_CHECKING

from builders import START
from journal.samples import STAMP
from readbell.core.board.board import Board
from readbell.core.board.events import BayFounded, Mode, MuteReason, SoundMuted
from readbell.core.board.fold import replay
from readbell.core.board.own import concerns
from readbell.core.board.record_check import RecordState
from readbell.core.instant import MINUTE, Span, later
from readbell.journal.checking import check
from readbell.journal.codec import encode_each
from readbell.journal.envelope import Envelope
from readbell.journal.record import Head
from readbell.journal.snapshot import NOTHING, taking
from readbell.journal.sqlite import SqliteJournal

if TYPE_CHECKING:
    from pathlib import Path

    from readbell.core.board.event import Event
    from readbell.core.board.record_check import RecordCheck


def checked(path: Path, station: str | None) -> RecordCheck:
    """Return what the check says of a mirror whose snapshot is of the board at the window."""
    events: tuple[tuple[str, Event], ...] = (
        ("window", BayFounded(at=START, bay="Quay", timezone="UTC", mode=Mode.LIVE)),
        (
            "bench",
            SoundMuted(
                at=START,
                by="key-op",
                reason=next(iter(MuteReason)),
                until=later(START, Span(5 * MINUTE)),
            ),
        ),
    )
    envelopes = [
        Envelope(id=f"e{place}", event=event, stamp=replace(STAMP, station=where), assay=None)
        for place, (where, event) in enumerate(events)
    ]
    board = replay(
        [
            each.event
            for each in envelopes
            if concerns(each.event, own=each.stamp.station == "window")
        ],
        Board(),
    )
    with closing(SqliteJournal.open(path)) as journal:
        end = journal.append(encode_each(envelopes, Head()), Head())
        *_, written = taking(board, envelopes[-1].stamp, end, NOTHING)
        assert written is not None
        assert journal.keep_snapshot(written.parts, written.stay, journal.erasures())
        return check(journal, lambda _: None, station)


def test_the_snapshot_of_a_station_leaves_out_what_stays_at_others(tmp_path: Path) -> None:
    """Somebody muted the bell at the bench; at the window nothing of it is on the board."""
    assert checked(tmp_path / "bay.mirror", "window").state is RecordState.WHOLE


def test_the_snapshot_of_another_station_is_none_of_this_one(tmp_path: Path) -> None:
    """A mirror was copied from one computer to another: it is found out, and not believed."""
    found = checked(tmp_path / "bay.mirror", "bench")

    assert found.state is RecordState.BROKEN

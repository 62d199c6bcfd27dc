"""A real bay on a real file: taken up from a snapshot, checked beside its work, and told."""

from __future__ import annotations

import asyncio
import threading
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import apsw
import pytest

from journal.samples import STAMP
from patience import PATIENCE_SECONDS
from readbell.assembly import live_bay
from readbell.bay import checking, snapshots
from readbell.bay.bay_thread import BayThread
from readbell.bay.opening import Founding
from readbell.core.board.events import Ending, Mode
from readbell.core.board.record_check import RecordCheck, RecordState
from readbell.core.instant import Span
from readbell.journal.checking import LIES, says_the_same
from readbell.journal.errors import BrokenChainError
from readbell.journal.snapshot import read_snapshot, taking
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import verify
from readbell.rehearsals import load_script, rehearse

if TYPE_CHECKING:
    from readbell.bay.news import News

DEMOS = sorted((Path(__file__).parents[1] / "demo_scenarios").glob("*.toml"))
FOUNDING = Founding(bay="Harrow Quay", timezone="UTC", mode=Mode.LIVE)
SETTLED = checking.SETTLED


@pytest.fixture(autouse=True)
def _at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(snapshots, "WORTH_IT", 1)
    monkeypatch.setattr(checking, "AFTER", Span(0))


def run(path: Path) -> RecordCheck:
    """Take the bay up, wait until it is known how the record stands, and lay it down."""
    settled, heard = threading.Event(), list[RecordCheck]()

    def hear(news: News) -> None:
        heard.append(news.record_check)
        if news.record_check.state in SETTLED:
            settled.set()

    thread = BayThread(lambda: live_bay(path, FOUNDING, hear, lambda: Ending.SIGNAL))
    thread.start()
    try:
        assert settled.wait(PATIENCE_SECONDS)
        return thread.present().record_check
    finally:
        thread.stop()


def test_the_second_start_takes_up_a_snapshot_and_checks_the_record(tmp_path: Path) -> None:
    """The first reads all of it, so there is nothing left to check."""
    path = tmp_path / "bay.journal"

    first, second = run(path), run(path)

    assert first == RecordCheck(state=RecordState.WHOLE)
    # The founding, and a start and a stop of the first run and the start of the second.
    assert second == RecordCheck(state=RecordState.WHOLE, event=4)


def test_a_record_changed_in_its_past_is_found_and_the_next_start_refuses_it(
    tmp_path: Path,
) -> None:
    """The bay that runs goes on; whoever starts anew is told what is wrong."""
    path = tmp_path / "bay.journal"
    run(path)
    with apsw.Connection(str(path)) as found:
        found.execute("DROP TRIGGER event_stays")
        found.execute("UPDATE event SET body = replace(body, 'Harrow', 'Hallow') WHERE seq = 1")

    broken = run(path)

    assert (broken.state, broken.event) == (RecordState.BROKEN, 1)
    with pytest.raises(BrokenChainError):
        run(path)


def test_a_snapshot_that_lies_is_found_and_gone_at_the_next_start(tmp_path: Path) -> None:
    """Well made, with the right end: the record itself is whole, and is read again."""
    path = tmp_path / "bay.journal"
    run(path)
    journal = SqliteJournal.open(path)
    true = read_snapshot(journal.snapshot())
    assert true is not None
    wrong = list(taking(replace(true.board, open_lot="L-1"), true.last, true.head))[-1]
    assert wrong is not None
    assert journal.keep_snapshot(wrong.parts, wrong.stay, journal.erasures())
    journal.close()

    found, after = run(path), run(path)

    assert (found.state, found.why) == (RecordState.BROKEN, LIES)
    assert after == RecordCheck(state=RecordState.WHOLE)
    whole = SqliteJournal.open(path, read_only=True)
    assert verify(whole).board.open_lot is None
    whole.close()


@pytest.mark.parametrize("demo", [pytest.param(each, id=each.stem) for each in DEMOS])
def test_whatever_a_board_holds_a_snapshot_holds(demo: Path) -> None:
    """A field or a class that is added and cannot be kept would make every start slow, unnoticed."""
    played = asyncio.run(
        rehearse(load_script(demo), None, None, lambda _: None, lambda _entry, _answer: None)
    )

    written = list(taking(played.board, STAMP, played.head))[-1]

    assert written is not None
    found = read_snapshot(written.parts)
    assert found is not None
    assert says_the_same(played.board, found)

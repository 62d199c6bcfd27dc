"""Snapshots are taken beside the work, and never of what the journal does not say."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from readbell.bay import snapshots
from readbell.bay.snapshots import Snapshots
from readbell.core.board.record_check import RecordCheck, RecordState
from readbell.journal.keeper import NotSaved
from readbell.journal.snapshot import Snapshot, read_snapshot
from readbell.journal.verify import verify

if TYPE_CHECKING:
    from bay.conftest import Work
    from readbell.core.instant import Span
    from readbell.journal.sqlite import SqliteJournal


class Pauses:
    """Counts how often somebody was let go first, and stops after so many."""

    def __init__(self, most: int = 1_000_000) -> None:
        self.spans: list[Span | None] = []
        self.most = most
        self.stopped: Snapshots | None = None

    async def sleep(self, span: Span | None) -> None:
        """Note it."""
        self.spans.append(span)
        if self.stopped is not None and len(self.spans) >= self.most:
            self.stopped.stop()

    def wake(self) -> None:
        """Nobody sleeps."""

    def retire(self) -> None:
        """Nobody slept."""


@pytest.fixture(autouse=True)
def _few_are_worth_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(snapshots, "WORTH_IT", 1)


def store_of(work: Work) -> SqliteJournal:
    """Return where the bay of `work` writes."""
    store: SqliteJournal = work.keeper._journal  # type: ignore[assignment]
    return store


def taking(work: Work, pauses: Pauses, found: Snapshot | None = None) -> Snapshots:
    """Return what takes snapshots of the bay of `work`."""
    made = Snapshots(
        recorder=work.bay._recorder,
        keeper=work.keeper,
        sleeper=pauses,
        store=store_of(work),
        found=found,
        erasures=store_of(work).erasures(),
    )
    pauses.stopped = made
    return made


async def kept(work: Work) -> Snapshot | None:
    """Return the snapshot beside the record of `work`."""
    return read_snapshot(await work.keeper.read(lambda _: store_of(work).snapshot()))


async def test_the_last_one_says_what_the_record_says(work: Work) -> None:
    """The next start takes it up and stands where this run ended."""
    await work.to_well()

    await taking(work, Pauses()).finish()

    found = await kept(work)
    assert found is not None
    whole = await work.keeper.read(lambda _: verify(store_of(work)))
    assert (found.board, found.head) == (whole.board, whole.head)
    assert found.board == work.bay.board
    assert found.last == work.bay._recorder.last


async def test_open_boxes_are_kept_in_the_order_in_which_they_were_opened(work: Work) -> None:
    """The key that takes another one goes through them in it, after a start as before."""
    boxes = {"throat": "L-300", "nasal": "L-100", "a third": "L-200"}
    work.bay._recorder.board = replace(work.bay.board, open_lot="L-200", open_boxes=boxes)

    await taking(work, Pauses()).finish()

    found = await kept(work)
    assert found is not None
    assert [*found.board.open_boxes.items()] == [*boxes.items()]
    assert found.board.open_lot == "L-200"


async def test_after_so_many_events_one_is_taken_while_the_bay_runs(
    work: Work, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A computer that loses its power starts as quickly; and others go first between its steps."""
    monkeypatch.setattr(snapshots, "EACH", 3)
    pauses = Pauses(most=80)

    await taking(work, pauses).run()

    assert await kept(work) is not None
    assert pauses.spans.count(snapshots.BETWEEN_STEPS) > 10
    assert snapshots.LOOK_EACH in pauses.spans


async def test_one_that_is_stopped_half_way_leaves_what_was_there(
    work: Work, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The bay is laid down, and takes its last one itself."""
    monkeypatch.setattr(snapshots, "EACH", 3)

    await taking(work, Pauses(most=2)).run()

    assert await kept(work) is None


async def test_with_few_events_since_the_last_none_is_taken(work: Work) -> None:
    """Each look costs nothing as long as there is little to read at a start."""
    await taking(work, Pauses(most=1)).run()

    assert await kept(work) is None


async def test_a_short_record_is_read_whole_at_each_start(
    work: Work, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Then it is checked whole before anything is shown, too."""
    monkeypatch.setattr(snapshots, "WORTH_IT", 1_000)

    await taking(work, Pauses()).finish()

    assert await kept(work) is None


async def test_none_is_taken_while_events_go_beside_the_journal(work: Work) -> None:
    """It would speak of events that the journal has not."""
    work.keeper.not_saved = NotSaved(why="the disk is full", continuation=None)

    await taking(work, Pauses()).finish()

    work.keeper.not_saved = None
    assert await kept(work) is None


async def test_none_is_taken_of_what_no_disk_has(work: Work) -> None:
    """An alarm that was shown without being recorded will fall again."""
    work.bay._recorder.show([(await work.stored())[1].event])

    await taking(work, Pauses()).finish()

    assert await kept(work) is None


async def test_what_no_snapshot_can_hold_stops_nothing(work: Work) -> None:
    """The next start reads the whole record, as if there never had been any."""
    lots: Any = ["L-100"]
    work.bay._recorder.board = replace(work.bay.board, open_lot=lots)

    await taking(work, Pauses()).finish()

    assert await kept(work) is None


@pytest.mark.parametrize("at_the_end", [False, True])
async def test_on_a_broken_record_none_is_left(work: Work, *, at_the_end: bool) -> None:
    """The next start reads every event, and says which of them is wrong."""
    pauses = Pauses(most=1)
    made = taking(work, pauses)
    await made.finish()
    work.bay._recorder.record_check = RecordCheck(state=RecordState.BROKEN, event=3)

    await (made.finish() if at_the_end else made.run())

    assert await kept(work) is None

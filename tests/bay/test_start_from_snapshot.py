"""A start from a snapshot is the start that the whole record would give, or it is that one."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import apsw
import pytest

from readbell.bay.bay import Bay
from readbell.bay.identifiers import DerivedIdentifiers
from readbell.bay.opening import Founding
from readbell.bay.recorder import Recorder
from readbell.core.board.events import Mode
from readbell.core.cartridge.events import AlertKind
from readbell.journal.errors import BrokenChainError
from readbell.journal.keeper import Keeper
from readbell.journal.record import Head
from readbell.journal.snapshot import Snapshot, read_snapshot, taking
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import verify

if TYPE_CHECKING:
    from collections.abc import Callable

    from bay.conftest import HandClock, Place
    from readbell.bay.news import Return
    from readbell.core.board.board import Board


async def worked(place: Place) -> HandClock:
    """Leave a bay with somebody read, somebody at the well, and a snapshot in between."""
    work = await place.take_up()
    await work.prepare()
    await work.to_well("C1", "P-001")
    work.clock.advance("16:00")
    await work.must(work.read("C1"))
    await work.to_well("C2", "P-002")
    recorder = work.bay._recorder
    assert recorder.last is not None
    parts = list(taking(recorder.board, recorder.last, work.keeper.head))[-1]
    assert parts is not None
    store: SqliteJournal = work.keeper._journal  # type: ignore[assignment]
    assert await work.keeper.read(
        lambda _: store.keep_snapshot(parts.parts, parts.stay, store.erasures())
    )
    await work.look_about()
    await work.close()
    return work.clock


async def started(
    place: Place, clock: HandClock, change: Callable[[Snapshot], Snapshot] = lambda found: found
) -> tuple[Board, Return, int]:
    """Start from the snapshot as `change` leaves it; return what stands, and events read for it."""
    journal = SqliteJournal.open(place.path)
    found = read_snapshot(journal.snapshot())
    assert found is not None
    read: list[int] = []
    before = journal.records

    def records(after: int = 0):  # type: ignore[no-untyped-def]  # as the one it stands for
        for record in before(after):
            read.append(record.seq)
            yield record

    journal.records = records  # type: ignore[method-assign]
    keeper = Keeper(journal, place.path)
    recorder = Recorder(
        keeper=keeper,
        clock=clock,
        identifiers=DerivedIdentifiers(b"again"),
        station="left",
        program="1",
        snapshot=change(found),
    )
    bay = Bay(
        recorder=recorder, keeper=keeper, clock=clock, identifiers=DerivedIdentifiers(b"again")
    )
    try:
        back = await bay.open(Founding(bay="Harrow Quay", timezone="UTC", mode=Mode.LIVE))
        return bay.board, back, len(set(read))
    finally:
        await keeper.close()


async def whole_of(place: Place) -> Board:
    """Return the board that the whole record gives."""
    journal = SqliteJournal.open(place.path, read_only=True)
    try:
        return verify(journal).board
    finally:
        journal.close()


async def test_it_gives_the_same_board_and_reads_only_what_came_after(place: Place) -> None:
    """However long the bay has been at work."""
    clock = await worked(place)
    clock.advance("16:00")

    board, back, read = await started(place, clock)

    assert board == await whole_of(place)
    assert [each.alert for each in back.fell_due] == [
        AlertKind.EARLY_LOOK,
        AlertKind.READ_NOW,
    ]
    assert back.clean
    assert read < 5


async def not_believed(place: Place, change: Callable[[Snapshot], Snapshot]) -> None:
    """Check that a snapshot so changed is thrown away and every event is read instead."""
    clock = await worked(place)

    board, _, read = await started(place, clock, change)

    assert board == await whole_of(place)
    assert read > 20


async def test_one_with_another_hash_is_not_believed(place: Place) -> None:
    """It is of another record, however alike the two are."""

    def other(found: Snapshot) -> Snapshot:
        return replace(found, head=Head(seq=found.head.seq, hash=bytes(32)))

    await not_believed(place, other)


async def test_one_that_ends_elsewhere_is_not_believed(place: Place) -> None:
    """Else events would be taken in twice, or not at all."""

    def other(found: Snapshot) -> Snapshot:
        return replace(found, head=Head(seq=found.head.seq - 1, hash=found.head.hash))

    await not_believed(place, other)


async def test_one_of_more_events_than_there_are_is_not_believed(place: Place) -> None:
    """The journal was brought back from an older copy, or lost its end."""

    def other(found: Snapshot) -> Snapshot:
        return replace(found, head=Head(seq=found.head.seq + 500, hash=found.head.hash))

    await not_believed(place, other)


async def test_an_event_changed_after_it_is_found_at_once(place: Place) -> None:
    """What came after the snapshot is checked as it is read."""
    clock = await worked(place)
    with apsw.Connection(str(place.path)) as found:
        found.execute("DROP TRIGGER event_stays")
        found.execute(
            "UPDATE event SET body = body || ' ' WHERE seq = (SELECT max(seq) FROM event)"
        )

    with pytest.raises(BrokenChainError, match="it was changed"):
        await started(place, clock)

"""The instant of an act is its confirmation, however long the disk makes it wait."""

from __future__ import annotations

from contextlib import closing
from typing import TYPE_CHECKING

import apsw

from builders import span
from readbell.core.board.entry import Do, Entry
from readbell.core.instant import later
from readbell.core.refusal import RefusalCode
from readbell.journal.sqlite import SqliteJournal

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bay.conftest import HandClock, Place
    from readbell.journal.record import Head, Record


class SlowDisk(SqliteJournal):
    """A journal on a disk that takes two seconds for whatever it is given, once it is tired."""

    clock: HandClock | None = None

    def append(self, records: Sequence[Record], expected: Head) -> Head:
        """Store `records` and let time go by."""
        end = super().append(records, expected)
        if self.clock is not None:
            self.clock.advance("0:02")
        return end


async def test_a_reading_counts_from_its_confirmation_not_from_its_turn(place: Place) -> None:
    """A valid reading must not be lost because an alert was being written when it was made."""
    disk = SlowDisk.open(None)
    work = await place.take_up(journal=disk)
    await work.prepare()
    await work.to_well()
    applied = work.cartridge().applied
    assert applied is not None
    work.clock.advance("19:59")
    confirmed = work.now()
    disk.clock = work.clock

    answer = await work.must(work.read())

    assert work.now() > later(applied.said, span("20:00"))
    assert answer.at == confirmed


async def test_acts_of_one_instant_are_judged_at_one_instant(place: Place) -> None:
    """Drops that fell with the withdrawal would otherwise be dated by the disk."""
    disk = SlowDisk.open(None)
    work = await place.take_up(journal=disk)
    await work.prepare()
    await work.to_extract()
    work.clock.advance("1:00")
    disk.clock = work.clock
    confirmed = work.now()

    answers = await work.bay.enter_together([work.step("withdraw"), work.step("apply")])

    assert [each.at for each in answers] == [confirmed, confirmed]


async def test_a_journal_that_lost_its_end_is_gone_on_beside(place: Place) -> None:
    """Whatever cut it, the bay must neither wait for ever nor pretend that all is saved."""
    work = await place.take_up()
    await work.prepare()
    with closing(apsw.Connection(str(place.path))) as hand:
        hand.execute("DROP TRIGGER event_is_kept")
        hand.execute("DELETE FROM event WHERE seq = (SELECT max(seq) FROM event)")

    refused = await work.refused(work.label())
    held = await work.enter(Entry(do=Do.HOLD_LOT, by="op-1", lot="L-100"))

    assert refused is RefusalCode.NOT_SAVED
    assert held.accepted
    assert work.keeper.not_saved is not None
    assert "lost events" in work.keeper.not_saved.why

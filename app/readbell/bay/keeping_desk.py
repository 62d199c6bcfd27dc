"""What is asked of a bay about its record: an archive of a closed period, an erasing."""

from __future__ import annotations

import asyncio
from functools import partial
from typing import TYPE_CHECKING

from readbell.bay.errors import WentOnError
from readbell.bay.shift_desk import today
from readbell.bay.site_time import site_date, time_zone
from readbell.core.board.allowed import refuse_actor
from readbell.core.board.closed_period import NOTHING_CLOSED, ClosedPeriod
from readbell.core.board.decide import decide
from readbell.core.board.erasable import Gathering
from readbell.core.board.keeping import undone_with
from readbell.core.keeping.acts import Erasable, EraseRecords, WriteArchive
from readbell.core.keeping.events import ErasedScope
from readbell.core.made_later import dataclass
from readbell.core.refusal import Refusal
from readbell.journal.codec import decode_each
from readbell.journal.errors import JournalError
from readbell.journal.record import Head
from readbell.journal.verify import chained
from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from datetime import date, tzinfo

    from readbell.bay.bay import Bay
    from readbell.bay.news import Answer
    from readbell.core.board.event import Event
    from readbell.core.keeping.acts import Period
    from readbell.core.private import Private
    from readbell.journal.archiving import Archived
    from readbell.journal.record import Record
    from readbell.journal.source import Source

NOTHING = Erasable(keys=(), persons=())
BEHIND = "this station has not all of the record yet: try again in a moment"
TELL_EACH = 1_000
"""Events between two words about how far it is."""


def nobody_told(_: int) -> None:
    """Tell nobody how far it is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepingDesk:
    """Reads the record through, and asks the bay for what comes of it."""

    private: Callable[[str], Private]
    """Keeps free text apart, so that it can be erased."""
    told: Callable[[int], None] = nobody_told
    """Is told how many events were read so far; from another thread."""

    async def erase_person(self, bay: Bay, by: str, patient: str, why: str) -> Answer:
        """Erase one person, at their request."""
        act = EraseRecords(
            by=by,
            scope=ErasedScope.PERSON,
            patient=patient,
            period=None,
            found=NOTHING,
            words=self.private(why),
        )
        person = bay.board.persons.get(patient)
        if refuse_actor(bay.board, act) is not None or person is None:
            return await bay.do(act)

        def made(gathering: Gathering) -> EraseRecords:
            return _filled(act, gathering, gathering.of_person(person), None)

        return await self._erase(bay, lambda _: True, made)

    async def erase_through(self, bay: Bay, by: str, day: date, why: str) -> Answer:
        """Erase everybody who was last seen in the closed period that ends with `day`.

        Raises:
            WrongFileError: the day has not ended yet.
        """
        act = EraseRecords(
            by=by,
            scope=ErasedScope.PERIOD,
            patient=None,
            period=NOTHING_CLOSED,
            found=NOTHING,
            words=self.private(why),
        )
        in_time = _in_time(bay, day)
        if refuse_actor(bay.board, act) is not None:
            return await bay.do(act)

        def made(gathering: Gathering) -> EraseRecords:
            found = gathering.of_period(undone_with(bay.board))
            return _filled(act, gathering, found, gathering.period.found)

        return await self._erase(bay, in_time, made)

    async def archive(
        self,
        bay: Bay,
        by: str,
        day: date,
        why: str,
        file: str,
        write: Callable[[int], Archived],
    ) -> Answer:
        """Write the closed period that ends with `day` into a file, and note that it was.

        Args:
            bay: the bay.
            by: the operator's ID.
            day: the last day that may be in it.
            why: the reason.
            file: where it is written, as it is noted.
            write: writes so many events, checked.

        Raises:
            WrongFileError: the day has not ended yet.
            JournalError: it could not be written.
        """
        in_time = _in_time(bay, day)
        period = await bay.look_into(lambda source: self._closed(source, in_time))
        words, name = self.private(why), self.private(file)

        def noting(head: str, digest: str) -> WriteArchive:
            return WriteArchive(
                by=by, period=period, head=head, digest=digest, file=name, words=words
            )

        # Nothing is written for somebody who may not have it.
        if isinstance(decide(bay.board, noting("", ""), bay.now()), Refusal):
            return await bay.do(noting("", ""))
        made = await asyncio.to_thread(write, period.events)
        return await bay.do(noting(made.head.hex, made.digest))

    async def _erase(
        self,
        bay: Bay,
        in_time: Callable[[int], bool],
        made: Callable[[Gathering], EraseRecords],
    ) -> Answer:
        """Do what is `made` of a record that nobody goes on with meanwhile: all of it is to go.

        What another station notes of somebody while the record is read is theirs as well.
        """
        gathering, end = Gathering(), Head()
        while True:
            read = await bay.look_into(partial(self._gather, gathering, end, in_time))
            try:
                return await bay.do(made(gathering), end=read)
            except WentOnError:
                await bay.take_in()
            if read == end:
                raise JournalError(BEHIND)
            end = read

    def _gather(
        self, gathering: Gathering, after: Head, in_time: Callable[[int], bool], source: Source
    ) -> Head:
        """Take in what the record has after `after`; return what it ends with."""
        end = after
        for event, is_in_time, end in self._events(source, in_time, after):  # noqa: B007  # the last
            gathering.see(event, in_time=is_in_time)
        return end

    def _closed(self, source: Source, in_time: Callable[[int], bool]) -> Period:
        period = ClosedPeriod()
        for event, is_in_time, _ in self._events(source, in_time):
            period.see(event, in_time=is_in_time)
        return period.found

    def _events(
        self, source: Source, in_time: Callable[[int], bool], after: Head | None = None
    ) -> Iterator[tuple[Event, bool, Head]]:
        """Yield each event after `after`, whether it is in time, and the end of the record up to it."""
        end = Head()

        def counted() -> Iterator[Record]:
            nonlocal end
            for record in chained(source, after):
                if record.seq % TELL_EACH == 0:
                    self.told(record.seq)
                end = record.head
                yield record

        for envelope in decode_each(counted(), source.private):
            yield envelope.event, in_time(envelope.stamp.wall), end


def _filled(
    act: EraseRecords, gathering: Gathering, found: Erasable, period: Period | None
) -> EraseRecords:
    return EraseRecords(
        by=act.by,
        scope=act.scope,
        patient=act.patient,
        period=period,
        found=found,
        words=act.words,
        words_name_them=gathering.names_one_of(act.words.value or "", found.persons),
    )


def _in_time(bay: Bay, day: date) -> Callable[[int], bool]:
    """Return what says of a wall clock, UTC milliseconds, whether `day` had not passed by then.

    Raises:
        WrongFileError: it has not ended yet.
    """
    present = bay.present()
    founded = present.board.founded
    if day >= today(present):
        msg = f"{day} has not ended yet: name a day before today"
        raise WrongFileError([msg])
    zone: tzinfo = time_zone("UTC" if founded is None else founded.timezone)
    return lambda wall: site_date(wall, zone) <= day

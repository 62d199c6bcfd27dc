"""Append first, show second: the one way by which anything gets onto the board."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.bay.around import AloneNow, Around
from readbell.bay.elsewhere import DoneElsewhere
from readbell.bay.news import News
from readbell.core.board.board import Board
from readbell.core.board.events import BayFounded
from readbell.core.board.fold import replay
from readbell.core.board.own import taken_in
from readbell.core.board.record_check import UNCHECKED
from readbell.core.board.sound import Sounding
from readbell.core.cartridge.events import AlertRaised, CartridgeLapsed
from readbell.core.making import maker_of
from readbell.journal.codec import decode_each, encode_each
from readbell.journal.envelope import RULES, Envelope, Stamp
from readbell.journal.record import Head
from readbell.journal.verify import chained, no_collection

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from readbell.bay.around import Presence
    from readbell.bay.identifiers import Identifiers
    from readbell.bay.news import Listener
    from readbell.clock.anchor import Anchor
    from readbell.clock.clock import Clock, Reading
    from readbell.core.board.event import Event
    from readbell.core.board.stations import Here
    from readbell.core.instant import Instant
    from readbell.journal.keeper import Keeper
    from readbell.journal.record import Record
    from readbell.journal.snapshot import Snapshot
    from readbell.journal.source import Source

_envelope = maker_of(Envelope)
"""Hundreds of events may come at once, and somebody waits for each."""
FOUND_DUE_AGAIN = (AlertRaised, CartridgeLapsed)
"""What the announcer comes by once more where it is not on the board."""


class Recorder:
    """Stamps events, has them stored, folds them and tells the listeners."""

    def __init__(
        self,
        *,
        keeper: Keeper,
        clock: Clock,
        identifiers: Identifiers,
        station: str,
        program: str,
        snapshot: Snapshot | None = None,
    ) -> None:
        self._keeper = keeper
        self._clock = clock
        self._identifiers = identifiers
        self._station = station
        self._program = program
        self._listeners: list[Listener] = []
        self._anchor: Anchor | None = None
        self._unrecorded: list[Event] = []
        self._news_of_others: list[Event] | None = None
        """What is being taken in, while somebody wants to know."""
        self._snapshot = snapshot
        self._recorded = Board()
        """What the events up to the keeper's end add up to: without what is only shown."""
        self._parted: Board | None = None
        """The same at the instant from which this station was alone."""
        self.presence: Presence | None = None
        """Who else is here; None: nobody shares this bay."""
        self.alone_since: Instant | None = None
        self.elsewhere = DoneElsewhere()
        """Who was first at another station, for whoever comes second here."""
        self.board = Board()
        self.last: Stamp | None = None
        self.sounding = Sounding()
        """How the alarm is doing; it goes with whatever is told."""
        self.record_check = UNCHECKED
        """What is known of the record as a whole; so too."""

    @property
    def is_behind(self) -> bool:
        """Whether something is shown that no disk has taken."""
        return bool(self._unrecorded)

    def subscribe(self, listener: Listener) -> None:
        """Tell `listener` of everything from now on."""
        self._listeners.append(listener)

    def anchor(self, anchor: Anchor) -> None:
        """Count the bay's time from `anchor`."""
        self._anchor = anchor

    def now(self) -> Instant:
        """Return where the bay's time line stands."""
        return self._anchored().instant(self._clock.read())

    def wall(self, reading: Reading) -> int:
        """Return the wall clock of the bay at `reading`, in UTC milliseconds: of a shared bay the server's."""
        presence = self.presence
        if presence is None or presence.offset is None:
            return reading.wall
        return self._anchored().instant(reading) - presence.offset

    async def load(self) -> None:
        """Take up what the journal holds after the events known already.

        Raises:
            BrokenChainError: names the event that is not what was written.
        """
        after = Head() if self.last is None else self._keeper.head
        self.board, self.last, head = await self._keeper.read(
            lambda source: self._rebuild(source, after)
        )
        self._keeper.caught_up(head)
        self._recorded = self.board

    async def follow(self) -> tuple[Event, ...]:
        """Take in what others recorded, tell the listeners of it, and return it.

        Raises:
            BrokenChainError: names the event that is not what was written.
        """
        self._news_of_others = []
        try:
            await self.load()
        finally:
            found, self._news_of_others = tuple(self._news_of_others), None
        if found:
            self._show(found, self.board, is_elsewhere=self.presence is not None)
        return found

    async def record(self, events: Sequence[Event], *, goes_beside: bool = True) -> None:
        """Put `events` on the disk, then on the board, then tell of them.

        What had to be shown before without being recorded goes first; with no
        `events` it goes alone.

        Args:
            events: what happened.
            goes_beside: whether it may happen at a station that finds itself alone by it.

        Raises:
            BrokenRecordError: they cannot have happened; nothing was stored.
            ConflictError: somebody else has appended since.
            LinkLostError: the link was lost just now, and they do not go beside the record.
            NotWrittenError: they are on no disk.
        """
        overdue = [*self._unrecorded, *events]
        stamp = self._stamp(overdue)
        new = self._identifiers.new
        envelopes = [
            _envelope(new("event"), event, stamp, self._assay_of(event), RULES) for event in overdue
        ]
        records = encode_each(envelopes, self._keeper.head)
        # Whether they can have happened is known before they are on the disk for ever.
        board, before = replay(events, self.board), self._recorded
        if records:
            await self._keeper.append(records, goes_beside=goes_beside)
            self.last = stamp
            self._recorded = board
        self._note_link(before)
        self._unrecorded.clear()
        self._show(events, board)

    def show(self, events: Sequence[Event]) -> None:
        """Put `events` on the board and tell the listeners, though no disk has taken them.

        They are recorded before whatever is recorded next.
        """
        self._unrecorded.extend(events)
        self._show(events, replay(events, self.board))

    def tell(self) -> None:
        """Tell the listeners how things stand, though nothing was recorded."""
        self.note_link()
        self._show((), self.board)

    @property
    def parted_from(self) -> Board | None:
        """What the record added up to when this station was last linked; None: it is not alone."""
        return self._parted

    def joined_up(
        self, board: Board, last: Stamp, elsewhere: Sequence[Event], made: Sequence[Event]
    ) -> None:
        """Show `board`, to which both sides of a cut add up; tell what is new here.

        Of what was shown and recorded nowhere alerts are found due again; the rest is shown still.

        Args:
            board: both sides together.
            last: where and when the last event of them was recorded.
            elsewhere: what others did meanwhile.
            made: what came of ours.
        """
        left = [each for each in self._unrecorded if not isinstance(each, FOUND_DUE_AGAIN)]
        self._unrecorded.clear()
        self._recorded, self.last = board, last
        self._note_link(board)
        if elsewhere:
            self._show(elsewhere, board, is_elsewhere=True)
        self._show(made, board)
        if left:
            self.show(left)

    def note_link(self) -> None:
        """Take note of whether this station is alone, though nothing was recorded."""
        self._note_link(self._recorded)

    def _note_link(self, before: Board) -> None:
        """Keep what the record was, `before` what goes beside it, for as long as it does."""
        is_alone = self._keeper.alone is not None
        if not is_alone and self._keeper.base is None:
            self._parted = self.alone_since = None
            return
        if self._parted is None:
            self._parted = before
        if is_alone and self.alone_since is None:
            self.alone_since = self.now()

    def _show(self, events: Sequence[Event], board: Board, *, is_elsewhere: bool = False) -> None:
        self.board = board
        news = self.news(events, is_elsewhere=is_elsewhere)
        for listener in self._listeners:
            listener(news)

    def news(self, events: Sequence[Event] = (), *, is_elsewhere: bool = False) -> News:
        """Return how things stand, together with what has just happened."""
        reading = self._clock.read()
        return News(
            board=self.board,
            events=tuple(events),
            at=self._anchored().instant(reading),
            wall=self.wall(reading),
            not_saved=self._keeper.not_saved,
            sounding=self.sounding,
            record_check=self.record_check,
            is_elsewhere=is_elsewhere,
            around=self.around(),
        )

    def around(self) -> Around | None:
        """Return who else is here and whether this station is alone; None: nobody shares the bay."""
        presence, alone = self.presence, self._keeper.alone
        if presence is None:
            return None
        since = self.alone_since
        return Around(
            station=presence.station,
            mark=presence.mark,
            alone=None
            if alone is None
            else AloneNow(
                since=self.now() if since is None else since,
                why=alone.why,
                is_joining=alone.has_parted,
                fault=alone.fault,
                refused=presence.refused,
            ),
            seen=presence.seen(),
            away=presence.away(self.board),
            wall_apart=presence.wall_apart,
            mirror_ailment=presence.mirror_ailment,
            has_twin=presence.has_twin,
            began=self._began() if presence.is_second else None,
        )

    def _began(self) -> frozenset[str]:
        """Return the running cartridges that were begun here since this station is alone."""
        parted = self._parted
        return frozenset(
            () if parted is None else self.board.running.keys() - parted.running.keys()
        )

    def here(self) -> Here | None:
        """Return where this is, for the rules that ask; None: nobody shares the bay."""
        around = self.around()
        return None if around is None else around.here

    def _rebuild(self, source: Source, after: Head) -> tuple[Board, Stamp | None, Head]:
        board, last, head = self.board, self.last, after
        taken, self._snapshot = self._snapshot, None
        if last is None and taken is not None and _ends_with(source, taken.head):
            board, last, head = taken.board, taken.last, taken.head
            after = head

        def records() -> Iterator[Record]:
            nonlocal head
            for record in chained(source, after):
                head = record.head
                yield record

        envelopes, base = decode_each(records(), source.private), self._keeper.base

        def stamped(until: int | None = None) -> Iterator[Envelope]:
            nonlocal last
            while until is None or head.seq < until:
                envelope = next(envelopes, None)
                if envelope is None:
                    return
                last = envelope.stamp
                event = self._taken_in(envelope)
                if event is envelope.event and self._news_of_others is not None:
                    self._news_of_others.append(envelope.event)
                    self.elsewhere.note(envelope)
                if event is not None:
                    yield envelope if event is envelope.event else replace(envelope, event=event)

        with no_collection():
            if base is not None and self._keeper.alone is not None and self._parted is None:
                # Whatever was done alone is joined up from here on, never from the first event.
                board = self._parted = replay(_events(stamped(base.seq)), board)
                first = next(stamped(), None)
                if first is not None:
                    self.alone_since = first.stamp.at
                    board = replay((first.event,), board)
            return replay(_events(stamped()), board), last, head

    def _taken_in(self, envelope: Envelope) -> Event | None:
        """Return what of an event is to be entered on the board of this station; None: nothing."""
        own = self.presence is None or envelope.stamp.station == self._station
        return taken_in(envelope.event, own=own)

    def stamp(self) -> Stamp:
        """Return where and when something is recorded now; the bay has been founded by then."""
        return self._stamp(())

    def _stamp(self, events: Sequence[Event]) -> Stamp:
        founded = self.board.founded
        if founded is None:
            first = events[0]
            assert isinstance(first, BayFounded)  # noqa: S101  # a journal begins with it
            founded = first
        reading = self._clock.read()
        moment = self._anchored().moment(reading)
        return Stamp(
            bay=founded.bay,
            station=self._station,
            mode=founded.mode,
            program=self._program,
            at=moment.at,
            # Of a shared bay the server's: whoever reads it elsewhere has another wall clock.
            wall=self.wall(reading),
            counting=moment.counting,
            boot=moment.boot,
        )

    def _assay_of(self, event: Event) -> str | None:
        named = getattr(event, "assay", None)
        if isinstance(named, str):
            return named
        cartridge = self.board.cartridge(getattr(event, "cartridge", None) or "")
        return None if cartridge is None else cartridge.labelled.assay

    def _anchored(self) -> Anchor:
        assert self._anchor is not None  # noqa: S101  # a bay anchors before it does anything
        return self._anchor


def _events(envelopes: Iterable[Envelope]) -> Iterator[Event]:
    return (each.event for each in envelopes)


def _ends_with(source: Source, head: Head) -> bool:
    """Say whether the event that `head` names stands in `source` as it was."""
    found = next(source.records(head.seq - 1), None)
    return found is not None and found.head == head

"""Append first, show second: the one way by which anything gets onto the board."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.bay.news import News
from readbell.core.board.board import Board
from readbell.core.board.events import BayFounded
from readbell.core.board.fold import replay
from readbell.core.board.record_check import UNCHECKED
from readbell.core.board.sound import Sounding
from readbell.journal.codec import decode_each, encode_each
from readbell.journal.envelope import Envelope, Stamp
from readbell.journal.record import Head
from readbell.journal.verify import chained, no_collection

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.bay.identifiers import Identifiers
    from readbell.bay.news import Listener
    from readbell.clock.anchor import Anchor
    from readbell.clock.clock import Clock
    from readbell.core.board.event import Event
    from readbell.core.instant import Instant
    from readbell.journal.keeper import Keeper
    from readbell.journal.record import Record
    from readbell.journal.snapshot import Snapshot
    from readbell.journal.source import Source


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
        self._snapshot = snapshot
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

    async def record(self, events: Sequence[Event]) -> None:
        """Put `events` on the disk, then on the board, then tell of them.

        What had to be shown before without being recorded goes first; with no
        `events` it goes alone.

        Raises:
            BrokenRecordError: they cannot have happened; nothing was stored.
            ConflictError: somebody else has appended since.
            NotWrittenError: they are on no disk.
        """
        overdue = [*self._unrecorded, *events]
        stamp = self._stamp(overdue)
        envelopes = [
            Envelope(
                id=self._identifiers.new("event"),
                event=event,
                stamp=stamp,
                assay=self._assay_of(event),
            )
            for event in overdue
        ]
        records = encode_each(envelopes, self._keeper.head)
        # Whether they can have happened is known before they are on the disk for ever.
        board = replay(events, self.board)
        if records:
            await self._keeper.append(records)
            self.last = stamp
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
        self._show((), self.board)

    def _show(self, events: Sequence[Event], board: Board) -> None:
        self.board = board
        news = self.news(events)
        for listener in self._listeners:
            listener(news)

    def news(self, events: Sequence[Event] = ()) -> News:
        """Return how things stand, together with what has just happened."""
        reading = self._clock.read()
        return News(
            board=self.board,
            events=tuple(events),
            at=self._anchored().instant(reading),
            wall=reading.wall,
            not_saved=self._keeper.not_saved,
            sounding=self.sounding,
            record_check=self.record_check,
        )

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

        def events() -> Iterator[Event]:
            nonlocal last
            for envelope in decode_each(records(), source.private):
                last = envelope.stamp
                yield envelope.event

        with no_collection():
            return replay(events(), board), last, head

    def _stamp(self, events: Sequence[Event]) -> Stamp:
        founded = self.board.founded
        if founded is None:
            first = events[0]
            assert isinstance(first, BayFounded)  # noqa: S101  # a journal begins with it
            founded = first
        moment = self._anchored().moment(self._clock.read())
        return Stamp(
            bay=founded.bay,
            station=self._station,
            mode=founded.mode,
            program=self._program,
            at=moment.at,
            wall=moment.wall,
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


def _ends_with(source: Source, head: Head) -> bool:
    """Say whether the event that `head` names stands in `source` as it was."""
    found = next(source.records(head.seq - 1), None)
    return found is not None and found.head == head

"""What was done alone goes into the shared record: looked at, appended, and only then let go of.

All of it is appended at once, so it is there whole or not at all; and it ends with an event whose
id hangs on what came home. Cut off at any instant, the next look finds how far it had come: the
file beside stays until the server has everything.

Each event keeps its id, its stamp and its identifiers, and is chained behind the new end. What
cannot stand is recorded as kept apart, with all that it said; a strip that was looked at on both
sides is held in the same append. So its outcome is withheld at every station from the instant at
which the link is back, and not only once somebody has looked at it.
"""

from __future__ import annotations

import json
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from readbell.core.board.fold import replay
from readbell.core.board.joining_erased import erased_meanwhile
from readbell.core.board.joining_up import Apart, Stands, join_up, joined_up, kept_apart
from readbell.core.board.own import concerns, taken_in
from readbell.core.catalogue import NAMES, VERSIONS
from readbell.core.errors import ReadbellError
from readbell.core.made_later import dataclass
from readbell.core.private import Private
from readbell.core.stations.events import ActKeptApart, JoinedUp
from readbell.journal.codec import decode_each, encode_each
from readbell.journal.envelope import Envelope
from readbell.journal.errors import JournalError, NewerJournalError
from readbell.journal.parted import joined_id
from readbell.shapes import shape_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from readbell.bay.identifiers import Identifiers
    from readbell.bay.recorder import Recorder
    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.instant import Instant
    from readbell.core.keeping.events import RecordErased
    from readbell.journal.envelope import Stamp
    from readbell.journal.keeper import Keeper
    from readbell.journal.parted import Parted
    from readbell.journal.record import Head, Record
    from readbell.journal.source import Source


@dataclass(frozen=True, slots=True, kw_only=True)
class Joined:
    """Both sides as one record: what is to be appended, and what that adds up to."""

    records: tuple[Record, ...]
    end: Head
    """What they go on from."""
    board: Board
    elsewhere: tuple[Event, ...]
    """What the others did, of which this station has not told yet."""
    made: tuple[Event, ...]
    """What came of ours: holds, what is kept apart, and how much came home."""


async def join_up_now(recorder: Recorder, keeper: Keeper, identifiers: Identifiers) -> bool:
    """Join both sides up if they have parted and the link is back; say whether that was done.

    What comes in its way is said of the station, and it is tried again with the next look.

    Raises:
        NewerJournalError: a newer program recorded something that this one does not know.
    """
    alone, base, presence = keeper.alone, recorder.parted_from, recorder.presence
    if alone is None or base is None or presence is None or not alone.has_parted:
        return False
    now, stamp = recorder.now(), recorder.stamp()
    since = now if recorder.alone_since is None else recorder.alone_since
    joining = Joining(
        station=presence.station, since=since, now=now, stamp=stamp, identifiers=identifiers
    )
    try:
        joined = await keeper.compare(lambda found, source: joining.joined(found, source, base))
        await keeper.join_up(joined.records, joined.end)
    except NewerJournalError:
        raise  # no later look finds anything else
    except JournalError:
        return False  # somebody was first, or the link is lost once more
    except ReadbellError as error:
        keeper.alone = replace(alone, fault=str(error))
        return False
    except Exception as error:  # noqa: BLE001  # the bay goes on alone, and people must know
        keeper.alone = replace(alone, fault=f"a fault of the program ({type(error).__name__})")
        return False
    recorder.joined_up(joined.board, stamp, joined.elsewhere, joined.made)
    return True


@dataclass(frozen=True, slots=True, kw_only=True)
class Joining:
    """One joining up of one station."""

    station: str
    since: Instant
    now: Instant
    stamp: Stamp
    identifiers: Identifiers

    def joined(self, parted: Parted, source: Source, base: Board) -> Joined:
        """Return both sides as one.

        Args:
            parted: what each recorded.
            source: has the identifiers of both.
            base: the board when the link was lost.

        Raises:
            ReadbellError: the record is not what was once written, or cannot have happened.
        """
        passed, theirs, ours = (
            tuple(decode_each(each, source.private))
            for each in (parted.passed, parted.theirs, parted.ours)
        )
        meanwhile = [each.event for each in (*passed, *theirs)]
        erased = partial(erased_meanwhile, base, meanwhile)
        base = replay(self._taken_in(passed), base)
        made = tuple(self._made_of(base, theirs, ours, parted, erased)) if ours else ()
        # As the record will be read from here on: what cannot have happened is found before it is there.
        board = replay(self._taken_in(theirs), base)
        board = replay((each.event for each in made), board)
        return Joined(
            records=tuple(encode_each(made, parted.end)),
            end=parted.end,
            board=board,
            elsewhere=tuple(
                each.event
                for each in (*passed, *theirs)
                if each.stamp.station != self.station and concerns(each.event, own=False)
            ),
            made=tuple(each.event for each in (*passed, *made) if self._came_of_it(each)),
        )

    def _taken_in(self, envelopes: Iterable[Envelope]) -> Iterator[Event]:
        """Yield the events that are entered on the board of this station."""
        for each in envelopes:
            event = taken_in(each.event, own=each.stamp.station == self.station)
            if event is not None:
                yield event

    def _came_of_it(self, envelope: Envelope) -> bool:
        """Say whether an event of this station came of a joining up, and not of an act at it."""
        is_own = envelope.stamp.station == self.station
        told_of = isinstance(envelope.event, (ActKeptApart, JoinedUp))
        return envelope.stamp is self.stamp or (is_own and told_of)

    def _made_of(
        self,
        base: Board,
        theirs: Sequence[Envelope],
        ours: Sequence[Envelope],
        parted: Parted,
        erased: Callable[[Board, Sequence[Event], Instant], Sequence[RecordErased]],
    ) -> Iterator[Envelope]:
        """Yield what is appended, in order; the last one is known by what came home."""
        events = [[each.event for each in side] for side in (theirs, ours)]
        found = join_up(base, events[0], events[1], self.station, self.now)
        at = max(self.now, *(each.at for side in events for each in side))
        home = [
            replace(envelope, event=fate.event)
            if isinstance(fate, Stands)
            else replace(envelope, event=self._kept(fate, at), stamp=self.stamp)
            for fate, envelope in zip(found.fates, ours, strict=True)
            if isinstance(fate, (Stands, Apart))
        ]
        yield from home
        said = [each.event for each in home]
        for event in (*found.follow, *erased(found.board, said, at)):
            cartridge = found.board.cartridge(getattr(event, "cartridge", ""))
            yield Envelope(
                id=self.identifiers.new("event"),
                event=event,
                stamp=self.stamp,
                assay=None if cartridge is None else cartridge.labelled.assay,
            )
        yield Envelope(
            id=joined_id(parted.ours[-1].head),
            event=joined_up(found, at, self.station, self.since),
            stamp=self.stamp,
            assay=None,
        )

    def _kept(self, apart: Apart, at: Instant) -> ActKeptApart:
        """Return the event that keeps something apart, with all that it said."""
        entered: dict[str, str] = {}

        def take_out(kept: Private) -> str:
            entered[kept.key] = kept.value or ""
            return json.dumps({"key": kept.key})

        kind = type(apart.event)
        body = shape_of(kind).write(apart.event, take_out)
        values = json.dumps(entered, ensure_ascii=False, sort_keys=True)
        private = Private(
            key=self.identifiers.new("private"), salt=self.identifiers.new("salt"), value=values
        )
        name = NAMES[kind]
        return kept_apart(
            apart,
            at,
            self.station,
            name,
            VERSIONS.get(name, 1),
            body,
            private if entered else None,
        )

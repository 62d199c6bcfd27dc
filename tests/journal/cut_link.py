"""A shared record whose link can be cut at any instant: the server's side is a file of its own."""

from __future__ import annotations

from contextlib import closing
from typing import TYPE_CHECKING

from journal.failing import names_in
from journal.samples import arrival, arrivals, chain, envelope
from readbell.core.people.events import PersonRegistered
from readbell.journal.codec import decode, encode
from readbell.journal.continuation import continuations_of, read_continuation
from readbell.journal.errors import LINK_LOST, JournalError, LinkLostError
from readbell.journal.keeper import Keeper
from readbell.journal.parted import joined_id
from readbell.journal.shared import SharedJournal
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import chained

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
    from pathlib import Path

    from readbell.core.board.event import Event
    from readbell.journal.keeper import Branch
    from readbell.journal.parted import Parted
    from readbell.journal.record import Head, PrivateRow, Record


class FarSide:
    """The server of a bay, as one station reaches it: each call may find the link cut."""

    def __init__(self, path: Path, wall: Callable[[], int] = lambda: 0) -> None:
        self._journal = SqliteJournal.open(path)
        self._wall = wall
        self.line_offset: int | None = None
        self.is_cut = False
        self.loses_answers = False
        """Whether what is appended is stored, and the link is cut before anybody hears of it."""
        self.left: int | None = None
        """How many calls are still answered before the link is cut; None: all of them."""

    def head(self) -> Head:
        """Return the present end."""
        self._pass()
        return self._journal.head()

    def append(self, records: Sequence[Record], expected: Head) -> Head:
        """Store `records`."""
        self._pass()
        end = self._journal.append(records, expected)
        if self.loses_answers:
            self.is_cut = True
            raise LinkLostError(LINK_LOST)
        return end

    def records(self, after: int = 0) -> Iterator[Record]:
        """Yield the stored events after number `after`."""
        self._pass()
        return self._journal.records(after)

    def newer(self, after: int) -> Iterator[Record]:
        """Yield them with what each introduces on the erasable side."""
        self._pass()
        for record in self._journal.records(after):
            self._pass()
            keys = [line.split('"', 1)[0] for line in record.body.split('"key":"')[1:]]
            rows = tuple(row for key in keys if (row := self._journal.private(key)) is not None)
            yield type(record)(seq=record.seq, body=record.body, hash=record.hash, private=rows)

    def private(self, key: str) -> PrivateRow | None:
        """Return what was kept apart under `key`."""
        self._pass()
        return self._journal.private(key)

    def last_line_offset(self) -> int | None:
        """Return what went with the newest event."""
        return self.line_offset

    def has_namesake(self, run: str) -> bool:
        """Say that nobody else is this station."""
        self._pass()
        assert run
        return False

    def server_now(self) -> int:
        """Return the server's clock."""
        self._pass()
        return self._wall()

    def ailment(self) -> str | None:
        """Say what ails it."""
        return LINK_LOST if self.is_cut else None

    def close(self) -> None:
        """Let go of the file."""
        self._journal.close()

    def _pass(self) -> None:
        if self.left is not None:
            self.left -= 1
            self.is_cut = self.is_cut or self.left < 0
        if self.is_cut:
            raise LinkLostError(LINK_LOST)


class Cut:
    """One station of a shared bay, its server, and what others record there."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.path = folder / "bay.station"
        self.far = folder / "server.journal"
        self.server: FarSide
        self.journal: SharedJournal
        self.keeper: Keeper

    async def start(self, *, cut: bool = False) -> list[Branch]:
        """Open the station, its server within reach or not."""
        self.server = FarSide(self.far)
        self.server.is_cut = cut
        mirror = SqliteJournal.open(self.folder / "bay.station.mirror")
        self.journal = SharedJournal(mirror)
        if not cut:
            self.journal.linked(self.server)
            self.journal.pull()
        self.keeper = Keeper(self.journal, self.path, ())
        return await self.keeper.join_left_over()

    async def stop(self) -> None:
        """End as a crash would: nothing is mended and nothing is joined."""
        await self.keeper.close()
        self.server.close()

    async def restart(self, *, cut: bool = False) -> list[Branch]:
        """End and begin again."""
        await self.stop()
        return await self.start(cut=cut)

    def cut(self) -> None:
        """Cut the link; nobody has noticed it yet."""
        self.server.is_cut = True

    def mend(self) -> None:
        """Make the link up again, as whoever looks after it does."""
        self.server.is_cut = self.server.loses_answers = False
        self.server.left = None
        self.journal.linked(self.server)

    async def arrive(self, *names: str) -> None:
        """Let somebody arrive here: one act."""
        records = arrivals(*names, after=self.keeper.head)
        await self.keeper.append(records)

    def elsewhere(self, *names: str) -> None:
        """Let somebody arrive at another station."""
        self.add([*arrivals(*names, after=self.end())])

    def add(self, records: Sequence[Record]) -> None:
        """Store what another station records."""
        with closing(SqliteJournal.open(self.far)) as far:
            far.append(records, far.head())

    def add_events(self, *events: Event) -> None:
        """Store events that another station records."""
        self.add(chain(events, self.end()))

    def end(self) -> Head:
        """Return the end of the shared record."""
        with closing(SqliteJournal.open(self.far, read_only=True)) as far:
            return far.head()

    def shared(self) -> list[str]:
        """Return who is in the shared record, having checked that its chain is whole."""
        with closing(SqliteJournal.open(self.far, read_only=True)) as far:
            events = [decode(each, far.private).event for each in chained(far)]
        return [
            each.person.key.removeprefix("key-").partition(".")[0]
            for each in events
            if isinstance(each, PersonRegistered)
        ]

    def files(self) -> list[Path]:
        """Return the continuation files that lie about."""
        return continuations_of(self.path, ())

    def beside(self) -> list[str]:
        """Return who is in continuation files that can be read."""
        found: list[str] = []
        for file in self.files():
            try:
                found += names_in(read_continuation(file).records)
            except JournalError:
                continue
        return found

    def is_alone(self) -> bool:
        """Say whether the station says that it is alone."""
        return self.keeper.alone is not None

    async def parted(self) -> Parted:
        """Return what each side recorded."""
        return await self.keeper.compare(lambda found, _: found)

    async def join(self) -> None:
        """Join both sides up, as the bay does."""
        found = await self.parted()
        records = moved(found.ours, found.end) if found.ours else []
        await self.keeper.join_up(records, found.end)


def moved(ours: tuple[Record, ...], end: Head) -> list[Record]:
    """Return arrivals as they are stored after `end`, and the event that ends a joining up."""
    names = [each.body.split('"key-')[1].split('"')[0] for each in ours]
    events = [arrival(name) for name in names]
    records, head = [], end
    for number, event in enumerate(events):
        records.append(encode(envelope(event, f"event-alone-{number}"), head))
        head = records[-1].head
    mark = arrival(f"joined-up.{end.seq}")
    records.append(encode(envelope(mark, joined_id(ours[-1].head)), head))
    return records

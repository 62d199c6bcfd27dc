"""A journal whose disk can be made to fail and be mended, with the keeper that lives with it."""

from __future__ import annotations

from contextlib import closing
from typing import TYPE_CHECKING

from journal.samples import ONE_PAGE, arrivals
from readbell.core.people.events import PersonRegistered
from readbell.journal.codec import decode
from readbell.journal.continuation import continuations_of, read_continuation
from readbell.journal.errors import JournalError
from readbell.journal.keeper import Branch, Keeper
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import verify

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from readbell.journal.record import Record


def names_in(records: Sequence[Record]) -> list[str]:
    """Return who arrives in `records`, without the padding."""
    found = []
    for record in records:
        rows = {row.key: row for row in record.private}
        event = decode(record, rows.get).event
        assert isinstance(event, PersonRegistered)
        found.append(event.person.key.removeprefix("key-").rstrip("."))
    return found


class Disk:
    """One journal file with its keeper; every arrival takes up a page of its own."""

    def __init__(self, folder: Path, *places: Path) -> None:
        folder.mkdir(exist_ok=True)
        self.path = folder / "bay.journal"
        self.away = folder / "moved.journal"
        self.places = places
        self.journal: SqliteJournal
        self.keeper: Keeper

    async def start(self, *, full: bool = False) -> list[Branch]:
        """Open the journal, on a disk that is `full` from the start or not."""
        self.journal = SqliteJournal.open(self.path)
        if full:
            self.fill_up()
        self.keeper = Keeper(self.journal, self.path, self.places)
        return await self.keeper.join_left_over()

    async def stop(self) -> None:
        """End as a crash would: nothing is mended and nothing is joined."""
        await self.keeper.close()

    async def restart(self, *, full: bool = False) -> list[Branch]:
        """End and begin again."""
        await self.stop()
        return await self.start(full=full)

    def fill_up(self) -> None:
        """Leave no room for a page more, as on a full disk."""
        self.journal._connection.pragma("max_page_count", 1)

    def make_room(self) -> None:
        """Let the journal grow again."""
        self.journal._connection.pragma("max_page_count", 1_000_000)

    def move_away(self) -> None:
        """Rename the journal under the program."""
        if self.path.exists():
            self.path.rename(self.away)

    def move_back(self) -> None:
        """Give the journal its name again."""
        if self.away.exists():
            self.away.rename(self.path)

    def block_folder(self) -> None:
        """Put a file where the journal's folder was: nothing can be written there."""
        folder = self.path.parent
        folder.rename(folder.with_name("away"))
        folder.touch()

    def unblock_folder(self) -> None:
        """Put the folder back."""
        folder = self.path.parent
        folder.unlink()
        folder.with_name("away").rename(folder)

    async def arrive(self, *names: str) -> None:
        """Let somebody arrive: one act."""
        records = arrivals(*names, after=self.keeper.head, padding=ONE_PAGE)
        await self.keeper.append(records)

    def at_home(self) -> list[str]:
        """Return who is in the journal, having checked that it is whole."""
        with closing(SqliteJournal.open(self.path, read_only=True)) as looked_at:
            persons = verify(looked_at).board.persons
        return [name.rstrip(".") for name in persons]

    def files(self) -> list[Path]:
        """Return the continuation files that lie about."""
        return continuations_of(self.path, self.places)

    def beside(self) -> list[str]:
        """Return who is in continuation files that can be read."""
        found: list[str] = []
        for file in self.files():
            try:
                found += names_in(read_continuation(file).records)
            except JournalError:
                continue
        return found

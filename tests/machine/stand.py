"""The real bay that a machine plays: real journal, real disk faults, clocks moved by hand."""

from __future__ import annotations

import asyncio
import shutil
import tempfile
from contextlib import closing
from dataclasses import replace
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING

from bay.conftest import HandClock, Place
from builders import NASAL, THREE_LINES, span
from machine.plain_cartridge import Assay as PlainAssay
from machine.plain_cartridge import Wait as PlainWait
from machine.plain_parts import Clocks
from readbell.bay.keeping_desk import KeepingDesk
from readbell.core.assay.reading_rules import SecondReader
from readbell.core.assay.step import Limit, Wait
from readbell.core.board.fold import replay
from readbell.core.cartridge.events import AlertRaised
from readbell.core.private import Private
from readbell.journal.continuation import continuations_of
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import verify

if TYPE_CHECKING:
    from collections.abc import Coroutine
    from typing import Any, TypeVar

    from bay.conftest import Work
    from readbell.bay.news import Answer as Given
    from readbell.core.assay.assay import Assay
    from readbell.core.board.event import Event
    from readbell.core.policy.policy import SitePolicy
    from readbell.journal.verify import Verdict

    Answer = TypeVar("Answer")

STEPS = ["label", "buffer", "collect", "extract", "withdraw", "apply"]
ONE_LINE = PlainAssay(
    id="respiratory-antigen-nasal",
    steps=STEPS,
    waits={"extract": PlainWait(until="withdraw", least=60_000, most=180_000)},
    extracts="extract",
    lines=["sars-cov-2"],
    early=120_000,
    opens=900_000,
    closes=1_200_000,
    warning=120_000,
    faint_is_read_twice=True,
)
# Every kind of limit that the two bundled assays do not have, and a window that never closes.
ODD = PlainAssay(
    id="odd",
    steps=STEPS,
    waits={
        "label": PlainWait(until="extract", most=1_800_000),
        "extract": PlainWait(until="withdraw", least=60_000, most=180_000, most_is_firm=True),
        "withdraw": PlainWait(until="apply", least=30_000, least_is_firm=False),
    },
    extracts="extract",
    lines=["influenza-a", "influenza-b", "sars-cov-2"],
    early=120_000,
    opens=600_000,
    closes=None,
    warning=0,
)


def odd_assay() -> Assay:
    """The product's own value of `ODD`."""
    waits = {
        "label": Wait(until="extract", most=span("30:00")),
        "extract": Wait(
            until="withdraw", least=span("1:00"), most=span("3:00"), most_is=Limit.FIRM
        ),
        "withdraw": Wait(until="apply", least=span("0:30"), least_is=Limit.ADVISORY),
    }
    return replace(
        THREE_LINES,
        id="odd",
        steps=tuple(replace(each, wait=waits.get(each.key)) for each in THREE_LINES.steps),
        reading=replace(
            THREE_LINES.reading,
            early_from=span("2:00"),
            opens=span("10:00"),
            closes=None,
            closing_warning=span("0:00"),
        ),
    )


def one_line_assay() -> Assay:
    """The product's own value of `ONE_LINE`: a bundled one, whose faint lines are read twice."""
    return replace(NASAL, reading=replace(NASAL.reading, second_reader=SecondReader.FAINT))


ASSAYS = {ONE_LINE.id: (one_line_assay(), ONE_LINE), ODD.id: (odd_assay(), ODD)}


class Stand:
    """One journal in a folder of its own, and the bay that is open on it now."""

    def __init__(self, policy: SitePolicy | None = None) -> None:
        self.policy = policy
        self.root = Path(tempfile.mkdtemp(prefix="readbell-machine-"))
        self.folder = self.root / "disk"
        self.folder.mkdir()
        self.place = Place(path=self.folder / "bay.journal", spill=self.folder / "spill")
        self.runner = asyncio.Runner()
        self.clock = HandClock()
        self._keys = count(1)
        self._boots = count(2)
        self.work: Work = self.run(self.place.take_up(self.clock, policy=policy))

    def run(self, doing: Coroutine[Any, Any, Answer]) -> Answer:
        """Let the bay do something to its end."""
        return self.runner.run(doing)

    def clocks(self) -> Clocks:
        """Look at every clock."""
        hand = self.clock
        return Clocks(hand.wall, hand.counting, hand.asleep, hand.boot, hand.wall_is_known)

    def private(self, value: str) -> Private:
        """Wrap an identifier under a key that tells nothing of it."""
        key = next(self._keys)
        return Private(key=f"key-{key}", salt=f"salt-{key}", value=value)

    def reboot(self, wall: int, *, known: bool) -> None:
        """Start the computer anew, at this wall clock."""
        self.clock = self.clock.reboot(wall, boot=f"boot-{next(self._boots)}", wall_is_known=known)

    def stop(self, *, cleanly: bool) -> None:
        """End the program, as it is told to or as it is killed."""
        self.run(self.work.close() if cleanly else self.work.die())

    def start(self) -> None:
        """Begin again on what the disk holds."""
        self.work = self.run(self.place.take_up(self.clock, policy=self.policy))

    def break_disk(self, how: str) -> None:
        """Take the journal away, or the whole folder with every place to write to."""
        path = self.place.path
        if how == "away":
            path.rename(path.with_name("taken"))
        else:
            self.folder.rename(self.root / "unplugged")
            self.folder.touch()

    def mend_disk(self, how: str) -> None:
        """Put back what was taken."""
        path = self.place.path
        if how == "away":
            path.with_name("taken").rename(path)
        elif how == "gone":
            self.folder.unlink()
            (self.root / "unplugged").rename(self.folder)

    def stored(self) -> list[Event]:
        """Return every event on the disk, what lies beside the journal included."""
        return [each.event for each in self.run(self.work.stored())]

    def unrecorded(self) -> list[Event]:
        """Return what had to be shown and is on no disk."""
        return list(self.work.bay._recorder._unrecorded)

    def is_folded(self, stored: list[Event]) -> bool:
        """Say whether the board is what its events add up to."""
        return replay([*stored, *self.unrecorded()]) == self.work.bay.board

    def alerts(self) -> list[tuple[int, int, str, str, str]]:
        """Return every alert that was told since the bay was founded, as the model writes them."""
        return [
            (event.at, event.due, self.work.label_of(event.cartridge), str(event.alert), event.step)
            for work in self.place.works
            for news in work.told
            for event in news.events
            if isinstance(event, AlertRaised)
        ]

    def forget(self, by: str, who: str, why: str) -> Given:
        """Erase somebody as `readbell erase` does, and give what came of it."""
        desk = KeepingDesk(private=self.private)
        return self.run(desk.erase_person(self.work.bay, by, who, why))

    def left_of(self, *called: str) -> list[str]:
        """Give every file in which one of these names is still to be read."""
        files = (each for each in self.root.rglob("*") if each.is_file())
        return [
            each.name
            for each in files
            if any(name.encode() in each.read_bytes() for name in called)
        ]

    def lying_beside(self) -> list[Path]:
        """Return the continuation files."""
        return continuations_of(self.place.path, (self.place.spill,))

    def verified(self) -> Verdict:
        """Check the file's chain from its beginning, as `readbell verify` does."""
        with closing(SqliteJournal.open(self.place.path, read_only=True)) as journal:
            return verify(journal)

    def clear(self) -> None:
        """Let go of everything."""
        self.run(self.work.die())
        self.runner.close()
        shutil.rmtree(self.root)

"""The line of a plain bay's time: what falls due on it, what a disk keeps, and how it begins again.

A disk is `fine`, `away` (the journal is gone, its folder is not: everything goes beside it) or `gone`.
"""

from __future__ import annotations

import copy
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from functools import partial
from typing import TYPE_CHECKING

from machine.plain_cartridge import KINDS, Assay, Cartridge
from machine.plain_owing import Strip, owed
from machine.plain_parts import MINUTE, SECOND, About, Clocks, Lot, Party

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from machine.plain_parts import Code


@dataclass
class TimeLine:
    """Everything that is true of the bay, and everything it has told."""

    clocks: Clocks
    at: int
    """Where the bay's line stood when something was last recorded."""
    recorded: Clocks
    """The clocks at that instant."""
    operators: set[str] = field(default_factory=set)
    persons: set[str] = field(default_factory=set)
    known: dict[str, About] = field(default_factory=dict)
    parties: list[Party] = field(default_factory=list)
    waits: list[str] = field(default_factory=list)
    """Who came with others and is still to be begun, in the order of their turns."""
    gone: dict[str, int] = field(default_factory=dict)
    """Who left before anything was begun for them and is not back, and when."""
    grown_up_at: int = 0
    """From how many years on somebody says yes alone; 0: nobody asks."""
    offices: list[str] = field(default_factory=list)
    """Assays of which an office has to hear."""
    assays: dict[str, Assay] = field(default_factory=dict)
    lots: dict[str, Lot] = field(default_factory=dict)
    open_lot: str | None = None
    open_boxes: dict[str, str] = field(default_factory=dict)
    """By assay, the lot whose box stands open, in the order in which they were opened."""
    cartridges: dict[str, Cartridge] = field(default_factory=dict)
    heard: dict[str, str] = field(default_factory=dict)
    new_specimen: set[str | None] = field(default_factory=set)
    """Whose specimen may have been taken for another's, until they have a fresh cartridge."""
    muted_until: int | None = None
    alarm_heard: bool | None = None
    moved: int = 0
    """How far the clock on the wall was moved against the line, as far as anybody noticed."""
    told: list[tuple[int, int, str, str, str]] = field(default_factory=list)
    """Each alert: when it was announced, when it was due, whose, which, of which step."""
    disk: str = "fine"
    noticed: bool = False
    undo: list[Callable[[], None]] = field(default_factory=list)
    """What was shown and stands on no disk."""
    clean: bool = True
    unsure_at_start: list[str] = field(default_factory=list)
    looked: Clocks | None = None
    checked: int = 0

    @property
    def now(self) -> int:
        """Where the bay's line stands: within one boot it goes with the counting clock alone."""
        return self.at + self.clocks.counting - self.recorded.counting

    @property
    def today(self) -> date:
        """The site's date."""
        return datetime.fromtimestamp(self.clocks.wall / 1000, UTC).date()

    def record(self) -> bool:
        """Put something on a disk, and all before it that stood on none; say whether it is there."""
        if self.disk != "fine":
            self.noticed = True
        if self.disk == "gone":
            return False
        self.at, self.recorded = self.now, copy.copy(self.clocks)
        self.undo.clear()
        return True

    def announce(self, until: int) -> None:
        """Let ring what is due, by when it was due, then in order of labelling, then by kind."""
        due = [
            (at, each.place, KINDS.index(kind), step, each)
            for each in self.cartridges.values()
            for at, kind, step in each.deadlines()
            if at <= until
        ]
        now = self.now
        is_recorded = not due or self.record()
        for at, _, rank, step, each in sorted(due, key=lambda one: one[:3]):
            kind = KINDS[rank]
            before, heard = copy.deepcopy(each), self.heard.get(each.label)
            each.fallen.add((kind, step))
            if kind == "lapsed":
                each.outcomes = each.analytes(at)
                each.lapsed, each.said_at = True, at - 1
                if each.awaits:
                    each.held.add("not-read-twice")
                self.heard.pop(each.label, None)
            self.told.append((now, at, each.label, kind, step))
            if not is_recorded:
                self.undo.append(partial(self._back, before, heard))

    def _back(self, before: Cartridge, heard: str | None) -> None:
        self.cartridges[before.label] = before
        if heard is not None:
            self.heard[before.label] = heard

    def take(self, judge: Callable[[], Code], *, starts: bool = False) -> Code:
        """Let an act have its turn: what fell due before it rings first."""
        self.announce(self.now - 1)
        if self.disk == "gone":
            self.noticed = True
            return "not-saved"
        now, known = self.now, {each.label: each.came_to() for each in self.cartridges.values()}
        code = "not-saved" if starts and self.noticed else judge()
        for each in self.cartridges.values():
            if each.label in known and known[each.label] != each.came_to():
                each.said_at = now
        self.record()
        return code

    def owed(self) -> set[str]:
        """Give the strips that are owed a repeat: of each person and assay one, or none."""
        theirs: dict[tuple[str, str], list[Strip]] = {}
        for each in self.cartridges.values():
            if each.person is not None:
                strip = Strip(each.label, each.done[0].said, each.second_today, each.failed_since())
                theirs.setdefault((each.person, each.assay.id), []).append(strip)
        return {label for strips in theirs.values() if (label := owed(strips)) is not None}

    def look_about(self) -> list[str]:
        """Compare the clocks, and look after the journal; give what is to be told."""
        found: list[str] = []
        looked = self.looked or self.clocks
        counted = self.clocks.counting - looked.counting
        if counted - (self.clocks.running - looked.running) > SECOND:
            found.append("slept")
        if abs(self.clocks.wall - looked.wall - counted) > SECOND:
            found.append("jumped")
        if found:
            self.looked, before = copy.copy(self.clocks), self.moved
            if "jumped" in found:
                self.moved += self.clocks.wall - looked.wall - counted
            if not self.record():
                self.undo.append(partial(setattr, self, "moved", before))
        wait = 2 * SECOND if self.noticed else MINUTE
        if self.clocks.running - self.checked >= wait:
            self.checked = self.clocks.running
            was, self.noticed = self.noticed, self.disk != "fine"
            if was and not self.noticed and self.undo:
                self.record()
        return found

    def stop(self, *, cleanly: bool) -> None:
        """End: what stands on no disk is not known any more."""
        self.clean = cleanly and self.record()
        for back in reversed(self.undo):
            back()
        self.undo.clear()
        self.disk, self.noticed = "fine", False

    def start(self, clocks: Clocks) -> int:
        """Begin again with these clocks; give how many alerts had been told before."""
        last, last_at, sure = self.recorded, self.at, True
        self.clocks = clocks
        apart = (clocks.wall - last.wall) - (clocks.counting - last.counting)
        if clocks.boot != last.boot:
            sure = clocks.known and clocks.wall >= last.wall
            apart = 0 if sure else clocks.wall - (last_at + self.moved)
            self.at += clocks.wall - last.wall if sure else 0
            self.recorded = copy.copy(clocks)
        self.moved += apart if abs(apart) > SECOND else 0
        self.muted_until, self.alarm_heard = None, None
        self.unsure_at_start = [] if sure else list(self._doubt(last_at))
        self.record()
        self.looked, self.checked = copy.copy(clocks), clocks.running
        told = len(self.told)
        self.announce(self.now)
        return told

    def _doubt(self, last: int) -> Iterable[str]:
        for each in self.cartridges.values():
            if each.seen is not None and (each.ended or each.lapsed):
                closes = each.window()[3]
                until = each.read_at + 5 * MINUTE if closes is None else closes
                hit = until >= last
            else:
                waits = each.running_waits()
                hit = not each.ended and (
                    each.applied is not None or any(limit is not None for *_, limit in waits)
                )
            if not hit:
                continue
            yield each.label
            if each.applied is not None:
                each.unsure = True
                continue
            for done in each.done:
                done.doubted = done.doubted or self.now

    def _may_register(self, by: str | None) -> bool:
        return by in self.operators if by is not None else not self.operators

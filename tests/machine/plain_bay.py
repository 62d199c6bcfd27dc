"""A bay as plainly as it can be written down: what each act must come to, and what must ring.

It knows nothing of the product and shares no line with it; time and clocks are told to it. A disk is
`fine`, `away` (the journal is gone, its folder is not: everything goes beside it) or `gone`.
"""

from __future__ import annotations

import copy
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from functools import partial
from typing import TYPE_CHECKING

from machine.plain_cartridge import KINDS, Assay, Cartridge, Done, Seen

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

SECOND, MINUTE = 1_000, 60_000
Code = str | None
"""Why an act is refused; None: it is taken."""


@dataclass
class Lot:
    """A batch of kits."""

    assay: Assay
    expires: date
    units: int | None
    used: int = 0
    held: bool = False

    @property
    def used_up(self) -> bool:
        """Whether the box is empty."""
        return self.units is not None and self.used >= self.units

    def refuse(self, today: date) -> Code:
        """Say why no cartridge may be taken from it."""
        if self.held:
            return "lot-on-hold"
        if today > self.expires:
            return "lot-expired"
        return "lot-used-up" if self.used_up else None


@dataclass
class Clocks:
    """One look at every clock, milliseconds."""

    wall: int
    counting: int
    asleep: int
    boot: str
    known: bool = True

    @property
    def running(self) -> int:
        """The clock that stands still while the computer sleeps."""
        return self.counting - self.asleep


@dataclass
class Aim:
    """Who acts on which cartridge, and what was read off device and person."""

    by: str
    label: str
    scanned: str | None = None
    person: str | None = None


@dataclass
class Bay:
    """Everything that is true of the bay, and everything it has told."""

    clocks: Clocks
    at: int
    """Where the bay's line stood when something was last recorded."""
    recorded: Clocks
    """The clocks at that instant."""
    operators: set[str] = field(default_factory=set)
    persons: set[str] = field(default_factory=set)
    parties: dict[str, tuple[list[str], int]] = field(default_factory=dict)
    came_with: dict[str, str] = field(default_factory=dict)
    assays: dict[str, Assay] = field(default_factory=dict)
    lots: dict[str, Lot] = field(default_factory=dict)
    open_lot: str | None = None
    cartridges: dict[str, Cartridge] = field(default_factory=dict)
    heard: dict[str, str] = field(default_factory=dict)
    muted_until: int | None = None
    alarm_heard: bool | None = None
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
                each.lapsed = True
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
        code = "not-saved" if starts and self.noticed else judge()
        self.record()
        return code

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
            self.looked = copy.copy(self.clocks)
            if not self.record():
                self.undo.extend([lambda: None] * len(found))
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
        if clocks.boot != last.boot:
            sure = clocks.known and clocks.wall >= last.wall
            self.at += clocks.wall - last.wall if sure else 0
            self.recorded = copy.copy(clocks)
        self.muted_until, self.alarm_heard = None, None
        self.unsure_at_start = [] if sure else list(self._doubt(last_at))
        self.record()
        self.looked, self.checked = copy.copy(clocks), clocks.running
        told = len(self.told)
        self.announce(self.now)
        return told

    def _doubt(self, last: int) -> Iterable[str]:
        for each in self.cartridges.values():
            if each.seen is not None:
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

    # What people do.

    def register_operator(self, by: str | None, new: str) -> Code:
        """Let somebody act here."""
        if not self._may_register(by):
            return "unknown-operator"
        if new in self.operators:
            return "already-known"
        self.operators.add(new)
        return None

    def register_person(self, by: str | None, new: str) -> Code:
        """Enter somebody to be tested."""
        if not self._may_register(by):
            return "unknown-operator"
        if new in self.persons:
            return "already-known"
        self.persons.add(new)
        return None

    def register_party(self, by: str, name: str, people: list[str]) -> Code:
        """Enter people who come together."""
        if not self._may_register(by):
            return "unknown-operator"
        if not people or len(set(people)) < len(people):
            return "not-allowed"
        if name in self.parties:
            return "already-known"
        self.persons.update(people)
        self.parties[name] = (people, len(self.cartridges))
        self.came_with.update(dict.fromkeys(people, name))
        return None

    def adopt(self, by: str, assay: Assay, *, checked: bool) -> Code:
        """Take a method into use."""
        if not self._may_register(by):
            return "unknown-operator"
        if not checked:
            return "not-adopted"
        if assay.id in self.assays:
            return "already-known"
        self.assays[assay.id] = assay
        return None

    def receive(self, by: str, number: str, assay: str, expires: date, units: int | None) -> Code:
        """Enter a batch of kits."""
        if not self._may_register(by):
            return "unknown-operator"
        if number in self.lots:
            return "already-known"
        if assay not in self.assays:
            return "not-adopted"
        self.lots[number] = Lot(self.assays[assay], expires, units)
        return None

    def hold(self, by: str, number: str) -> Code:
        """Stop a lot."""
        if by not in self.operators:
            return "unknown-operator"
        if number not in self.lots:
            return "unknown-lot"
        self.lots[number].held = True
        self._stock(number)
        return None

    def open(self, by: str, number: str) -> Code:
        """Open a box at the bench."""
        if by not in self.operators:
            return "unknown-operator"
        if number not in self.lots:
            return "unknown-lot"
        code = self.lots[number].refuse(self.today)
        self.open_lot = self.open_lot if code else number
        return code

    def hear(self, by: str, label: str) -> Code:
        """Say that a sound was heard."""
        if by not in self.operators:
            return "unknown-operator"
        if label not in self.cartridges:
            return "unknown-cartridge"
        call = self.cartridges[label].call(self.now)
        if call is None or (call[1] is not None and self.now >= call[1]):
            return "not-allowed"
        self.heard[label] = call[0]
        return None

    def mute(self, by: str, span: int) -> Code:
        """Let nothing sound for a while."""
        if by not in self.operators:
            return "unknown-operator"
        if not 0 < span <= 10 * MINUTE:
            return "not-allowed"
        self.muted_until = self.now + span
        return None

    def unmute(self, by: str) -> Code:
        """Give the sound back."""
        if by not in self.operators:
            return "unknown-operator"
        self.muted_until = None
        return None

    def try_alarm(self, by: str, *, heard: bool) -> Code:
        """Say whether the alarm was heard."""
        if by not in self.operators:
            return "unknown-operator"
        self.alarm_heard = heard
        return None

    def label(self, aim: Aim, number: str) -> Code:
        """Start a cartridge."""
        if aim.by not in self.operators:
            return "unknown-operator"
        if aim.label in self.cartridges:
            return "label-in-use"
        if aim.scanned not in (None, aim.label):
            return "wrong-cartridge"
        if aim.person is None or aim.person not in self.persons:
            return "unknown-person"
        lot = self.lots.get(number)
        if lot is None:
            return "unknown-lot"
        if (code := lot.refuse(self.today)) is not None:
            return code
        same = [
            each
            for each in self.cartridges.values()
            if each.person == aim.person and each.assay.id == lot.assay.id
        ]
        failed = [each.label for each in same if each.asks_for_repeat(self.now)]
        now = self.now
        self.cartridges[aim.label] = Cartridge(
            label=aim.label,
            person=aim.person,
            assay=lot.assay,
            place=len(self.cartridges) + 1,
            done=[Done(lot.assay.steps[0], now, now, now)],
            repeats=failed[-1] if failed else None,
            warned=sum(each.outcome(now) == "invalid" for each in same) >= 2,
        )
        lot.used += 1
        self._stock(number)
        return None

    def on_cartridge(self, aim: Aim, what: str, judge: Callable[[Cartridge], Code]) -> Code:
        """Make sure of operator, cartridge and person, and that it has not ended; then judge."""
        if aim.by not in self.operators:
            return "unknown-operator"
        found = self.cartridges.get(aim.label)
        if found is None:
            return "unknown-cartridge"
        if aim.scanned not in (None, aim.label):
            return "wrong-cartridge"
        if aim.person not in (None, found.person):
            return "wrong-person"
        stage = found.stage(self.now)
        if stage == "read" and what != "correct":
            return "already-read"
        if stage == "lapsed" and what in ("look", "read"):
            return "window-closed"
        if stage in ("lapsed", "void"):
            return "already-ended"
        code = judge(found)
        if found.ended:
            self.heard.pop(found.label, None)
        return code

    def do_steps(self, found: Cartridge, steps: list[str], said: int | None, doubt: int) -> Code:
        """Do several steps by one act, all or none."""
        if not steps:
            return "out-of-order"
        tried = copy.deepcopy(found)
        for place, step in enumerate(steps, start=1):
            if (code := self._do_step(tried, step, said, doubt)) is not None:
                return code
            if place < len(steps) and found.assay.has_a_clock(step):
                return "not-allowed"
        found.done, found.deviations, found.void = tried.done, tried.deviations, tried.void
        return None

    def _do_step(self, found: Cartridge, step: str, said: int | None, doubt: int) -> Code:
        before, now = found.done[-1], self.now
        if found.void or step != found.wanted:
            return "out-of-order"
        this = Done(step, now, now, now)
        if said is not None:
            if said < before.said:
                return "out-of-order"
            this = Done(step, said, max(said - doubt, before.earliest), min(said + doubt, now))
        odd: list[tuple[str, int]] = []
        for begun, wait, _, _ in found.running_waits():
            if wait.until != step:
                continue
            shortest, longest = this.earliest - begun.latest, this.latest - begun.earliest
            if shortest < wait.least:
                if wait.least_is_firm:
                    return "wait-not-over"
                odd.append((f"{begun.step}-short", shortest))
            if wait.most is not None and (longest > wait.most or begun.doubted is not None):
                if wait.most_is_firm:
                    return "not-allowed"
                odd.append((f"{begun.step}-long", longest))
        if said is not None and said > now:
            return "not-allowed"
        found.done.append(this)
        found.deviations += odd
        found.void = found.applied is not None and found.is_empty
        return None

    def look(self, found: Cartridge, seen: Seen) -> Code:
        """Look before the window: only a valid positive may come of it."""
        if found.applied is None:
            return "out-of-order"
        early, opens, _, _ = found.window()
        if found.unsure:
            return "window-closed"
        if early is None or self.now >= opens:
            return "not-allowed"
        if self.now < early:
            return "too-early"
        if not seen.is_whole(found.assay.lines):
            return "bad-bands"
        if not seen.ran:
            return "early-no-control"
        if not seen.shown:
            return "early-negative"
        found.early |= seen.shown
        return None

    def read(self, found: Cartridge, seen: Seen, by: str) -> Code:
        """Read the strip inside its window."""
        if found.applied is None:
            return "out-of-order"
        if found.unsure:
            return "window-closed"
        if self.now < found.window()[1]:
            return "too-early"
        if not seen.is_whole(found.assay.lines):
            return "bad-bands"
        found.seen, found.read_by, found.read_at = seen, by, self.now
        found.outcomes = found.judge(seen)
        return None

    def correct(self, found: Cartridge, seen: Seen, by: str) -> Code:
        """Mend a slip of the keys."""
        if found.seen is None:
            return "out-of-order"
        closes = found.window()[3]
        until = found.read_at + 5 * MINUTE if closes is None else closes
        if found.unsure or self.now > until:
            return "already-read"
        if by != found.read_by:
            return "not-allowed"
        if not seen.is_whole(found.assay.lines):
            return "bad-bands"
        if seen == found.seen:
            return "already-known"
        found.seen, found.outcomes = seen, found.judge(seen)
        return None

    def give_up(self, found: Cartridge) -> Code:
        """Void a cartridge; what was seen stays."""
        if found.early:
            return "not-allowed"
        found.void = True
        return None

    def state(self, found: Cartridge, by: str, witness: str, said: int, doubt: int) -> Code:
        """Say, two people, when the drops of an unsure cartridge fell."""
        if witness not in self.operators:
            return "unknown-operator"
        if not found.unsure or found.applied is None or witness == by or said > self.now:
            return "not-allowed"
        last = found.done[-1]
        found.done[-1] = Done(last.step, said, said - doubt, min(said + doubt, self.now))
        found.unsure, found.fallen = False, set()
        found.void = not found.early and found.is_empty
        return None

    # What follows.

    def waiting(self) -> list[str]:
        """Give whose turn is next: who came together and was given no cartridge since."""
        started = {(each.person, each.place) for each in self.cartridges.values()}
        return [
            person
            for name, (people, before) in self.parties.items()
            for person in people
            if self.came_with[person] == name
            and not any(who == person and place > before for who, place in started)
        ]

    def _may_register(self, by: str | None) -> bool:
        return by in self.operators if by is not None else not self.operators

    def _stock(self, number: str) -> None:
        lot = self.lots[number]
        if self.open_lot == number and (lot.held or lot.used_up):
            self.open_lot = None

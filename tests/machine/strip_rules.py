"""Strips are begun, worked on, looked at, read and given up, at whichever station."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hypothesis import strategies as st
from hypothesis.stateful import rule

from machine.stations_played import AT, PERSONS, PLACE, StationsPlayed, nth, seen, which_station
from readbell.core.board.acts import HearAlert
from readbell.core.board.entry import Do, Entry
from readbell.core.instant import Instant, Span
from readbell.core.reading.bands import Strength

if TYPE_CHECKING:
    from readbell.bay.news import Answer


class StripRules(StationsPlayed):
    """From the label to the reading."""

    @rule(which=which_station, n=nth, sensible=st.sampled_from([True] * 4 + [False]))
    def begin(self, which: str, n: int, sensible: bool) -> None:
        """Label a cartridge; alone, as a rule under the mark of the station."""
        seat = self.seat(which)
        mark = f"{seat.presence.mark}-" if (not seat.journal.is_linked) is sensible else ""
        label = f"{mark}C{len(self.strips) + 1 if n else 1}"
        place = PLACE if n % 3 else f"beside {PERSONS[n % 2]}"
        self.act(
            which,
            Entry(
                do=Do.LABEL,
                by=AT[which],
                cartridge=label,
                person=PERSONS[n % 2],
                lot="L-100",
                place=place,
            ),
        )

    @rule(which=which_station, n=nth)
    def go_on(self, which: str, n: int) -> None:
        """Do what comes next for a cartridge, wherever its clock is held."""
        found = self.pick(which, n)
        if found is None:
            self.begin(which, n, True)
        elif found.next_step is None:
            self.read(which, n, Strength.ABSENT)
        elif found.next_step.key == "buffer":
            self.step(which, found.label, "buffer", "collect", "extract")
        else:
            self.step(which, found.label, found.next_step.key)

    def step(self, which: str, label: str, *keys: str) -> bool:
        """Do the next steps of a cartridge; say whether they were taken."""
        entry = Entry(do=Do.STEPS, by=AT[which], cartridge=label, steps=keys)
        answer = self.act(which, entry)
        if answer.accepted and "apply" in keys:
            found = answer.board.labelled(label)
            assert found is not None
            self.strips[found.id].drops.append(self.site.true.wall)
        return answer.accepted

    @rule(which=which_station, n=nth)
    def to_well(self, which: str, n: int) -> None:
        """Take a new cartridge to its well, its wait kept."""
        before = set(self.strips)
        self.begin(which, n + 1, True)
        for each in set(self.strips) - before:
            label = self.strips[each].label
            if self.step(which, label, "buffer", "collect", "extract"):
                self.wait(60_000)
                self.step(which, label, "withdraw")
                self.step(which, label, "apply")

    @rule(which=which_station, n=nth, strength=seen)
    def read(self, which: str, n: int, strength: Strength) -> None:
        """Read a strip, whenever it is."""
        found = self.pick(which, n)
        if found is not None:
            self._see(Do.READ, which, found.label, strength)

    @rule(which=which_station, n=nth, strength=seen)
    def look(self, which: str, n: int, strength: Strength) -> None:
        """Look at a strip early."""
        found = self.pick(which, n)
        if found is not None:
            self._see(Do.LOOK, which, found.label, strength)

    def _see(self, do: Do, which: str, label: str, strength: Strength) -> Answer:
        entry = Entry(do=do, by=AT[which], cartridge=label, control=True, test=strength)
        return self.act(which, entry)

    @rule(
        which=which_station,
        n=nth,
        beside=st.sampled_from([-1_000, 0, 30_000, 299_000, 301_000]),
        strength=seen,
    )
    def read_in_time(self, which: str, n: int, beside: int, strength: Strength) -> None:
        """Read a strip about where its window opens or closes, by true time."""
        found = self.pick(which, n)
        applied = None if found is None else self.strips[found.id].applied
        if found is not None and applied is not None:
            self.wait(max(0, applied + 900_000 + beside - self.site.true.wall))
            self._see(Do.READ, which, found.label, strength)

    @rule(which=which_station, n=nth, strength=seen)
    def correct(self, which: str, n: int, strength: Strength) -> None:
        """Mend a slip of the keys."""
        found = self.pick(which, n, ended=True)
        if found is not None:
            self._see(Do.CORRECT, which, found.label, strength)

    @rule(which=which_station, n=nth)
    def give_up_a_strip(self, which: str, n: int) -> None:
        """Void a cartridge."""
        found = self.pick(which, n)
        if found is not None:
            reason = "dropped" if n % 2 else f"{PERSONS[0]} left"
            self.act(which, Entry(do=Do.VOID, by=AT[which], cartridge=found.label, reason=reason))

    @rule(which=which_station, n=nth, again=st.booleans())
    def mend_a_slip(self, which: str, n: int, again: bool) -> None:
        """Take back what was confirmed last on a strip, and perhaps confirm it once more."""
        found = self.pick(which, n)
        if found is None:
            return
        step = found.last_mark.step
        entry = Entry(
            do=Do.TAKE_BACK, by=AT[which], cartridge=found.label, step=step, reason="not-done"
        )
        if self.act(which, entry).accepted and again:
            self.wait(2_000)
            self.go_on(which, n)

    @rule(which=which_station, n=nth)
    def hear(self, which: str, n: int) -> None:
        """Hear what calls."""
        found = self.pick(which, n)
        if found is not None:
            self.act(which, HearAlert(by=AT[which], cartridge=found.label))

    @rule(which=which_station, n=nth)
    def state_what_is_unsure(self, which: str, n: int) -> None:
        """Say with a witness, truly, when the drops of a strip in doubt fell."""
        found = self.pick(which, n)
        applied = None if found is None else self.strips[found.id].applied
        if found is None or applied is None or not found.unsure:
            return
        said = Instant(self.seat(which).work.now() - (self.site.true.wall - applied))
        entry = Entry(
            do=Do.STATE_APPLICATION,
            by=AT[which],
            witness="op-3",
            cartridge=found.label,
            done_at=said,
            give_or_take=Span(10_000),
        )
        self.act(which, entry)

"""Strips are looked at, read and read wrongly, about when that may be done."""

from __future__ import annotations

from hypothesis import strategies as st
from hypothesis.stateful import rule

from machine.given import (
    LABELS,
    OPERATORS,
    PEOPLE,
    by_whom,
    doubt,
    faults,
    lines,
    nth,
    person,
    scan,
    which_or_who,
)
from machine.plain_parts import Aim
from machine.step_rules import StepRules
from readbell.core.board.entry import Do


class ReadingRules(StepRules):
    """Early looks, readings, slips of the keys."""

    @rule(
        n=nth,
        do=st.sampled_from([Do.LOOK, Do.READ]),
        beside=st.sampled_from([0, 1, 30_000, -1]),
        shown=lines,
        fault=faults,
    )
    def see_in_time(self, n: int, do: Do, beside: int, shown: dict[str, str], fault: str) -> None:
        """Look at or read a strip that develops, where its time for that begins."""
        found = self.pick(n, lambda each: each.applied is not None and not each.ended)
        if found is None:
            return
        early, opens, _, _ = found.window()
        begins = early if do is Do.LOOK and early is not None else opens
        self.advance(max(0, begins + beside - self.model.now))
        self.see(do, Aim(OPERATORS[n % 2], found.label, found.label, found.person), shown, fault)

    @rule(
        do=st.sampled_from([Do.LOOK, Do.READ, Do.READ, Do.CORRECT, Do.CORRECT]),
        label=which_or_who,
        by=by_whom,
        scanned=scan,
        who=person,
        shown=lines,
        fault=faults,
    )
    def see_anyhow(
        self,
        do: Do,
        label: str,
        by: str,
        scanned: str | None,
        who: str | None,
        shown: dict[str, str],
        fault: str,
    ) -> None:
        """Look at a strip, read it, or mend a reading."""
        self.see(do, Aim(by, label, scanned, who), shown, fault)

    @rule(n=nth, shown=lines, fault=faults, other=st.integers(0, 7), late=st.booleans())
    def correct_in_time(
        self, n: int, shown: dict[str, str], fault: str, other: int, late: bool
    ) -> None:
        """Mend a reading, by whoever read it; or by somebody else, or late."""
        found = self.pick(n, lambda each: each.seen is not None)
        if found is None:
            return
        if late:
            closes = found.window()[3]
            until = found.read_at + 300_000 if closes is None else closes
            self.advance(max(0, until + n % 2 - self.model.now))
        by = found.read_by if other else OPERATORS[OPERATORS.index(found.read_by) - 1]
        self.see(Do.CORRECT, Aim(by, found.label), shown, fault)

    @rule(n=nth, shown=lines, early=lines)
    def give_up_what_was_seen(self, n: int, shown: dict[str, str], early: dict[str, str]) -> None:
        """Look early, and give the cartridge up: it must not wipe out a positive."""
        self.one_more("L-100", PEOPLE[n % 2])
        self.see_in_time(n, Do.LOOK, 0, early, "")
        found = self.pick(n, lambda each: bool(each.early) and not each.ended)
        if found is not None:
            self.give_up(found.label, OPERATORS[0], words=n % 2 == 0)
            self.see_in_time(n, Do.READ, 0, shown, "")

    @rule(
        lot=st.sampled_from(["L-100", "L-odd"]),
        waited=st.sampled_from([59_999, 60_000, 180_000, 180_001, 240_000]),
        back=st.sampled_from([0, 1, 30_000, 120_000]),
        doubt=doubt,
        shown=lines,
    )
    def late_truth(
        self, lot: str, waited: int, back: int, doubt: int, shown: dict[str, str]
    ) -> None:
        """Do several steps together, and state the later ones after the fact; then read."""
        label = next((each for each in LABELS if each not in self.model.cartridges), None)
        if label is None:
            return
        self.start(label, PEOPLE[1], lot)
        aim = Aim(OPERATORS[0], label)
        self.steps(aim, ["buffer", "collect", "extract"], None, 0, one=False)
        self.advance(waited)
        self.steps(aim, ["withdraw"], self.model.now - back, doubt, one=True)
        self.steps(aim, ["withdraw"], None, 0, one=True)
        self.advance(30_000)
        self.steps(aim, ["apply"], self.model.now - back, doubt, one=True)
        self.see_in_time(0, Do.READ, 0, shown, "")

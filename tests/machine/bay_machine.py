"""Acts of every kind, in any order, on a real bay and on the plain model: they must agree.

The rules stand in the files beside this one, one for each concept; here a play begins, and whole
lives of a strip are played through.
"""

from __future__ import annotations

from hypothesis import strategies as st
from hypothesis.stateful import initialize, rule

from machine.fault_rules import FaultRules
from machine.given import LABELS, LOTS, OPERATORS, PEOPLE, doubt, faults, lines, nth
from machine.paper_rules import PAST, PaperRules
from machine.plain_parts import Aim
from machine.plain_stock import Correction
from machine.reading_rules import ReadingRules
from machine.stand import ASSAYS, ODD
from readbell.core.board.acts import RegisterOperator
from readbell.core.board.entry import Do

SHOWN = [("clear", "absent", "clear"), ("absent", "faint", "absent"), ("faint", "clear", "absent")]
"""What stands on the strips of an opening, line by line; the last line is the only one of some."""


class BayMachine(PaperRules, ReadingRules, FaultRules):
    """A bay, and whatever is done to it."""

    @initialize(odd=st.booleans(), shown=lines, mended=lines, n=nth)
    def prepare(self, odd: bool, shown: dict[str, str], mended: dict[str, str], n: int) -> None:
        """Register operators and people, adopt the assays, receive the lots; run two cartridges."""
        first = OPERATORS[0]
        for by, new in ((None, first), (first, OPERATORS[1]), (None, "nurse-nobody")):
            act = RegisterOperator(by=by, operator=self.stand.private(new))
            self.put(act, lambda by=by, new=new: self.model.register_operator(by, new))  # type: ignore[misc]
        for key in ASSAYS:
            self.adopt(first, key, checked=True)
        for number in LOTS:
            self.receive(first, number)
        for who in PEOPLE[:2]:
            self.register_person(first, who)
        self.a_whole_life("L-odd" if odd else "L-100", mended, shown, mended, "", n)
        self.one_more("L-100" if odd else "L-odd", PEOPLE[1])
        if n % 2:
            self.an_outage("away" if n == 9 else "gone", ends=False, n=n)
        self.begin_with(n, shown, mended)

    def opening(self, n: int) -> None:
        """Begin a play in one of so many ways, and look over what is always true."""
        shown, mended = (dict(zip(ODD.lines, each, strict=True)) for each in SHOWN[n % 2 :][:2])
        self.prepare(n % 4 > 1, shown, mended, n)

    def begin_with(self, n: int, shown: dict[str, str], mended: dict[str, str]) -> None:
        """Do something more before whatever comes, such as starting anew after a kill."""
        match n % 4:
            case 0:
                self.again(cleanly=False, away=1_000, boots="before")
            case 1:
                self.entered_wrongly(OPERATORS[1], "L-100", Correction(PAST, is_past=True))
                self.hear_and_read(n, -1, shown)
                self.sound(OPERATORS[0], LABELS[0], "mute", 60_000)
            case 2:
                self.late_truth("L-100", [59_999, 60_000][n // 6], 0, 0, mended)
            case _:
                self.a_life_in_doubt(shown, "unknown", 0, n)
                self.slip_and_mend("L-odd", 901_000)
                self.slip_and_mend("L-100", 0)

    @rule(
        lot=st.sampled_from(["L-100", "L-odd"]),
        early=lines,
        shown=lines,
        mended=lines,
        fault=faults,
        n=nth,
    )
    def a_whole_life(
        self,
        lot: str,
        early: dict[str, str],
        shown: dict[str, str],
        mended: dict[str, str],
        fault: str,
        n: int,
    ) -> None:
        """Start one, look at it early, read it, and mend the reading."""
        label = next((each for each in LABELS if each not in self.model.cartridges), None)
        if label is None:
            return
        self.start(label, PEOPLE[0], lot)
        self.hurry(label)
        found = self.model.cartridges.get(label)
        if found is None or found.applied is None:
            return
        aim = Aim(OPERATORS[0], label, label, found.person)
        self.advance((found.assay.early or 0) - (n == 0))
        self.see(Do.LOOK, aim, early, "")
        if n % 4 == 2:
            self.give_up(label, OPERATORS[1], words=True)
        self.ring()
        self.advance(max(0, found.window()[1] - self.model.now - (n == 1)))
        self.see(Do.READ, aim, shown, fault)
        closes = found.window()[3]
        until = self.model.now + 300_000 if closes is None else closes
        self.advance(n * 1_000 if n < 8 else max(0, until - self.model.now + (n == 11)))
        self.see(Do.CORRECT, aim, mended, "")

    @rule(shown=lines, boots=st.sampled_from(["before", "unknown"]), doubt=doubt, n=nth)
    def a_life_in_doubt(self, shown: dict[str, str], boots: str, doubt: int, n: int) -> None:
        """Start one, lose the time in a restart of the computer, state the drops, and read."""
        self.one_more("L-100", PEOPLE[1])
        self.again(cleanly=n % 2 == 0, away=n * 10_000, boots=boots)
        self.state_what_is_unsure(0, 60_000, doubt)
        self.see_in_time(0, Do.READ, 0, shown, "")

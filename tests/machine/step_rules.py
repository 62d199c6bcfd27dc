"""Cartridges are begun, taken to their wells, given up, and said to have been worked on before."""

from __future__ import annotations

from hypothesis import strategies as st
from hypothesis.stateful import rule

from machine.given import (
    LABELS,
    LOTS,
    OPERATORS,
    PEOPLE,
    WORDS,
    by_whom,
    doubt,
    lines,
    nth,
    person,
    scan,
    which,
    which_or_who,
)
from machine.hands import Hands
from machine.plain_parts import Aim
from machine.stand import STEPS
from readbell.core.board.entry import Do
from readbell.core.instant import Instant, Span


class StepRules(Hands):
    """From the label to the drops."""

    @rule(label=which)
    def hurry(self, label: str) -> None:
        """Take a cartridge to its well, each wait kept."""
        found = self.model.cartridges.get(label)
        while found is not None and found.wanted is not None and not found.ended:
            before = len(found.done)
            if found.wanted in ("withdraw", "apply"):
                self.advance(60_000)
            self.sensibly(found, {})
            found = self.model.cartridges[label]
            if len(found.done) == before:
                break

    @rule(label=which, shown=lines)
    def go_on(self, label: str, shown: dict[str, str]) -> None:
        """Do what comes next for a cartridge, or start it."""
        found = self.model.cartridges.get(label)
        if found is None:
            self.start(label, PEOPLE[int(label[1:]) % 2], "L-100")
        else:
            self.sensibly(found, shown)

    @rule(lot=st.sampled_from(["L-100", "L-odd", "L-two"]), who=st.sampled_from(PEOPLE[:2]))
    def one_more(self, lot: str, who: str) -> None:
        """Take a new cartridge to its well."""
        label = next((each for each in LABELS if each not in self.model.cartridges), None)
        if label is not None:
            self.start(label, who, lot)
            self.hurry(label)

    @rule(
        label=which,
        who=st.sampled_from([*PEOPLE, None]),
        lot=st.sampled_from([*LOTS, "L-100", "L-odd", "L-9"]),
        by=by_whom,
    )
    def label_it(self, label: str, who: str | None, lot: str, by: str) -> None:
        """Start a cartridge, sensibly or not."""
        self.start(label, who, lot, by)

    @rule(
        label=which_or_who,
        by=by_whom,
        scanned=scan,
        who=person,
        first=st.integers(0, 5),
        many=st.integers(0, 4),
        back=st.sampled_from([None, None, 0, 1_000, 30_000, 90_000, 300_000, -5_000]),
        doubt=doubt,
    )
    def step_anyhow(
        self,
        label: str,
        by: str,
        scanned: str | None,
        who: str | None,
        first: int,
        many: int,
        back: int | None,
        doubt: int,
    ) -> None:
        """Do a step or several together, now or as stated afterwards, in turn or out of it."""
        found = self.model.cartridges.get(label)
        if found is not None and found.wanted is not None and first < 4:
            first = STEPS.index(found.wanted)
        said = None if back is None else self.model.now - back
        keys = STEPS[first : first + max(many, 1)]
        if many == 0 and first == 5:
            self.steps(Aim(by, label, scanned, who), [], said, doubt, one=False)
        else:
            self.steps(Aim(by, label, scanned, who), keys, said, doubt, one=many <= 1)

    @rule(n=nth, reason=st.sampled_from(["pressed-too-early", "another-cartridge", "not-done"]))
    def mend_a_slip(self, n: int, reason: str) -> None:
        """Take back what was confirmed last on one that has something to take back."""
        found = self.pick(n, lambda each: not each.ended and len(each.done) > 1)
        if found is not None:
            self.undo_step(Aim(OPERATORS[1], found.label), found.done[-1].step, reason)

    @rule(label=which_or_who, by=by_whom, scanned=scan, who=person, step=st.sampled_from(STEPS))
    def take_back_anyhow(
        self, label: str, by: str, scanned: str | None, who: str | None, step: str
    ) -> None:
        """Take a step back, the last one or not, aimed well or not."""
        self.undo_step(Aim(by, label, scanned, who), step, "other")

    @rule(
        lot=st.sampled_from(["L-100", "L-odd"]),
        span=st.sampled_from([0, 1_000, 61_000, 181_000, 901_000]),
    )
    def slip_and_mend(self, lot: str, span: int) -> None:
        """Start one, press its drops too early, let alarms fall for them, and mend it, or all of it."""
        label = next((each for each in LABELS if each not in self.model.cartridges), None)
        if label is None:
            return
        self.start(label, PEOPLE[0], lot)
        self.hurry(label)
        self.advance(span)
        self.ring()
        self.undo_step(Aim(OPERATORS[1], label), "withdraw", "not-done")
        self.undo_step(Aim(OPERATORS[0], label, label), "apply", "pressed-too-early")
        self.ring()
        if span == 0:
            for step in reversed(STEPS[:-1]):
                self.undo_step(Aim(OPERATORS[1], label), step, "not-done")
        self.advance(span)
        self.hurry(label)

    @rule(label=which, by=by_whom, words=st.booleans())
    def give_up(self, label: str, by: str, words: bool) -> None:
        """Void a cartridge."""
        reason = WORDS if words else "dropped"
        self.aimed(Do.VOID, Aim(by, label), self.model.give_up, "void", reason=reason)

    @rule(
        label=which_or_who,
        by=st.sampled_from(OPERATORS),
        witness=st.sampled_from([*OPERATORS, *OPERATORS, "nurse-nobody"]),
        back=st.sampled_from([0, 60_000, 300_000, 960_000, -1]),
        doubt=doubt,
    )
    def state(self, label: str, by: str, witness: str, back: int, doubt: int) -> None:
        """Say with a witness when the drops fell."""
        said = self.model.now - back
        self.aimed(
            Do.STATE_APPLICATION,
            Aim(by, label),
            lambda found: self.model.state(found, by, witness, said, doubt),
            "state",
            witness=witness,
            done_at=Instant(said),
            give_or_take=Span(doubt),
        )

    @rule(n=nth, back=st.sampled_from([0, 60_000, 300_000, 960_000, -1]), doubt=doubt)
    def state_what_is_unsure(self, n: int, back: int, doubt: int) -> None:
        """Say with a witness when the drops of a cartridge in doubt fell."""
        found = self.pick(n, lambda each: each.unsure and not each.ended)
        if found is not None:
            self.state(found.label, OPERATORS[0], OPERATORS[1], back, doubt)

"""The life of one cartridge, played at random against a plain model in the figures of the kit.

The model knows nothing of the program: a dictionary, the clock in milliseconds
and the reading rules as the handbook of the bench has them (common practice).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from builders import (
    CLEAR,
    FAINT,
    NASAL,
    NEGATIVE,
    NO_CONTROL,
    SMEAR,
    START,
    TODAY,
    Bench,
)
from readbell.core.board.decide import decide
from readbell.core.board.fold import fold
from readbell.core.cartridge.acts import Aim, DoStep, Label, Look, Read, Void
from readbell.core.cartridge.at_instant import stage_at
from readbell.core.cartridge.due import alerts_to_come
from readbell.core.cartridge.events import VoidReason
from readbell.core.cartridge.looks import lapse
from readbell.core.instant import Instant
from readbell.core.refusal import Refusal

if TYPE_CHECKING:
    from readbell.core.board.acts import Act

ORDER = ["label", "buffer", "collect", "extract", "withdraw", "apply"]
SECOND, MINUTE = 1_000, 60_000
EARLY, OPENS, CLOSING, CLOSES = 2 * MINUTE, 15 * MINUTE, 18 * MINUTE, 20 * MINUTE

SEEN = {
    "clear": CLEAR,
    "faint": FAINT,
    "no line": NEGATIVE,
    "no control line": NO_CONTROL,
    "smear": SMEAR,
}
OF_THE_WINDOW = {
    "clear": "positive",
    "faint": "positive",
    "no line": "negative",
    "no control line": "invalid",
    "smear": "invalid",
}
BENCH = Bench(units=None).board
AIM = Aim(by="op-1", cartridge="C1", person="P-001")


class Life(RuleBasedStateMachine):
    """Acts and waits in any order; the program and the model must agree after each."""

    @initialize()
    def label(self) -> None:
        """Start the cartridge at 0."""
        self.board = BENCH
        self.model: dict[str, Any] = {
            "now": 0,
            "done": {},
            "early": False,
            "end": None,
            "outcome": None,
            "deviations": [],
        }
        self.act(Label(aim=AIM, new_id="id-C1", lot="L-100", today=TODAY), None)
        self.model["done"]["label"] = 0

    def act(self, act: Act, expected: str | None) -> None:
        """Judge `act` now; the model expects this refusal, or None for an act that is taken."""
        before = self.board
        decided = decide(self.board, act, Instant(START + self.model["now"]))
        if isinstance(decided, Refusal):
            assert str(decided.code) == expected
            assert self.board is before
            return
        assert expected is None, f"taken, though {expected} was expected"
        for event in decided:
            self.board = fold(self.board, event)

    def since(self, step: str) -> int:
        """Milliseconds since `step` was done."""
        elapsed: int = self.model["now"] - self.model["done"][step]
        return elapsed

    def has_lapsed(self) -> bool:
        """Whether the window has closed unread, on record or by time alone."""
        applied = "apply" in self.model["done"]
        ended = self.model["end"] in ("read", "void")
        return applied and not ended and self.since("apply") > CLOSES

    def refused_as_ended(self, *, looking: bool) -> str | None:
        """What any act on an ended cartridge is told."""
        if self.model["end"] == "read":
            return "already-read"
        if self.model["end"] == "void":
            return "already-ended"
        if self.has_lapsed():
            return "window-closed" if looking else "already-ended"
        return None

    @rule(span=st.sampled_from([0, 1, SECOND, 59_999, MINUTE, 60_001, 3 * MINUTE, 180_001]))
    def wait(self, span: int) -> None:
        """Let time pass, along the borders of the wait in the buffer."""
        self.model["now"] += span

    @precondition(lambda self: "apply" in self.model["done"])
    @rule(
        border=st.sampled_from([EARLY, OPENS, CLOSING, CLOSES]), beside=st.sampled_from([-1, 0, 1])
    )
    def wait_for_a_border(self, border: int, beside: int) -> None:
        """Let time pass until a border of the window, or one millisecond beside it."""
        now = self.model["done"]["apply"] + border + beside
        self.model["now"] = max(self.model["now"], now)

    @rule(step=st.sampled_from([*ORDER, "incubate"]))
    def do_any_step(self, step: str) -> None:
        """Press any step, in turn or not."""
        done = self.model["done"]
        expected = self.refused_as_ended(looking=False)
        wanted = ORDER[len(done)] if len(done) < len(ORDER) else None
        if expected is None and step != wanted:
            expected = "out-of-order"
        if expected is None and step == "withdraw" and self.since("extract") < MINUTE:
            expected = "wait-not-over"
        self.act(DoStep(aim=AIM, step=step, new_specimen="specimen"), expected)
        if expected is None:
            if step == "withdraw" and self.since("extract") > 3 * MINUTE:
                self.model["deviations"].append(("extract-long", self.since("extract")))
            done[step] = self.model["now"]

    @precondition(lambda self: "apply" not in self.model["done"])
    @rule()
    def do_the_next_step(self) -> None:
        """Go on as the assay has it, so that the window is often reached."""
        step = ORDER[len(self.model["done"])]
        if step == "withdraw" and self.since("extract") < MINUTE:
            self.model["now"] = self.model["done"]["extract"] + MINUTE
        self.do_any_step(step)

    @rule(seen=st.sampled_from(sorted(SEEN)))
    def look(self, seen: str) -> None:
        """Look before the window, or when a look is no longer asked for."""
        expected = self.refused_as_ended(looking=True)
        if expected is None and "apply" not in self.model["done"]:
            expected = "out-of-order"
        if expected is None and self.since("apply") >= OPENS:
            expected = "not-allowed"
        if expected is None and self.since("apply") < EARLY:
            expected = "too-early"
        if expected is None and seen in ("no control line", "smear"):
            expected = "early-no-control"
        if expected is None and seen == "no line":
            expected = "early-negative"
        self.act(Look(aim=AIM, bands=SEEN[seen]), expected)
        self.model["early"] |= expected is None

    @rule(seen=st.sampled_from(sorted(SEEN)))
    def read(self, seen: str) -> None:
        """Read the strip, in its window or not."""
        expected = self.refused_as_ended(looking=True)
        if expected is None and "apply" not in self.model["done"]:
            expected = "out-of-order"
        if expected is None and self.since("apply") < OPENS:
            expected = "too-early"
        self.act(Read(aim=AIM, bands=SEEN[seen]), expected)
        if expected is None:
            outcome = OF_THE_WINDOW[seen]
            contradicted = self.model["early"] and outcome != "positive"
            self.model |= {"end": "read", "outcome": "withheld" if contradicted else outcome}

    @rule()
    def give_up(self) -> None:
        """Void the cartridge, unless something valid was seen on it."""
        expected = self.refused_as_ended(looking=False)
        if expected is None and self.model["early"]:
            expected = "not-allowed"
        self.act(Void(aim=AIM, reason=VoidReason.DROPPED), expected)
        if expected is None:
            self.model["end"] = "void"

    @precondition(lambda self: self.has_lapsed() and self.model["end"] is None)
    @rule()
    def note_the_lapse(self) -> None:
        """The bay records that the window has closed."""
        applied = self.model["done"]["apply"]
        closed = Instant(START + applied + CLOSES + 1)
        self.board = fold(self.board, lapse(self.board.running["id-C1"], closed))
        self.model |= {"end": "lapsed", "outcome": "positive" if self.model["early"] else "invalid"}

    @invariant()
    def they_agree(self) -> None:
        """Stage, outcome, marks and deviations are what the model says."""
        found = self.board.labelled("C1")
        assert found is not None
        assert str(stage_at(found, Instant(START + self.model["now"]))) == self.stage()
        assert (None if found.outcome is None else str(found.outcome)) == self.model["outcome"]
        assert [mark.step for mark in found.marks] == list(self.model["done"])
        assert [(each.code, each.span) for each in found.deviations] == self.model["deviations"]
        assert (found.id in self.board.ended) == (self.model["end"] is not None)

    @invariant()
    def what_is_to_come_fits_the_stage(self) -> None:
        """A developing cartridge calls at its four borders, an ended one never."""
        found = self.board.labelled("C1")
        assert found is not None
        coming = [(alert.due - START, str(alert.kind)) for alert in alerts_to_come(found)]
        done = self.model["done"]
        expected: list[tuple[int, str]] = []
        if self.model["end"] is None and "apply" in done:
            drops = done["apply"]
            expected = [
                (drops + EARLY, "early-look"),
                (drops + OPENS, "read-now"),
                (drops + CLOSING, "closing"),
                (drops + CLOSES + 1, "lapsed"),
            ]
        elif self.model["end"] is None and "extract" in done and "withdraw" not in done:
            swab = done["extract"]
            expected = [(swab + MINUTE, "wait-over"), (swab + 3 * MINUTE, "overdue")]
        assert coming == expected

    def stage(self) -> str:
        """The stage as the model has it."""
        done = self.model["done"]
        if self.model["end"] in ("read", "void"):
            return str(self.model["end"])
        if self.has_lapsed():
            return "lapsed"
        if "apply" in done:
            since = self.since("apply")
            if since < OPENS:
                return "developing"
            return "read-window" if since < CLOSING else "closing"
        if "extract" in done:
            return "extracting"
        return "preparing" if len(done) > 1 else "labelled"


TestLife = Life.TestCase
TestLife.settings = settings(deadline=None, max_examples=60, stateful_step_count=30)


def test_the_model_has_the_figures_of_the_bundled_assay() -> None:
    """A model in other figures would agree with nothing."""
    rules = NASAL.reading

    assert [step.key for step in NASAL.steps] == ORDER
    assert (rules.early_from, rules.opens, rules.closes) == (EARLY, OPENS, CLOSES)
    assert rules.closing_warning == CLOSES - CLOSING

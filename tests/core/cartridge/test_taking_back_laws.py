"""Whatever was pressed and taken back, it is as if it had never been pressed, beside the record."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from builders import NASAL, START, Bench
from core.any_acts import as_time_passes
from core.cartridge.taking_back_bench import ODD, back, but_the_record
from readbell.core.board.decide import decide
from readbell.core.board.fold import fold
from readbell.core.cartridge.acts import DoStep, DoSteps
from readbell.core.cartridge.at_instant import stage_at
from readbell.core.cartridge.stage import Stage
from readbell.core.cartridge.taking_back import (
    confirmed_last,
)
from readbell.core.instant import Instant, Span, later
from readbell.core.refusal import Refusal

GAPS = st.sampled_from([0, 1, 29_999, 30_000, 59_999, 60_000, 60_001, 150_000, 180_001, 300_000])
"""Along the borders of every wait."""
WAYS = st.sampled_from([1, 1, 1, 2, 3])
"""How many steps one press confirms."""


class Play:
    """A bench on which time goes by, and alerts fall as it does."""

    def __init__(self, assay_is_odd: bool) -> None:
        self.bench = Bench(ODD if assay_is_odd else NASAL)
        self.now = Span(0)
        self.bench.label()

    def wait(self, gap: int) -> None:
        """Let time go by."""
        self.now = Span(self.now + gap)
        for event in as_time_passes(self.bench.board, later(START, Span(self.now + 1))):
            self.bench.board = fold(self.bench.board, event)

    @property
    def instant(self) -> Instant:
        """The instant that it is."""
        return later(START, self.now)

    def press(self, many: int, back_by: int | None = None) -> bool:
        """Confirm so many steps together, now or as stated; say whether it was taken."""
        cartridge = self.bench.cartridge()
        done = len(cartridge.marks)
        keys = tuple(step.key for step in cartridge.assay.steps[done : done + many])
        said = None if back_by is None else Instant(self.instant - back_by)
        aim = self.bench.aim()
        act: DoStep | DoSteps = (
            DoStep(aim=aim, step=keys[0], new_specimen="s", done_at=said, give_or_take=Span(5_000))
            if len(keys) == 1
            else DoSteps(
                aim=aim, steps=keys, new_specimen="s", done_at=said, give_or_take=Span(5_000)
            )
        )
        decided = decide(self.bench.board, act, self.instant) if keys else None
        if decided is None or isinstance(decided, Refusal):
            return False
        for event in decided:
            self.bench.board = fold(self.bench.board, event)
        return True

    def take_back(self) -> None:
        """Take back what was pressed last."""
        act = back(self.bench, confirmed_last(self.bench.cartridge())[-1].step)
        decided = decide(self.bench.board, act, self.instant)
        assert not isinstance(decided, Refusal), decided
        for event in decided:
            self.bench.board = fold(self.bench.board, event)


@given(
    odd=st.booleans(),
    moves=st.lists(st.tuples(GAPS, WAYS), max_size=6),
    wrong=WAYS,
    stated=st.sampled_from([None, None, 0, 20_000, 60_000]),
    until=GAPS,
    after=st.lists(st.tuples(GAPS, WAYS), min_size=1, max_size=6),
)
def test_a_press_taken_back_and_made_at_its_time_is_as_if_it_had_never_been_made_before(
    odd: bool,
    moves: list[tuple[int, int]],
    wrong: int,
    stated: int | None,
    until: int,
    after: list[tuple[int, int]],
) -> None:
    """The law of the whole: two plays, one with a slip that was mended, come to the same cartridge.

    But for what had fallen while the slip stood: a wait that seemed to be over called for nothing
    then, and calls once it runs again.
    """
    slipped, never = Play(odd), Play(odd)
    for play in (slipped, never):
        for gap, many in moves:
            play.wait(gap)
            play.press(many)
    was_pressed = slipped.press(wrong, stated)
    if not was_pressed or slipped.bench.cartridge().has_ended:
        return
    before = but_the_record(never.bench.cartridge())
    slipped.take_back()
    assert but_the_record(slipped.bench.cartridge()) == before
    # And the same once time went by under the slip.
    assert slipped.press(wrong, stated)
    slipped.wait(until)
    never.wait(until)
    slipped.take_back()
    slipped.wait(0)
    assert but_the_record(slipped.bench.cartridge()) == but_the_record(never.bench.cartridge())
    for gap, many in after:
        for play in (slipped, never):
            play.wait(gap)
        assert slipped.press(many) is never.press(many)
        assert but_the_record(slipped.bench.cartridge()) == but_the_record(never.bench.cartridge())
        instant = slipped.instant
        assert stage_at(slipped.bench.cartridge(), instant) is stage_at(
            never.bench.cartridge(), instant
        )


@given(odd=st.booleans(), moves=st.lists(st.tuples(GAPS, WAYS), min_size=1, max_size=6))
def test_every_press_can_be_taken_back_one_after_another_down_to_the_label(
    odd: bool, moves: list[tuple[int, int]]
) -> None:
    """And each of them is kept, in the order in which they were taken back."""
    play = Play(odd)
    labelled = play.bench.cartridge()
    pressed = 0
    for gap, many in moves:
        play.wait(gap)
        pressed += play.press(many)
    if play.bench.cartridge().has_ended:
        return
    presses = 0
    while confirmed_last(play.bench.cartridge()):
        play.take_back()
        presses += 1
    found = play.bench.cartridge()

    assert (found.stage, found.marks, found.specimen) == (Stage.LABELLED, labelled.marks, None)
    assert found.deviations == ()
    assert len(found.taken_back) == presses <= pressed

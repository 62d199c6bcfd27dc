"""A step that was confirmed and had not been done is taken back, and the cartridge is as before it."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builders import CLEAR, FAINT, NASAL, NEGATIVE, START, Bench, at, span
from core.any_acts import as_time_passes
from readbell.core.assay.reading_rules import SecondReader
from readbell.core.assay.step import Limit, Wait
from readbell.core.board.decide import decide
from readbell.core.board.events import ClockUnsure
from readbell.core.board.fold import fold
from readbell.core.cartridge.acts import Aim, DoStep, DoSteps, StateApplication, TakeBackStep
from readbell.core.cartridge.at_instant import stage_at, window
from readbell.core.cartridge.due import alerts_to_come
from readbell.core.cartridge.events import (
    AlertKind,
    Identified,
    StepDone,
    StepTakenBack,
    TakeBackReason,
)
from readbell.core.cartridge.fold import fold_cartridge
from readbell.core.cartridge.stage import LIFE, Stage
from readbell.core.cartridge.taking_back import (
    LABEL_ALONE,
    UNKNOWN_WAITS,
    confirmed_last,
)
from readbell.core.errors import BrokenRecordError
from readbell.core.instant import Instant, Span, later
from readbell.core.policy.second_reading import SecondReaderRule
from readbell.core.refusal import Refusal, RefusalCode

if TYPE_CHECKING:
    from readbell.core.cartridge.cartridge import Cartridge

TO_BUFFER = ("buffer", "collect", "extract")
ODD = replace(
    NASAL,
    steps=tuple(
        replace(
            step,
            wait={
                "label": Wait(until="extract", most=span("30:00")),
                "extract": Wait(until="withdraw", least=span("1:00"), most=span("3:00")),
                "withdraw": Wait(until="apply", least=span("0:30"), least_is=Limit.ADVISORY),
            }.get(step.key),
        )
        for step in NASAL.steps
    ),
)
"""An assay with a wait behind nearly every step, and one across several."""


def back(
    bench: Bench,
    step: str,
    *,
    label: str = "C1",
    reason: TakeBackReason = TakeBackReason.NOT_DONE,
    aim: Aim | None = None,
) -> TakeBackStep:
    """The act that takes `step` back."""
    return TakeBackStep(aim=aim or bench.aim(label), step=step, reason=reason)


def pass_time(bench: Bench, now: str) -> None:
    """Let everything fall that is due until `now`."""
    for event in as_time_passes(bench.board, later(at(now), Span(1))):
        bench.board = fold(bench.board, event)


def but_the_record(cartridge: Cartridge) -> dict[str, object]:
    """All that is so of a cartridge, beside what it keeps of what was taken back."""
    return {
        each.name: getattr(cartridge, each.name)
        for each in fields(cartridge)
        if each.name != "taken_back"
    }


@pytest.fixture
def bench() -> Bench:
    """A bench on which C1 was taken to its well by one act for each step, the drops at 2:30."""
    bench = Bench()
    bench.to_well()
    return bench


@pytest.mark.parametrize("undone", range(1, 6))
def test_the_cartridge_is_as_it_was_before_that_step(undone: int) -> None:
    """Stage, marks, specimen, deviations and the waits that ran, at their own times."""
    bench = Bench()
    bench.label()
    been = [bench.cartridge()]
    # The swab comes out late, so that this step brings a deviation with it.
    times = ("0:10", "0:20", "0:30", "5:00", "5:30")
    for step, now in zip((*TO_BUFFER, "withdraw", "apply"), times, strict=True):
        been.append(bench.step(step, now))
    last_first = [step.key for step in reversed(NASAL.steps[-undone:])]
    for step in last_first:
        bench.must(back(bench, step), "6:00")
    found = bench.cartridge()

    assert but_the_record(found) == but_the_record(been[-1 - undone])
    assert found.running_waits == been[-1 - undone].running_waits
    assert [each.event.steps for each in found.taken_back] == [(step,) for step in last_first]


def test_it_names_who_when_why_and_what(bench: Bench) -> None:
    """The event stands beside the step, which stays as it was confirmed."""
    act = back(bench, "apply", aim=bench.aim(by="op-2"), reason=TakeBackReason.ANOTHER_CARTRIDGE)
    (found,) = bench.must(act, "3:00")

    assert found == StepTakenBack(
        at=at("3:00"),
        by="key-op-2",
        cartridge="id-C1",
        steps=("apply",),
        reason=TakeBackReason.ANOTHER_CARTRIDGE,
        identified=Identified(),
    )


def test_what_was_taken_back_is_kept_as_it_was_confirmed() -> None:
    """With its instant, who pressed, and the deviation that came with it."""
    bench = Bench()
    bench.label()
    for step in TO_BUFFER:
        bench.step(step, "0:00")
    before = bench.step("withdraw", "5:00")
    bench.must(back(bench, "withdraw"), "5:10")
    (kept,) = bench.cartridge().taken_back

    assert kept.marks == (before.last_mark,)
    assert [(each.code, each.span) for each in kept.deviations] == [("extract-long", span("5:00"))]
    assert bench.cartridge().deviations == ()


def test_a_deviation_of_an_earlier_step_stays() -> None:
    """It came of a wait that really was too long."""
    bench = Bench()
    bench.label()
    for step in TO_BUFFER:
        bench.step(step, "0:00")
    bench.step("withdraw", "5:00")
    bench.step("apply", "5:20")
    bench.must(back(bench, "apply"), "5:30")

    assert [each.code for each in bench.cartridge().deviations] == ["extract-long"]


def test_a_wait_that_may_have_been_short_is_taken_back_with_the_step_that_cut_it() -> None:
    """An advisory least is a deviation too."""
    bench = Bench(ODD)
    bench.to_well(applied="1:10")
    assert [each.code for each in bench.cartridge().deviations] == ["withdraw-short"]
    bench.must(back(bench, "apply"), "1:12")
    assert bench.cartridge().deviations == ()
    bench.step("apply", "1:30")

    assert bench.cartridge().deviations == ()


def test_only_the_step_that_takes_the_specimen_gives_it_back() -> None:
    """What was collected stays collected when a later step was not done."""
    bench = Bench()
    bench.label()
    bench.step("buffer", "0:10")
    specimen = bench.step("collect", "0:20").specimen
    bench.step("extract", "0:30")
    bench.must(back(bench, "extract"), "0:40")
    kept = bench.cartridge().specimen
    bench.must(back(bench, "collect"), "0:50")

    assert kept == specimen is not None
    assert bench.cartridge().specimen is None


def test_several_steps_by_one_press_are_taken_back_by_one() -> None:
    """One press was the mistake; none of them but the last had a time of its own."""
    bench = Bench()
    labelled = bench.label()
    bench.must(DoSteps(aim=bench.aim(), steps=TO_BUFFER, new_specimen="s"), "1:20")
    (found,) = bench.must(back(bench, "extract"), "1:30")

    assert isinstance(found, StepTakenBack)
    assert found.steps == TO_BUFFER
    assert but_the_record(bench.cartridge()) == but_the_record(labelled)


@pytest.mark.parametrize("step", ["buffer", "collect"])
def test_a_step_inside_one_press_is_not_taken_back_by_itself(step: str) -> None:
    """The refusal names the one that the press ended with."""
    bench = Bench()
    bench.label()
    bench.must(DoSteps(aim=bench.aim(), steps=TO_BUFFER, new_specimen="s"), "1:20")

    assert bench.refused(back(bench, step), "1:30") == Refusal(
        code=RefusalCode.OUT_OF_ORDER, subject="Swab into the buffer"
    )


def doing(bench: Bench, *steps: str, by: str = "op-1", done_at: str | None = None) -> DoSteps:
    """The act that confirms several steps."""
    return DoSteps(
        aim=bench.aim(by=by),
        steps=steps,
        new_specimen="s",
        done_at=None if done_at is None else at(done_at),
    )


LOOSE = replace(NASAL, steps=tuple(replace(step, wait=None) for step in NASAL.steps))
"""No clock hangs on any step but the drops: all the others may share a press."""


def test_two_presses_one_after_the_other_are_two() -> None:
    """Each was a press of its own, so each is taken back by its own."""
    bench = Bench(LOOSE)
    bench.label()
    bench.must(doing(bench, "buffer", "collect"), "0:20")
    bench.must(doing(bench, "extract", "withdraw"), "0:40")

    assert [each.step for each in confirmed_last(bench.cartridge())] == ["extract", "withdraw"]
    bench.must(back(bench, "withdraw"), "0:50")
    assert [each.step for each in confirmed_last(bench.cartridge())] == ["buffer", "collect"]


def test_two_people_who_press_at_one_instant_have_pressed_twice() -> None:
    """Whose press it was is part of what one press is."""
    bench = Bench(LOOSE)
    bench.label()
    bench.must(doing(bench, "buffer", "collect"), "0:20")
    bench.must(doing(bench, "extract", "withdraw", by="op-2"), "0:20")

    assert [each.step for each in confirmed_last(bench.cartridge())] == ["extract", "withdraw"]


def test_two_presses_that_state_one_moment_are_two() -> None:
    """They were confirmed at different instants, though they speak of the same one."""
    bench = Bench(LOOSE)
    bench.label()
    bench.must(doing(bench, "buffer", "collect", done_at="0:20"), "1:00")
    bench.must(doing(bench, "extract", "withdraw", done_at="0:20"), "1:10")

    assert [each.step for each in confirmed_last(bench.cartridge())] == ["extract", "withdraw"]


def test_two_presses_at_one_instant_that_state_different_moments_are_two() -> None:
    """A program may enter both in the same millisecond."""
    bench = Bench(LOOSE)
    bench.label()
    bench.must(doing(bench, "buffer", "collect", done_at="0:20"), "1:00")
    bench.must(doing(bench, "extract", "withdraw", done_at="0:30"), "1:00")

    assert [each.step for each in confirmed_last(bench.cartridge())] == ["extract", "withdraw"]


def test_a_step_pressed_by_itself_is_no_part_of_the_press_before_it_or_behind_it() -> None:
    """Even at the same instant, by the same operator."""
    bench = Bench(LOOSE)
    bench.label()
    bench.must(doing(bench, "buffer", "collect"), "0:20")
    bench.step("extract", "0:20")
    alone = [each.step for each in confirmed_last(bench.cartridge())]
    bench.must(back(bench, "extract"), "0:20")
    bench.must(back(bench, "collect"), "0:20")
    bench.step("buffer", "0:20")
    bench.must(doing(bench, "collect", "extract"), "0:20")

    assert alone == ["extract"]
    assert [each.step for each in confirmed_last(bench.cartridge())] == ["collect", "extract"]


def test_a_clock_ends_a_press() -> None:
    """A step that a clock hangs on is the last of its press: what came behind it was another one."""
    steps = tuple(
        replace(
            step, wait=Wait(until="apply", least=span("0:01")) if step.key == "collect" else None
        )
        for step in NASAL.steps
    )
    bench = Bench(replace(NASAL, steps=steps))
    bench.label()
    bench.must(doing(bench, "buffer", "collect"), "0:20")
    bench.must(doing(bench, "extract", "withdraw"), "0:20")

    assert [each.step for each in confirmed_last(bench.cartridge())] == ["extract", "withdraw"]


def test_the_label_is_never_taken_back(bench: Bench) -> None:
    """A pouch that was opened is opened: what is not to be run is given up."""
    for step in ("apply", "withdraw", "extract", "collect", "buffer"):
        bench.must(back(bench, step), "3:00")

    assert confirmed_last(bench.cartridge()) == ()
    for step in ("label", "buffer", "apply"):
        assert bench.refused(back(bench, step), "3:10") == Refusal(
            code=RefusalCode.NOT_ALLOWED, subject=LABEL_ALONE
        )


@pytest.mark.parametrize("step", ["withdraw", "extract", "label", "incubate", ""])
def test_only_what_was_confirmed_last_is_taken_back(bench: Bench, step: str) -> None:
    """Somebody else may have gone on meanwhile; the refusal says what is last now."""
    assert bench.refused(back(bench, step), "3:00") == Refusal(
        code=RefusalCode.OUT_OF_ORDER, subject="Drops onto the well"
    )


@pytest.mark.parametrize(
    ("code", "named"),
    [
        (RefusalCode.UNKNOWN_OPERATOR, {"by": "nobody"}),
        (RefusalCode.UNKNOWN_CARTRIDGE, {"cartridge": "C9"}),
        (RefusalCode.WRONG_CARTRIDGE, {"scanned": "C9"}),
        (RefusalCode.WRONG_PERSON, {"person": "P-002"}),
    ],
)
def test_operator_cartridge_and_person_are_made_sure_of_first(
    bench: Bench, code: RefusalCode, named: dict[str, str]
) -> None:
    """As at every act on a cartridge; a step out of turn comes behind it."""
    act = back(bench, "extract", aim=replace(bench.aim(), **named))  # type: ignore[arg-type]  # texts

    assert bench.refused(act, "3:00").code is code


def test_what_was_seen_early_stays(bench: Bench) -> None:
    """A line that was there had drops."""
    bench.must(bench.look_act(FAINT), "5:00")

    assert bench.refused(back(bench, "apply"), "5:10") == Refusal(
        code=RefusalCode.NOT_ALLOWED, subject="early positive"
    )


def test_what_was_read_once_stays_while_a_second_reader_is_waited_for(bench: Bench) -> None:
    """And the refusal says no more than that it was read, whatever was seen early on it."""
    bench.decides(second_reader=(SecondReaderRule(when=SecondReader.ALL),))
    bench.must(bench.look_act(FAINT), "5:00")
    bench.must(bench.read_act(CLEAR), "18:00")
    assert bench.cartridge().awaits_second

    assert bench.refused(back(bench, "apply"), "18:10") == Refusal(
        code=RefusalCode.ALREADY_READ, subject="C1"
    )


@pytest.mark.parametrize(
    ("now", "code"),
    [("17:29.999", None), ("17:30", None), ("22:30", None), ("22:30.001", "already-ended")],
)
def test_drops_are_taken_back_until_their_window_closes(
    bench: Bench, now: str, code: str | None
) -> None:
    """From then on the cartridge has lapsed, whether or not that is on record yet."""
    decided = bench.do(back(bench, "apply"), now)

    assert (decided.code if isinstance(decided, Refusal) else None) == code


def test_what_has_ended_takes_nothing_back(bench: Bench) -> None:
    """Read, lapsed or void."""
    bench.to_well("C2", "P-002")
    bench.to_well("C3", "P-002")
    bench.must(bench.read_act(NEGATIVE), "18:00")
    bench.must(bench.void_act("C2"), "18:00")
    bench.lapse("C3")

    assert bench.refused(back(bench, "apply"), "23:00").code is RefusalCode.ALREADY_READ
    for label in ("C2", "C3"):
        refused = bench.refused(back(bench, "apply", label=label), "23:00")
        assert refused.code is RefusalCode.ALREADY_ENDED


@pytest.mark.parametrize("stated", [False, True])
def test_where_nobody_knows_how_long_it_waited_before_its_drops_nothing_is_taken_back(
    bench: Bench, stated: bool
) -> None:
    """The wait would run on as if the clock had never been in doubt; a later statement tells nothing of it."""
    bench.board = fold(bench.board, ClockUnsure(at=at("3:00"), cartridges=("id-C1",)))
    if stated:
        act = StateApplication(
            aim=bench.aim(), witness="op-2", done_at=at("2:40"), give_or_take=span("0:10")
        )
        bench.must(act, "3:30")

    assert bench.refused(back(bench, "apply"), "4:00") == Refusal(
        code=RefusalCode.NOT_ALLOWED, subject=UNKNOWN_WAITS
    )


def test_a_doubt_before_the_drops_stays_on_the_wait_that_runs_again() -> None:
    """It may have been any time: the wait counts as too long whatever was pressed since."""
    bench = Bench()
    bench.label()
    for step in TO_BUFFER:
        bench.step(step, "0:00")
    bench.board = fold(bench.board, ClockUnsure(at=at("1:30"), cartridges=("id-C1",)))
    before = bench.cartridge()
    bench.step("withdraw", "1:40")
    bench.must(back(bench, "withdraw"), "1:50")

    assert but_the_record(bench.cartridge()) == but_the_record(before)
    assert [each.limit for each in bench.cartridge().running_waits] == [at("1:30")]


def test_a_step_taken_back_is_done_again_once_it_is(bench: Bench) -> None:
    """The window opens by the true drops, and by nothing else."""
    bench.must(back(bench, "apply"), "2:40")
    bench.step("apply", "3:10")
    span_ = window(bench.cartridge())

    assert span_ is not None
    assert span_.opens == at("18:10")
    assert bench.refused(bench.read_act(CLEAR), "18:09.999").code is RefusalCode.TOO_EARLY
    bench.must(bench.read_act(CLEAR), "18:10")


def test_a_step_taken_back_may_be_stated_afterwards(bench: Bench) -> None:
    """Late truth, as of any step; it may lie before the press that was wrong."""
    bench.must(back(bench, "apply"), "2:40")
    bench.must(bench.step_act("apply", done_at="1:30", doubt="0:10"), "4:00")
    applied = bench.cartridge().applied

    assert applied is not None
    assert (applied.earliest, applied.latest, applied.stated) == (at("1:20"), at("1:40"), True)


def test_alerts_of_the_development_fall_anew_for_the_true_drops() -> None:
    """All of them: the early look, the opening and the closing of the true window."""
    bench = Bench()
    bench.label()
    for step in TO_BUFFER:
        bench.step(step, "0:00")
    pass_time(bench, "1:00")
    bench.step("withdraw", "1:00")
    bench.step("apply", "2:30")
    pass_time(bench, "21:00")
    assert {kind for kind, _ in bench.cartridge().raised} == {
        AlertKind.WAIT_OVER,
        AlertKind.EARLY_LOOK,
        AlertKind.READ_NOW,
        AlertKind.CLOSING,
    }
    bench.must(back(bench, "apply"), "21:10")
    assert bench.cartridge().raised == {(AlertKind.WAIT_OVER, "extract")}
    bench.step("apply", "21:20")

    assert [(each.kind, each.due) for each in alerts_to_come(bench.cartridge())] == [
        (AlertKind.EARLY_LOOK, at("23:20")),
        (AlertKind.READ_NOW, at("36:20")),
        (AlertKind.CLOSING, at("39:20")),
        (AlertKind.LAPSED, at("41:20.001")),
    ]


def test_a_wait_that_runs_on_calls_for_what_it_has_not_called_for_yet() -> None:
    """Its end was told before the press; that it is too long falls now, late by its own time."""
    bench = Bench()
    bench.label()
    for step in TO_BUFFER:
        bench.step(step, "0:00")
    pass_time(bench, "1:00")
    bench.step("withdraw", "1:10")
    bench.must(back(bench, "withdraw"), "4:00")

    assert bench.cartridge().raised == {(AlertKind.WAIT_OVER, "extract")}
    assert [(each.kind, each.due) for each in alerts_to_come(bench.cartridge())] == [
        (AlertKind.OVERDUE, at("3:00"))
    ]


def test_alerts_of_a_wait_that_the_step_itself_began_fall_anew() -> None:
    """Begun anew, it is over later."""
    bench = Bench()
    bench.label()
    for step in TO_BUFFER:
        bench.step(step, "0:00")
    pass_time(bench, "3:30")
    bench.must(back(bench, "extract"), "4:00")
    assert bench.cartridge().raised == frozenset()
    bench.step("extract", "4:10")

    assert [(each.kind, each.due) for each in alerts_to_come(bench.cartridge())] == [
        (AlertKind.WAIT_OVER, at("5:10")),
        (AlertKind.OVERDUE, at("7:10")),
    ]


def test_a_firm_limit_that_has_passed_meanwhile_leaves_only_the_void() -> None:
    """Nothing is bent for it: the true swab came out too late."""
    firm = Wait(until="withdraw", least=span("1:00"), most=span("3:00"), most_is=Limit.FIRM)
    steps = tuple(replace(s, wait=firm) if s.key == "extract" else s for s in NASAL.steps)
    bench = Bench(replace(NASAL, steps=steps))
    bench.label()
    for step in TO_BUFFER:
        bench.step(step, "0:00")
    bench.step("withdraw", "2:00")
    bench.must(back(bench, "withdraw"), "3:10")

    assert bench.refused(bench.step_act("withdraw"), "3:20").code is RefusalCode.NOT_ALLOWED


@pytest.mark.parametrize(
    "steps", [(), ("withdraw",), ("apply", "withdraw"), ("label", *TO_BUFFER, "withdraw", "apply")]
)
def test_a_record_that_takes_back_what_was_not_last_is_broken(
    bench: Bench, steps: tuple[str, ...]
) -> None:
    """The label among it, or nothing at all: no readbell ever wrote that."""
    event = StepTakenBack(
        at=at("3:00"),
        by="key-op-1",
        cartridge="id-C1",
        steps=steps,
        reason=TakeBackReason.OTHER,
        identified=Identified(),
    )

    with pytest.raises(BrokenRecordError, match="id-C1"):
        fold_cartridge(bench.cartridge(), event)


def test_of_a_cartridge_with_its_label_alone_nothing_is_ever_taken_back() -> None:
    """The table of its life has no such row."""
    assert StepTakenBack not in LIFE[Stage.LABELLED]
    assert {stage for stage, row in LIFE.items() if StepTakenBack in row} == {
        Stage.PREPARING,
        Stage.EXTRACTING,
        Stage.DEVELOPING,
    }


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


def test_a_step_done_keeps_when_it_was_confirmed() -> None:
    """A statement is confirmed later than it was done."""
    bench = Bench()
    bench.label()
    (done,) = bench.must(bench.step_act("buffer", done_at="0:10"), "1:00")

    assert isinstance(done, StepDone)
    assert bench.cartridge().last_mark.at == at("1:00")

"""Several steps confirmed by one act: all or none, and no clock is blurred."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import NASAL, Bench, at, span
from readbell.core.assay.step import Limit, Wait
from readbell.core.cartridge.acts import DoSteps
from readbell.core.cartridge.events import CartridgeVoided, StepDone, VoidReason
from readbell.core.cartridge.stage import Stage
from readbell.core.cartridge.together import steps_together
from readbell.core.instant import Span
from readbell.core.refusal import Refusal, RefusalCode

TO_BUFFER = ("buffer", "collect", "extract")


def act(bench: Bench, *steps: str, done_at: str | None = None, doubt: str = "0:00") -> DoSteps:
    """The act that confirms `steps` of C1 together."""
    return DoSteps(
        aim=bench.aim(),
        steps=steps,
        new_specimen="specimen-1",
        done_at=None if done_at is None else at(done_at),
        give_or_take=span(doubt),
    )


@pytest.fixture
def bench() -> Bench:
    """A bench on which C1 has its label."""
    bench = Bench()
    bench.label()
    return bench


def keys(bench: Bench) -> list[str]:
    """The steps that one act may confirm now."""
    return [step.key for step in steps_together(bench.cartridge())]


def test_each_step_is_recorded_by_itself_and_marked(bench: Bench) -> None:
    """The record has a line for each step, and says that they share an instant."""
    found = bench.must(act(bench, *TO_BUFFER), "1:20")

    assert all(isinstance(each, StepDone) and each.together for each in found)
    assert [(each.step, each.done.said) for each in found if isinstance(each, StepDone)] == [
        (step, at("1:20")) for step in TO_BUFFER
    ]


def test_the_cartridge_is_as_after_the_steps_one_by_one(bench: Bench) -> None:
    """One press for three steps leaves nothing out: stage, specimen and the running wait."""
    bench.must(act(bench, *TO_BUFFER), "1:20")
    cartridge = bench.cartridge()

    assert (cartridge.stage, cartridge.specimen) == (Stage.EXTRACTING, "specimen-1")
    assert [wait.over for wait in cartridge.running_waits] == [at("2:20")]


def test_the_one_step_that_collects_has_the_specimen(bench: Bench) -> None:
    """One specimen is taken, so one event names it."""
    found = bench.must(act(bench, *TO_BUFFER), "1:20")

    assert [each.specimen for each in found if isinstance(each, StepDone)] == [
        None, "specimen-1", None,
    ]  # fmt: skip


def test_one_step_alone_is_not_together(bench: Bench) -> None:
    """The mark says that an instant is shared, and here it is not."""
    (found,) = bench.must(act(bench, "buffer"), "0:10")

    assert isinstance(found, StepDone)
    assert not found.together


@pytest.mark.parametrize(
    ("steps", "code"),
    [
        pytest.param((), RefusalCode.OUT_OF_ORDER, id="none"),
        pytest.param(("collect", "extract"), RefusalCode.OUT_OF_ORDER, id="one left out before"),
        pytest.param(("buffer", "extract"), RefusalCode.OUT_OF_ORDER, id="one left out between"),
        pytest.param(("buffer", "buffer"), RefusalCode.OUT_OF_ORDER, id="one twice"),
        pytest.param((*TO_BUFFER, "withdraw"), RefusalCode.NOT_ALLOWED, id="one past a clock"),
    ],
)
def test_the_first_refusal_refuses_them_all(
    bench: Bench, steps: tuple[str, ...], code: RefusalCode
) -> None:
    """Half an act would be on record and the hand would not know which half."""
    assert bench.refused(act(bench, *steps), "1:20").code is code
    assert bench.cartridge().stage is Stage.LABELLED


def test_no_step_is_asked_for_by_name_where_none_is_given(bench: Bench) -> None:
    """The sentence says what is due, as for a step out of turn."""
    assert bench.refused(act(bench), "0:10").subject == "Buffer into the tube"


def test_a_clock_is_confirmed_last_or_not_at_all(bench: Bench) -> None:
    """Pressed with the drops, the swab would have come out when the drops fell."""
    bench.must(act(bench, *TO_BUFFER), "0:00")
    refusal = bench.refused(act(bench, "withdraw", "apply"), "1:30")

    assert refusal == Refusal(code=RefusalCode.NOT_ALLOWED, subject="Squeeze and withdraw the swab")


def test_a_wait_with_a_most_alone_is_not_hidden_by_confirming_both_its_ends() -> None:
    """Both at one instant, it would have taken no time at all."""
    firm = Wait(until="withdraw", most=span("3:00"), most_is=Limit.FIRM)
    steps = tuple(
        replace(step, wait=firm if step.key == "extract" else None) for step in NASAL.steps
    )
    bench = Bench(replace(NASAL, steps=steps))
    bench.label()
    refusal = bench.refused(act(bench, *TO_BUFFER, "withdraw"), "5:00")

    assert (refusal.code, refusal.subject) == ("not-allowed", "Swab into the buffer")


def test_steps_may_be_stated_together_afterwards(bench: Bench) -> None:
    """What was forgotten together is entered together, with its doubt."""
    bench.must(act(bench, *TO_BUFFER, done_at="2:00", doubt="0:20"), "4:00")
    marks = bench.cartridge().marks[1:]

    assert all(mark.done.stated for mark in marks)
    assert {(mark.done.earliest, mark.done.latest) for mark in marks} == {(at("1:40"), at("2:20"))}


def test_drops_that_leave_no_window_void_the_cartridge_here_too(bench: Bench) -> None:
    """The rules of one step are the rules of several."""
    for step in TO_BUFFER:
        bench.step(step, "0:00")
    bench.step("withdraw", "1:00")
    done, voided = bench.must(act(bench, "apply", done_at="30:00", doubt="10:00"), "40:00")

    assert isinstance(done, StepDone)
    assert isinstance(voided, CartridgeVoided)
    assert voided.reason is VoidReason.TIME_UNSURE


def test_what_may_be_confirmed_now_ends_at_the_next_clock(bench: Bench) -> None:
    """One press to the buffer, one for the swab out, one for the drops."""
    found = [keys(bench)]
    bench.must(act(bench, *TO_BUFFER), "0:00")
    found.append(keys(bench))
    bench.step("withdraw", "1:00")
    found.append(keys(bench))
    bench.step("apply", "1:30")
    found.append(keys(bench))

    assert found == [list(TO_BUFFER), ["withdraw"], ["apply"], []]


def test_nothing_is_confirmed_of_a_cartridge_given_up(bench: Bench) -> None:
    """A key that offered it would only be refused."""
    bench.must(bench.void_act(), "0:10")

    assert keys(bench) == []


def test_whatever_may_be_confirmed_together_is_taken(bench: Bench) -> None:
    """The screen offers what the rules allow, never what they refuse."""
    now = Span(0)
    while steps := keys(bench):
        now = Span(now + 60_000)
        bench.must(act(bench, *steps), f"{now // 60_000}:00")

    assert bench.cartridge().stage is Stage.DEVELOPING


def test_two_steps_are_already_together_and_are_of_whoever_confirmed_them(bench: Bench) -> None:
    """With two as with ten, no instant but the last is a step's own."""
    found = bench.must(act(bench, "buffer", "collect"), "1:20")

    assert [(each.together, each.by) for each in found if isinstance(each, StepDone)] == [
        (True, "key-op-1"),
        (True, "key-op-1"),
    ]

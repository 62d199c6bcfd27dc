"""After a step was taken back the work goes on: it is done again, and what is due falls anew."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import CLEAR, NASAL, Bench, at, span
from core.cartridge.taking_back_bench import TO_BUFFER, back, pass_time
from readbell.core.assay.step import Limit, Wait
from readbell.core.cartridge.at_instant import window
from readbell.core.cartridge.due import alerts_to_come
from readbell.core.cartridge.events import (
    AlertKind,
)
from readbell.core.refusal import RefusalCode


@pytest.fixture
def bench() -> Bench:
    """A bench on which C1 was taken to its well by one act for each step, the drops at 2:30."""
    bench = Bench()
    bench.to_well()
    return bench


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

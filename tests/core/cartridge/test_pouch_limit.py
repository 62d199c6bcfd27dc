"""A wait at the label with a most alone: how long the pouch may have been open."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import NASAL, Bench, at, span
from readbell.core.assay.check import check
from readbell.core.assay.step import Limit, Wait
from readbell.core.board.attention import last_moment
from readbell.core.cartridge.countdown import Countdown, Towards, countdown
from readbell.core.cartridge.due import alerts_to_come
from readbell.core.cartridge.events import AlertKind
from readbell.core.cartridge.together import steps_together

POUCH = Wait(until="apply", most=span("15:00"), name="out of the pouch")


def labelled(wait: Wait = POUCH) -> Bench:
    """A bench on which C1 was labelled at 0:00; its pouch has a limit."""
    first, *others = NASAL.steps
    bench = Bench(replace(NASAL, steps=(replace(first, wait=wait), *others)))
    bench.label()
    return bench


def test_an_assay_may_state_a_pouch_limit() -> None:
    """It is a wait as any other; the first step begins it."""
    assert check(labelled().assay) == ()


def test_it_counts_down_from_the_label_and_orders_the_rows() -> None:
    """An open pouch is a cartridge against which a time runs."""
    cartridge = labelled().cartridge()

    assert countdown(cartridge, at("0:00")) == Countdown(towards=Towards.OVERDUE, due=at("15:00"))
    assert last_moment(cartridge) == at("15:00")


def test_the_nearer_of_two_limits_is_shown() -> None:
    """First the whole of the swab's wait, then whichever limit comes sooner."""
    bench = labelled()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "13:00")
    cartridge = bench.cartridge()

    assert countdown(cartridge, at("13:30")) == Countdown(
        towards=Towards.WAIT_OVER, due=at("14:00")
    )
    assert countdown(cartridge, at("14:00")) == Countdown(towards=Towards.OVERDUE, due=at("15:00"))
    assert last_moment(cartridge) == at("15:00")


def test_it_is_called_overdue_once_and_never_over() -> None:
    """Without a least there is nothing to wait for."""
    (alert,) = alerts_to_come(labelled().cartridge())

    assert (alert.kind, alert.due, alert.step) == (AlertKind.OVERDUE, at("15:00"), "label")


def test_passed_it_is_a_deviation_of_the_drops() -> None:
    """The device drew moisture; whoever reads the record later must know."""
    bench = labelled()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "13:00")
    bench.step("withdraw", "14:30")
    bench.step("apply", "15:00.001")

    assert [each.code for each in bench.cartridge().deviations] == ["label-long"]


@pytest.mark.parametrize(("now", "taken"), [("15:00", True), ("15:00.001", False)])
def test_a_firm_one_refuses_the_drops(now: str, taken: bool) -> None:
    """The limit itself still counts; after it a fresh pouch is opened."""
    bench = labelled(replace(POUCH, most_is=Limit.FIRM))
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "13:00")
    bench.step("withdraw", "14:30")
    if taken:
        bench.step("apply", now)
    else:
        refusal = bench.refused(bench.step_act("apply"), now)
        assert (refusal.code, refusal.subject) == ("not-allowed", "out of the pouch")


@pytest.mark.parametrize("most", ["1:00", "15:00"])
def test_it_asks_for_no_press_of_its_own(most: str) -> None:
    """The label is an act by itself, so whatever follows may be confirmed together."""
    bench = labelled(replace(POUCH, most=span(most), until="collect"))

    assert [step.key for step in steps_together(bench.cartridge())] == [
        "buffer", "collect", "extract",
    ]  # fmt: skip

"""The window that the usual hands-on times would lead to: a guess that promises nothing early."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import NASAL, Bench, at, span
from readbell.core.assay.step import Wait
from readbell.core.cartridge.at_instant import window
from readbell.core.cartridge.foreseen import foreseen_window


@pytest.mark.parametrize(
    ("now", "opens"),
    [
        pytest.param("0:00", "16:30", id="as the wait begins"),
        pytest.param("0:59", "16:30", id="while it runs"),
        pytest.param("1:00", "16:30", id="as it is over"),
        pytest.param("2:00", "17:30", id="a minute later"),
    ],
)
def test_the_wait_is_waited_out_and_the_hands_take_their_usual_time(now: str, opens: str) -> None:
    """A minute in the buffer, 10 s to withdraw, 20 s for the drops, then a quarter of an hour."""
    bench = Bench()
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")

    found = foreseen_window(bench.cartridge("C1"), at(now))
    assert found.opens == at(opens)
    assert found.closes == at(opens) + span("5:00")


def test_a_wait_that_has_not_begun_is_foreseen_too() -> None:
    """10 s, 45 s, 25 s of hands, then the minute, then 30 s of hands."""
    bench = Bench()
    bench.label()

    assert foreseen_window(bench.cartridge("C1"), at("0:00")).opens == at("17:50")


def test_after_the_drops_nothing_is_guessed() -> None:
    """The real window is known."""
    cartridge = Bench().to_well()

    assert foreseen_window(cartridge, at("9:00")) == window(cartridge)


def test_a_wait_for_a_later_step_holds_only_that_step_back() -> None:
    """The hands go on with what lies between."""
    steps = tuple(
        replace(each, wait=Wait(until="apply", least=span("1:00")))
        if each.key == "extract"
        else each
        for each in NASAL.steps
    )
    bench = Bench(replace(NASAL, steps=steps))
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")

    assert foreseen_window(bench.cartridge("C1"), at("0:00")).opens == at("16:20")

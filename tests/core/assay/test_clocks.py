"""Which steps carry a clock: the instant of such a step must be its own."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import NASAL, THREE_LINES, span
from readbell.core.assay.clocks import clocked
from readbell.core.assay.step import Wait

if TYPE_CHECKING:
    from readbell.core.assay.assay import Assay


def waits(**of_steps: Wait | None) -> Assay:
    """The one-line assay with these waits after its steps, and no other."""
    steps = tuple(replace(step, wait=of_steps.get(step.key)) for step in NASAL.steps)
    return replace(NASAL, steps=steps)


def carry_a_clock(assay: Assay) -> list[str]:
    """The steps of an assay that carry one."""
    return [step.key for step in assay.steps if clocked(assay, step.key)]


@pytest.mark.parametrize(
    "assay", [pytest.param(NASAL, id="one line"), pytest.param(THREE_LINES, id="three lines")]
)
def test_swab_in_swab_out_and_drops_carry_a_clock(assay: Assay) -> None:
    """Extract, withdraw and apply are what a bench times; the rest may be confirmed with them."""
    assert carry_a_clock(assay) == ["extract", "withdraw", "apply"]


@pytest.mark.parametrize(
    ("wait", "found"),
    [
        pytest.param(
            Wait(until="extract", least=span("0:01")),
            ["collect", "extract", "apply"],
            id="a least, at both its ends",
        ),
        pytest.param(
            Wait(until="withdraw", least=span("0:01")),
            ["collect", "withdraw", "apply"],
            id="a least that ends later, not at what lies between",
        ),
        pytest.param(
            Wait(until="extract", most=span("10:00")),
            ["collect", "apply"],
            id="a most of minutes, where it begins",
        ),
        pytest.param(
            Wait(until="extract", most=span("10:00.001")),
            ["apply"],
            id="a most too long to be blurred",
        ),
        pytest.param(
            Wait(until="extract", least=span("1:00"), most=span("4:00:00")),
            ["collect", "extract", "apply"],
            id="a least beside a long most",
        ),
    ],
)
def test_a_wait_hangs_a_clock_on_its_ends(wait: Wait, found: list[str]) -> None:
    """Confirmed later than done, a short limit would seem kept that was not."""
    assert carry_a_clock(waits(collect=wait)) == found


def test_without_waits_only_the_drops_carry_a_clock() -> None:
    """The window counts from them, whatever went before."""
    assert carry_a_clock(waits()) == ["apply"]


def test_a_step_the_assay_lacks_carries_no_clock() -> None:
    """It is refused as out of turn, and not for its instant."""
    assert not clocked(NASAL, "incubate")

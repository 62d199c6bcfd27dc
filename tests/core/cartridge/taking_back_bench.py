"""Benches and acts for the tests of what is taken back."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import TYPE_CHECKING

from builders import NASAL, Bench, at, span
from core.any_acts import as_time_passes
from readbell.core.assay.step import Limit, Wait
from readbell.core.board.fold import fold
from readbell.core.cartridge.acts import Aim, DoSteps, TakeBackStep
from readbell.core.cartridge.events import (
    TakeBackReason,
)
from readbell.core.instant import Span, later

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

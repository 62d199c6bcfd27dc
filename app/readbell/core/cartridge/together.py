"""Several steps in a row, confirmed by one act at one instant.

Whoever wears gloves presses once for a piece of work. Which steps may share an
instant follows from `clocked`: any up to and including the next that carries a
clock, so that no clock is ever blurred.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.assay.clocks import clocked
from readbell.core.cartridge.acts import DoStep
from readbell.core.cartridge.events import StepDone
from readbell.core.cartridge.fold import fold_cartridge
from readbell.core.cartridge.looks import wanted
from readbell.core.cartridge.steps import decide_step
from readbell.core.refusal import Refusal, RefusalCode

if TYPE_CHECKING:
    from readbell.core.assay.step import Step
    from readbell.core.cartridge.acts import DoSteps
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.cartridge.events import CartridgeVoided
    from readbell.core.instant import Instant


def steps_together(cartridge: Cartridge) -> tuple[Step, ...]:
    """Return the steps that one act may confirm now: up to the next one that carries a clock."""
    if cartridge.has_ended:
        return ()
    found: list[Step] = []
    step = cartridge.next_step
    while step is not None:
        found.append(step)
        if clocked(cartridge.assay, step.key):
            break
        step = cartridge.assay.step_after(step.key)
    return tuple(found)


def decide_steps(
    cartridge: Cartridge, act: DoSteps, by: str, now: Instant
) -> tuple[StepDone | CartridgeVoided, ...] | Refusal:
    """Judge several steps in a row, one after another; the first refusal refuses them all.

    A step that carries a clock may only be the last of them: confirmed with what
    follows it, its instant would be lost.
    """
    if not act.steps:
        return Refusal(code=RefusalCode.OUT_OF_ORDER, subject=wanted(cartridge))
    decided: list[StepDone | CartridgeVoided] = []
    several = len(act.steps) > 1
    for place, key in enumerate(act.steps, start=1):
        judged = decide_step(cartridge, _one_of(act, key), by, now)
        if isinstance(judged, Refusal):
            return judged
        step = cartridge.assay.step(key)
        if step is not None and place < len(act.steps) and clocked(cartridge.assay, key):
            return Refusal(code=RefusalCode.NOT_ALLOWED, subject=step.title)
        for each in judged:
            event = replace(each, together=several) if isinstance(each, StepDone) else each
            cartridge = fold_cartridge(cartridge, event)
            decided.append(event)
    return tuple(decided)


def _one_of(act: DoSteps, step: str) -> DoStep:
    """Return one step of `act`; the lot's last day is held against the act, not against each."""
    return DoStep(
        aim=act.aim,
        step=step,
        new_specimen=act.new_specimen,
        done_at=act.done_at,
        give_or_take=act.give_or_take,
    )

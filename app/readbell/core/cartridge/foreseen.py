"""When a cartridge would be read if its hands-on steps took the usual time from now on.

A guess for a plan and a picture, never a rule: no act is judged by it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.cartridge.at_instant import window
from readbell.core.cartridge.moment import timed
from readbell.core.cartridge.window import Window, window_of
from readbell.core.instant import Instant, later

if TYPE_CHECKING:
    from readbell.core.cartridge.cartridge import Cartridge


def foreseen_window(cartridge: Cartridge, now: Instant) -> Window:
    """Return the read window: the real one, or the one that the usual times would lead to."""
    real = window(cartridge)
    if real is not None:
        return real
    return window_of(cartridge.assay.reading, timed(_drops(cartridge, now)))


def _drops(cartridge: Cartridge, now: Instant) -> Instant:
    """Go through the steps that are left: each begins when hand and waits are both free."""
    over = {wait.step: wait.over for wait in cartridge.running_waits}
    at, step = now, cartridge.next_step
    while step is not None:
        ending = [begun_by.key for begun_by, _ in cartridge.assay.waits_ending_at(step.key)]
        begins = max([at, *(over[key] for key in ending if key in over)])
        at = later(begins, step.hands_on)
        if step.wait is not None:
            over[step.key] = later(at, step.wait.least)
        step = cartridge.assay.step_after(step.key)
    return at

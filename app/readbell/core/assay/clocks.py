"""Which steps carry a clock: those whose instant a rule depends on.

Several steps in a row may be confirmed by one act at one instant. Each of them
but the last is then recorded later than it was done, so only a step whose
instant matters little may stand there. A step carries a clock if it

* is the application: the read window counts from it;
* begins or ends a wait with a `least`: recorded later than done, the end of the
  wait would hide that it was cut short;
* begins a wait that has a `most` alone, of `COARSE` or less: recorded later than
  done, the wait would look shorter than it was.

So a wait of hours (from the swab to the buffer, say) lets its step be confirmed
together with the next, and a limit that runs from the label (an open pouch) asks
for nothing: the label is always an act of its own. What ends a wait with a `most`
alone carries no clock by that: recorded later, it only counts as longer.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.instant import MINUTE, Span

if TYPE_CHECKING:
    from readbell.core.assay.assay import Assay
    from readbell.core.assay.step import Wait

COARSE = Span(10 * MINUTE)
"""Steps confirmed together are a minute or two of work, which blurs a limit up to this."""


def clocked(assay: Assay, step_key: str) -> bool:
    """Say whether the instant of the step `step_key` must be its own."""
    step = assay.step(step_key)
    return step is not None and (
        step == assay.last_step
        or (step.wait is not None and _begins_a_clock(step.wait))
        or any(wait.least > 0 for _, wait in assay.waits_ending_at(step_key))
    )


def _begins_a_clock(wait: Wait) -> bool:
    return wait.least > 0 or (wait.most is not None and wait.most <= COARSE)

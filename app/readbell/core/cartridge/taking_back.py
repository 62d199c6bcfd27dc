"""Taking back what was confirmed by mistake: a step that was pressed and had not been done.

Only what was confirmed last is taken back, and as it was confirmed: several steps by one
press go together. After it the cartridge is as it was before that press, with the waits
that ran then at their own times. The record keeps both, the step as it was confirmed and
that it was taken back. The label stays: a pouch that was opened is opened. So does
whatever somebody has seen, and what rests on it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.assay.clocks import clocked
from readbell.core.cartridge.events import StepTakenBack
from readbell.core.refusal import Refusal, RefusalCode

if TYPE_CHECKING:
    from readbell.core.cartridge.acts import TakeBackStep
    from readbell.core.cartridge.cartridge import Cartridge, StepMark
    from readbell.core.instant import Instant

EARLY_POSITIVE = "early positive"
LABEL_ALONE = "label alone"
UNKNOWN_WAITS = "unknown waits"
"""The clock was in doubt while it developed: how long a wait before its drops lasted, nobody knows."""


def confirmed_last(cartridge: Cartridge) -> tuple[StepMark, ...]:
    """Return the steps that the last press confirmed, in their order; none after the label alone.

    Several by one press share its instant, the operator and the moment that was said of them,
    and only the last of them may carry a clock.
    """
    _, *marks = cartridge.marks  # the label is an act of its own kind
    found: list[StepMark] = []
    for mark in reversed(marks):
        if found and not (_are_one_press(mark, found[0]) and _may_go_on(cartridge, mark)):
            break
        found.insert(0, mark)
    return tuple(found)


def decide_taking_back(
    cartridge: Cartridge, act: TakeBackStep, by: str, now: Instant
) -> tuple[StepTakenBack] | Refusal:
    """Judge the taking back of the step that `act` names; it has to be the one confirmed last."""
    refused = refuse_taking_back(cartridge)
    if refused is not None:
        return refused
    marks = confirmed_last(cartridge)
    last = marks[-1].step
    if act.step != last:
        titles = {step.key: step.title for step in cartridge.assay.steps}
        return Refusal(code=RefusalCode.OUT_OF_ORDER, subject=titles[last])
    return (
        StepTakenBack(
            at=now,
            by=by,
            cartridge=cartridge.id,
            steps=tuple(mark.step for mark in marks),
            reason=act.reason,
            identified=act.aim.identified,
        ),
    )


def refuse_taking_back(cartridge: Cartridge) -> Refusal | None:
    """Say why no step of a cartridge that has not ended is taken back, or None."""
    if cartridge.reading is not None or cartridge.is_read_on_both_sides:
        return Refusal(code=RefusalCode.ALREADY_READ, subject=cartridge.label)
    if cartridge.early_looks:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=EARLY_POSITIVE)
    if cartridge.unsure or cartridge.restated:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=UNKNOWN_WAITS)
    if not confirmed_last(cartridge):
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=LABEL_ALONE)
    return None


def _are_one_press(one: StepMark, other: StepMark) -> bool:
    together = one.together and other.together
    return together and (one.at, one.done, one.by) == (other.at, other.done, other.by)


def _may_go_on(cartridge: Cartridge, mark: StepMark) -> bool:
    """Say whether a press may have confirmed another step behind `mark`."""
    return not clocked(cartridge.assay, mark.step)

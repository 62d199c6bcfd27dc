"""Whether a step may be done now, and what it leaves on the record."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.assay.step import Limit, Step, Wait
from readbell.core.cartridge.events import (
    CartridgeVoided,
    Deviation,
    StepDone,
    VoidReason,
)
from readbell.core.cartridge.moment import Done, stated, timed
from readbell.core.cartridge.window import window_of
from readbell.core.instant import between, later
from readbell.core.refusal import Refusal, RefusalCode

if TYPE_CHECKING:
    from readbell.core.cartridge.acts import DoStep
    from readbell.core.cartridge.cartridge import Cartridge, StepMark
    from readbell.core.instant import Instant


def decide_step(
    cartridge: Cartridge, act: DoStep, by: str, now: Instant
) -> tuple[StepDone | CartridgeVoided, ...] | Refusal:
    """Judge one step of a running cartridge: its turn, its waits, its time."""
    step = cartridge.next_step
    before = cartridge.last_mark.done
    if step is None or step.key != act.step:
        wanted = step.title if step is not None else ""
        return Refusal(code=RefusalCode.OUT_OF_ORDER, subject=wanted)
    if act.done_at is not None and act.done_at < before.said:
        return Refusal(code=RefusalCode.OUT_OF_ORDER, subject=step.title, due=before.said)
    done = _moment(act, before, now)
    judged = _judge_waits(cartridge, step, done)
    if isinstance(judged, Refusal):
        return judged
    if act.done_at is not None and act.done_at > now:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=step.title, due=act.done_at)
    event = StepDone(
        at=now,
        by=by,
        cartridge=cartridge.id,
        step=step.key,
        done=done,
        deviations=judged,
        specimen=act.new_specimen if step.collects else None,
        identified=act.aim.identified,
    )
    if step is cartridge.assay.last_step and window_of(cartridge.assay.reading, done).is_empty:
        # Nothing is left between the latest opening and the earliest close.
        return event, CartridgeVoided(
            at=now,
            by=by,
            cartridge=cartridge.id,
            reason=VoidReason.TIME_UNSURE,
            words=None,
            identified=act.aim.identified,
        )
    return (event,)


def _moment(act: DoStep, before: Done, now: Instant) -> Done:
    if act.done_at is None:
        return timed(now)
    return stated(act.done_at, act.give_or_take, not_before=before.earliest, recorded=now)


def _judge_waits(cartridge: Cartridge, step: Step, done: Done) -> tuple[Deviation, ...] | Refusal:
    found: list[Deviation] = []
    for begun_by, wait in cartridge.assay.waits_ending_at(step.key):
        mark = cartridge.mark_of(begun_by.key)
        if mark is None:
            continue
        judged = _judge_wait(begun_by, wait, mark, done)
        if isinstance(judged, Refusal):
            return judged
        found.extend(judged)
    return tuple(found)


def _judge_wait(
    begun_by: Step, wait: Wait, mark: StepMark, done: Done
) -> list[Deviation] | Refusal:
    """Hold one wait against its limits, each judged by the end that cannot harm.

    A wait that may have been short counts as short, and one that may have been
    long counts as long.
    """
    shortest = between(mark.done.latest, done.earliest)
    longest = between(mark.done.earliest, done.latest)
    found = []
    if shortest < wait.least:
        if wait.least_is is Limit.FIRM:
            return Refusal(
                code=RefusalCode.WAIT_NOT_OVER,
                subject=wait.name or begun_by.title,
                due=later(mark.done.latest, wait.least),
                limit=wait.least,
                elapsed=shortest,
            )
        found.append(Deviation(code=f"{begun_by.key}-short", span=shortest))
    # Since a restart of unknown length it may have been any time: it counts as too long.
    if wait.most is not None and (longest > wait.most or mark.doubted is not None):
        if wait.most_is is Limit.FIRM:
            return Refusal(
                code=RefusalCode.NOT_ALLOWED,
                subject=wait.name or begun_by.title,
                limit=wait.most,
                elapsed=longest,
            )
        found.append(Deviation(code=f"{begun_by.key}-long", span=longest))
    return found

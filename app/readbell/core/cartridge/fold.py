"""How an event changes what is known of a cartridge."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, assert_never

from readbell.core.cartridge.cartridge import Cartridge, StepMark
from readbell.core.cartridge.events import (
    AlertRaised,
    ApplicationStated,
    CartridgeEvent,
    CartridgeLabelled,
    CartridgeLapsed,
    CartridgeRead,
    CartridgeVoided,
    EarlyPositiveSeen,
    ReadingCorrected,
    StepDone,
)
from readbell.core.cartridge.moment import timed
from readbell.core.cartridge.stage import LIFE, Stage
from readbell.core.errors import BrokenRecordError
from readbell.core.making import changer_of
from readbell.core.review.events import (
    ReadingHeld,
    ReadingReleased,
    ResultWithdrawn,
    ReviewEvent,
)

if TYPE_CHECKING:
    from readbell.core.assay.assay import Assay
    from readbell.core.instant import Instant

_changed = changer_of(Cartridge)
"""As `dataclasses.replace`, many times as fast: every event makes a changed cartridge."""


def begin(event: CartridgeLabelled, assay: Assay, ordinal: int) -> Cartridge:
    """Return the cartridge that `event` starts; labelling counts as its first step."""
    mark = StepMark(step=assay.first_step.key, done=timed(event.at), by=event.by)
    return Cartridge(labelled=event, assay=assay, ordinal=ordinal, marks=(mark,))


def doubt(cartridge: Cartridge, since: Instant) -> Cartridge:
    """Return `cartridge` after a restart of which nobody knows how long it took.

    A development under way gives no outcome as it is, and a reading is corrected no
    more; of a wait under way nobody can say any more that it was short enough.
    """
    if cartridge.applied is not None:
        return _changed(cartridge, unsure=True)
    marks = (replace(mark, doubted=mark.doubted or since) for mark in cartridge.marks)
    return _changed(cartridge, marks=tuple(marks))


def fold_cartridge(cartridge: Cartridge, event: CartridgeEvent | ReviewEvent) -> Cartridge:
    """Return `cartridge` as it is after `event`.

    Raises:
        BrokenRecordError: the event cannot have happened in this stage.
    """
    changed = _change(cartridge, event)
    if changed.stage not in LIFE[cartridge.stage].get(type(event), ()):
        msg = (
            f"cartridge {cartridge.id} was {cartridge.stage} when the record says "
            f"{type(event).__name__} led to {changed.stage}: the journal needs a supervisor"
        )
        raise BrokenRecordError(msg)
    return changed


def _change(cartridge: Cartridge, event: CartridgeEvent | ReviewEvent) -> Cartridge:
    match event:
        case ReadingHeld() | ReadingReleased() | ResultWithdrawn():
            return _after_review(cartridge, event)
        case StepDone():
            return _after_step(cartridge, event)
        case EarlyPositiveSeen():
            return _changed(cartridge, early_looks=(*cartridge.early_looks, event))
        case CartridgeRead():
            return _changed(
                cartridge,
                stage=Stage.READ,
                reading=event,
                outcomes=event.outcomes,
                outcome=event.outcome,
            )
        case ReadingCorrected():
            return _changed(
                cartridge,
                corrections=(*cartridge.corrections, event),
                outcomes=event.outcomes,
                outcome=event.outcome,
            )
        case CartridgeLapsed():
            return _changed(
                cartridge,
                stage=Stage.LAPSED,
                outcomes=event.outcomes,
                outcome=event.outcome,
            )
        case CartridgeVoided():
            return _changed(cartridge, stage=Stage.VOID, voided=event)
        case ApplicationStated():
            mark = replace(cartridge.last_mark, done=event.done)
            # The window moves with the drops, so its alerts fall anew.
            return _changed(
                cartridge,
                marks=(*cartridge.marks[:-1], mark),
                unsure=False,
                raised=frozenset(),
            )
        case AlertRaised():
            return _changed(cartridge, raised=cartridge.raised | {(event.alert, event.step)})
        case CartridgeLabelled():
            # A second start of one device: no stage has it in its row of LIFE.
            return cartridge
        case _:
            assert_never(event)


def _after_review(cartridge: Cartridge, event: ReviewEvent) -> Cartridge:
    match event:
        case ReadingHeld():
            held = tuple(dict.fromkeys((*cartridge.held, *event.reasons)))
            return _changed(cartridge, held=held, holds=(*cartridge.holds, event))
        case ReadingReleased():
            return _changed(cartridge, held=(), releases=(*cartridge.releases, event))
        case ResultWithdrawn():
            stage = cartridge.stage if cartridge.has_ended else Stage.VOID
            # What was seen stays in the reading and the early looks; none of it counts any more.
            return _changed(cartridge, stage=stage, withdrawn=event, outcomes=(), outcome=None)
        case _:
            assert_never(event)


def _after_step(cartridge: Cartridge, event: StepDone) -> Cartridge:
    mark = StepMark(step=event.step, done=event.done, by=event.by, together=event.together)
    return _changed(
        cartridge,
        stage=_stage_after(cartridge, event.step),
        marks=(*cartridge.marks, mark),
        specimen=event.specimen or cartridge.specimen,
        deviations=(*cartridge.deviations, *event.deviations),
    )


def _stage_after(cartridge: Cartridge, key: str) -> Stage:
    step = cartridge.assay.step(key)
    if step is None:
        msg = f"cartridge {cartridge.id} has a step {key!r} that its assay does not list"
        raise BrokenRecordError(msg)
    if step is cartridge.assay.last_step:
        return Stage.DEVELOPING
    if step.extracts or cartridge.stage is Stage.EXTRACTING:
        return Stage.EXTRACTING
    return Stage.PREPARING

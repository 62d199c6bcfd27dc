"""How an event changes what is known of a cartridge."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, assert_never

from readbell.core.cartridge.cartridge import Cartridge, StepMark, TakenBack
from readbell.core.cartridge.events import (
    AlertKind,
    AlertRaised,
    ApplicationStated,
    CartridgeEvent,
    CartridgeLabelled,
    CartridgeLapsed,
    CartridgeRead,
    CartridgeVoided,
    EarlyPositiveSeen,
    ReadingCorrected,
    ReadingKind,
    ResultAmended,
    StepDone,
    StepTakenBack,
)
from readbell.core.cartridge.moment import timed
from readbell.core.cartridge.stage import LIFE, Stage
from readbell.core.errors import BrokenRecordError
from readbell.core.making import changer_of
from readbell.core.reading.interpretation import Outcome, withhold
from readbell.core.review.events import (
    ReadingHeld,
    ReadingReleased,
    ResultWithdrawn,
    ReviewEvent,
)
from readbell.core.review.reasons import SETTLED_BY_AMENDING, HoldReason

if TYPE_CHECKING:
    from readbell.core.assay.assay import Assay
    from readbell.core.instant import Instant
    from readbell.core.reading.interpretation import LineOutcome

_changed = changer_of(Cartridge)
"""As `dataclasses.replace`, many times as fast: every event makes a changed cartridge."""


def begin(event: CartridgeLabelled, assay: Assay, ordinal: int) -> Cartridge:
    """Return the cartridge that `event` starts; labelling counts as its first step."""
    mark = StepMark(step=assay.first_step.key, done=timed(event.at), by=event.by, at=event.at)
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
        # Most of a day first: each line above another is asked first, a million times.
        case StepDone():
            return _after_step(cartridge, event)
        case AlertRaised():
            return _changed(cartridge, raised=cartridge.raised | {(event.alert, event.step)})
        case ReadingHeld() | ReadingReleased() | ResultWithdrawn():
            return _after_review(cartridge, event)
        case StepTakenBack():
            return _after_taking_back(cartridge, event)
        case EarlyPositiveSeen():
            return _changed(cartridge, early_looks=(*cartridge.early_looks, event))
        case CartridgeRead() | ReadingCorrected() | ResultAmended() | CartridgeLapsed():
            return _after_reading(cartridge, event)
        case CartridgeVoided():
            return _changed(cartridge, stage=Stage.VOID, voided=event)
        case ApplicationStated():
            mark = replace(cartridge.last_mark, done=event.done)
            # The window moves with the drops, so its alerts fall anew.
            return _changed(
                cartridge,
                marks=(*cartridge.marks[:-1], mark),
                unsure=False,
                restated=True,
                raised=frozenset(),
            )
        case CartridgeLabelled():
            # A second start of one device: no stage has it in its row of LIFE.
            return cartridge
        case _:
            assert_never(event)


def _after_reading(
    cartridge: Cartridge,
    event: CartridgeRead | ReadingCorrected | ResultAmended | CartridgeLapsed,
) -> Cartridge:
    settled = {"outcomes": event.outcomes, "outcome": event.outcome}
    if cartridge.is_read_on_both_sides and not isinstance(event, ResultAmended):
        settled = _withheld(event.outcomes)
    match event:
        case CartridgeRead() if cartridge.awaits_second is not (event.kind is ReadingKind.SECOND):
            return cartridge  # a second one without a first, or two of them: no stage allows it
        case CartridgeRead(kind=ReadingKind.SECOND):
            return _changed(cartridge, stage=Stage.READ, second=event, **settled)
        case CartridgeRead(second=None):
            return _changed(cartridge, stage=Stage.READ, reading=event, **settled)
        case CartridgeRead():
            # It calls anew: for somebody else, who is to know nothing of what was seen.
            raised = cartridge.raised - {(AlertKind.READ_NOW, "")}
            stage = Stage.SECOND_READING_DUE
            return _changed(cartridge, stage=stage, reading=event, raised=raised)
        case ReadingCorrected():
            corrections = (*cartridge.corrections, event)
            if cartridge.awaits_second:
                return _changed(cartridge, corrections=corrections)
            return _changed(cartridge, corrections=corrections, **settled)
        case ResultAmended():
            held = tuple(each for each in cartridge.held if each not in SETTLED_BY_AMENDING)
            amendments = (*cartridge.amendments, event)
            return _changed(cartridge, amendments=amendments, held=held, **settled)
        case CartridgeLapsed():
            held = cartridge.held
            if cartridge.awaits_second:
                held = (*held, HoldReason.NOT_READ_TWICE)
            return _changed(cartridge, stage=Stage.LAPSED, held=held, **settled)
        case _:
            assert_never(event)


def _after_review(cartridge: Cartridge, event: ReviewEvent) -> Cartridge:
    match event:
        case ReadingHeld():
            held = tuple(dict.fromkeys((*cartridge.held, *event.reasons)))
            both = HoldReason.READ_ON_BOTH_SIDES in event.reasons and bool(cartridge.outcomes)
            settled = _withheld(cartridge.outcomes) if both else {}
            return _changed(cartridge, held=held, holds=(*cartridge.holds, event), **settled)
        case ReadingReleased():
            return _changed(cartridge, held=(), releases=(*cartridge.releases, event))
        case ResultWithdrawn():
            stage = cartridge.stage if cartridge.has_ended else Stage.VOID
            # What was seen stays in the reading and the early looks; none of it counts any more.
            return _changed(cartridge, stage=stage, withdrawn=event, outcomes=(), outcome=None)
        case _:
            assert_never(event)


def _withheld(outcomes: tuple[LineOutcome, ...]) -> dict[str, Any]:
    return {"outcomes": withhold(outcomes), "outcome": Outcome.WITHHELD}


def _after_step(cartridge: Cartridge, event: StepDone) -> Cartridge:
    mark = StepMark(
        step=event.step, done=event.done, by=event.by, together=event.together, at=event.at
    )
    return _changed(
        cartridge,
        stage=_stage_after(cartridge, cartridge.stage, event.step),
        marks=(*cartridge.marks, mark),
        specimen=event.specimen or cartridge.specimen,
        deviations=(*cartridge.deviations, *event.deviations),
    )


def _after_taking_back(cartridge: Cartridge, event: StepTakenBack) -> Cartridge:
    """Return `cartridge` as it was before the steps of `event` were confirmed.

    A wait that they ended runs on at its own times, and what it called for by then has been
    called. Alerts that came of the steps themselves fall anew, once they are done.
    """
    many = len(event.steps)
    undone = cartridge.marks[1:][-many:]  # the label is never among them
    if tuple(mark.step for mark in undone) != event.steps:
        msg = (
            f"the record takes back {event.steps} of cartridge {cartridge.id}, which were not "
            "confirmed last: the journal needs a supervisor"
        )
        raise BrokenRecordError(msg)
    kept = cartridge.marks[:-many]
    stage = Stage.LABELLED
    for mark in kept[1:]:
        stage = _stage_after(cartridge, stage, mark.step)
    steps = [step for step in cartridge.assay.steps if step.key in event.steps]
    strayed = {
        f"{begun_by.key}-{how}"
        for step in steps
        for begun_by, _ in cartridge.assay.waits_ending_at(step.key)
        for how in ("short", "long")
    }
    gone = tuple(each for each in cartridge.deviations if each.code in strayed)
    return _changed(
        cartridge,
        stage=stage,
        marks=kept,
        specimen=None if any(step.collects for step in steps) else cartridge.specimen,
        deviations=tuple(each for each in cartridge.deviations if each.code not in strayed),
        # Alerts of the window are about no step: there is a window only after the drops.
        raised=frozenset(
            each for each in cartridge.raised if each[1] and each[1] not in event.steps
        ),
        taken_back=(
            *cartridge.taken_back,
            TakenBack(event=event, marks=undone, deviations=gone),
        ),
    )


def _stage_after(cartridge: Cartridge, before: Stage, key: str) -> Stage:
    step = cartridge.assay.step(key)
    if step is None:
        msg = f"cartridge {cartridge.id} has a step {key!r} that its assay does not list"
        raise BrokenRecordError(msg)
    if step is cartridge.assay.last_step:
        return Stage.DEVELOPING
    if step.extracts or before is Stage.EXTRACTING:
        return Stage.EXTRACTING
    return Stage.PREPARING

"""An act as somebody writes it down, before it is understood.

Scenario files and the lines of a bay without a screen say the same things in
the same words. `to_act` turns such words into an act; it fills in nothing that
a person is to check, save what a virtual cartridge shows in a rehearsal.
"""

from __future__ import annotations

from dataclasses import field
from datetime import date  # noqa: TC003  # the codec reads these types
from enum import StrEnum
from typing import TYPE_CHECKING, assert_never

from readbell.core.board.acts import Act, HoldLot, OpenLot
from readbell.core.cartridge.acts import (
    Aim,
    CorrectReading,
    DoStep,
    DoSteps,
    Label,
    Look,
    Read,
    StateApplication,
    TakeBackStep,
    Void,
)
from readbell.core.cartridge.events import How, SlipReason, SubjectKind, TakeBackReason, VoidReason
from readbell.core.cartridge.unverified import ReadUnverified
from readbell.core.instant import Instant, Span
from readbell.core.made_later import dataclass
from readbell.core.making import LATER
from readbell.core.practice.acts import AnswerInterruption
from readbell.core.reading.bands import Bands, LineSeen, Strength, Unreadable
from readbell.core.stock.acts import (
    BeginBox,
    CorrectLot,
    CountUnits,
    LastDay,
    LoseUnits,
    PutBack,
    RecallLot,
    ReleaseLot,
    TakeOut,
)
from readbell.core.stock.events import LossReason, ReleaseReason

if TYPE_CHECKING:
    from collections.abc import Callable

    from readbell.core.assay.assay import Assay
    from readbell.core.private import Private
    from readbell.core.stock.acts import StockAct


class Do(StrEnum):
    """What an entry asks for."""

    LABEL = "label"
    STEP = "step"
    LOOK = "look"
    READ = "read"
    VOID = "void"
    HOLD_LOT = "hold-lot"
    STATE_APPLICATION = "state-application"
    ANSWER = "answer"
    """Of what breaks into a rehearsal."""
    STEPS = "steps"
    CORRECT = "correct-reading"
    OPEN_LOT = "open-lot"
    BEGIN_BOX = "begin-box"
    TAKE_OUT = "take-out"
    PUT_BACK = "put-back"
    LOSE_UNITS = "lose-units"
    COUNT_UNITS = "count-units"
    RECALL_LOT = "recall-lot"
    RELEASE_LOT = "release-lot"
    TAKE_BACK = "take-back-step"
    """What was confirmed last had not been done."""
    CORRECT_LOT = "correct-lot"


ON_STOCK = frozenset(
    {
        Do.BEGIN_BOX,
        Do.TAKE_OUT,
        Do.PUT_BACK,
        Do.LOSE_UNITS,
        Do.COUNT_UNITS,
        Do.RECALL_LOT,
        Do.RELEASE_LOT,
        Do.CORRECT_LOT,
    }
)
"""What a scenario may say of a lot beside holding it; a bay has lines of its own for these."""
SCRIPTED = ON_STOCK | frozenset(
    {
        Do.LABEL,
        Do.STEP,
        Do.TAKE_BACK,
        Do.LOOK,
        Do.READ,
        Do.VOID,
        Do.HOLD_LOT,
        Do.STATE_APPLICATION,
        Do.ANSWER,
    }
)
"""What a scenario may say; the rest is for a bay alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One act in the words it was written in; what was left out is None."""

    do: Do
    by: str = field(repr=False)
    cartridge: str = field(default="", repr=False)
    person: str | None = field(default=None, repr=False)
    is_sample: bool = False
    """Whether what `person` names is a control material."""
    lot: str = ""
    step: str = ""
    steps: tuple[str, ...] = ()
    """Several in a row, confirmed together."""
    scanned: str | None = field(default=None, repr=False)
    control: bool | None = None
    test: Strength | tuple[tuple[str, Strength], ...] | None = None
    """One strength for a device with one test line, or a strength for each by name."""
    unreadable: Unreadable | None = None
    reason: str | None = field(default=None, repr=False)
    done_at: Instant | None = None
    give_or_take: Span = Span(0)
    witness: str = field(default="", repr=False)
    place: str | None = field(default=None, repr=False)
    slip: SlipReason = SlipReason.OTHER
    """Why a reading is corrected."""
    cartridge_by: How | None = None
    """How the cartridge was made sure of; None: typed, or scanned if `scanned` says so."""
    second: str | None = field(default=None, repr=False)
    """The second identifier of the person, as it was read back."""
    second_by: How | None = None
    """How it was given; None: typed, if `second` says it."""
    person_by: How | None = None
    """How the person was made sure of; None: typed, if `person` says who."""
    interruption: int = 0
    """Which one is answered: its place in the scenario, from 1."""
    words: str = field(default="", repr=False)
    """What is answered; of a lot, why, in somebody's own words beside the coded `reason`."""
    units: int = 0
    """So many units of a lot were lost, or counted."""
    unverified: str | None = field(default=None, repr=False)
    """Of a reading: the name of somebody who could not sign in, as it was typed."""
    expires: date | None = field(default=None, metadata=LATER)
    """The right last day of a lot."""
    is_past: bool = field(default=False, metadata=LATER)
    """Whether that is meant to be a day that is past."""
    right_assay: str | None = field(default=None, metadata=LATER)
    """The right assay of a lot, by its id."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """What an entry is understood against."""

    now: Instant
    today: date
    new_id: Callable[[str], str]
    """Gives a fresh opaque id of the kind asked for."""
    keep_apart: Callable[[str], Private]
    """Wraps free text so that it can be erased later."""
    day_ends: Callable[[date], int]
    """Gives when a day ends at the site, in UTC milliseconds since 1970."""
    day_began: Instant | None = None
    """When the site's day began; None: nobody has worked it out."""


def to_act(entry: Entry, setting: Setting, bands: Bands) -> Act:
    """Return the act that `entry` writes down, with `bands` already worked out."""
    aim = _aim(entry)
    match entry.do:
        case Do.LABEL:
            return _label(entry, setting, aim)
        case Do.STEP:
            return DoStep(
                aim=aim,
                step=entry.step,
                new_specimen=setting.new_id("specimen"),
                done_at=entry.done_at,
                give_or_take=entry.give_or_take,
                today=setting.today,
            )
        case Do.STEPS:
            return DoSteps(
                aim=aim,
                steps=entry.steps,
                new_specimen=setting.new_id("specimen"),
                done_at=entry.done_at,
                give_or_take=entry.give_or_take,
                today=setting.today,
            )
        case Do.TAKE_BACK:
            return _take_back(entry, aim)
        case Do.LOOK:
            return Look(aim=aim, bands=bands, today=setting.today)
        case Do.READ if entry.unverified is not None:
            return ReadUnverified(aim=aim, bands=bands, name=setting.keep_apart(entry.unverified))
        case Do.READ:
            return Read(aim=aim, bands=bands, today=setting.today)
        case Do.CORRECT:
            return CorrectReading(aim=aim, bands=bands, reason=entry.slip, today=setting.today)
        case Do.VOID:
            reason, words = _reason(entry.reason, setting)
            return Void(aim=aim, reason=reason, words=words)
        case Do.STATE_APPLICATION:
            return _state(entry, setting, aim)
        case Do.HOLD_LOT:
            return HoldLot(by=entry.by, lot=entry.lot)
        case Do.ANSWER:
            said = setting.keep_apart(entry.words)
            return AnswerInterruption(by=entry.by or None, number=entry.interruption, answer=said)
        case (
            Do.OPEN_LOT
            | Do.BEGIN_BOX
            | Do.TAKE_OUT
            | Do.PUT_BACK
            | Do.LOSE_UNITS
            | Do.COUNT_UNITS
            | Do.RECALL_LOT
            | Do.RELEASE_LOT
            | Do.CORRECT_LOT
        ):
            return _on_lot(entry, setting)
        case _:
            assert_never(entry.do)


def _aim(entry: Entry) -> Aim:
    return Aim(
        by=entry.by,
        cartridge=entry.cartridge,
        scanned=entry.scanned,
        person=entry.person,
        cartridge_by=entry.cartridge_by or (How.TYPED if entry.scanned is None else How.SCANNED),
        person_by=entry.person_by or (None if entry.person is None else How.TYPED),
        second=entry.second,
        second_by=entry.second_by or (None if entry.second is None else How.TYPED),
    )


def _state(entry: Entry, setting: Setting, aim: Aim) -> StateApplication:
    return StateApplication(
        aim=aim,
        witness=entry.witness,
        done_at=setting.now if entry.done_at is None else entry.done_at,
        give_or_take=entry.give_or_take,
    )


def _take_back(entry: Entry, aim: Aim) -> TakeBackStep:
    why = TakeBackReason(entry.reason or TakeBackReason.OTHER)
    return TakeBackStep(aim=aim, step=entry.step, reason=why)


def _on_lot(entry: Entry, setting: Setting) -> OpenLot | StockAct:
    by, lot = entry.by, entry.lot
    words = setting.keep_apart(entry.words) if entry.words else None
    match entry.do:
        case Do.OPEN_LOT:
            return OpenLot(by=by, lot=lot, today=setting.today)
        case Do.BEGIN_BOX:
            return BeginBox(by=by, lot=lot, today=setting.today)
        case Do.TAKE_OUT:
            return TakeOut(by=by, lot=lot)
        case Do.PUT_BACK:
            return PutBack(by=by, lot=lot)
        case Do.LOSE_UNITS:
            why = LossReason(entry.reason or LossReason.OTHER)
            return LoseUnits(by=by, lot=lot, units=entry.units, reason=why, words=words)
        case Do.COUNT_UNITS:
            return CountUnits(by=by, lot=lot, counted=entry.units)
        case Do.RECALL_LOT:
            return RecallLot(by=by, lot=lot, words=words)
        case Do.CORRECT_LOT:
            return _correct_lot(entry, setting)
        case _:
            released = ReleaseReason(entry.reason or ReleaseReason.OTHER)
            return ReleaseLot(by=by, lot=lot, reason=released, words=words)


def _correct_lot(entry: Entry, setting: Setting) -> CorrectLot:
    day = entry.expires
    return CorrectLot(
        by=entry.by,
        lot=entry.lot,
        today=setting.today,
        words=setting.keep_apart(entry.words),
        last_day=None if day is None else LastDay(on=day, ends=setting.day_ends(day)),
        is_past=entry.is_past,
        assay=entry.right_assay,
    )


def _label(entry: Entry, setting: Setting, aim: Aim) -> Label:
    kind = SubjectKind.CONTROL_SAMPLE if entry.is_sample else SubjectKind.PATIENT
    return Label(
        aim=aim,
        new_id=setting.new_id("cartridge"),
        lot=entry.lot,
        today=setting.today,
        subject_kind=kind,
        place=None if entry.place is None else setting.keep_apart(entry.place),
        witness=entry.witness or None,
        day_began=setting.day_began,
    )


def bands_of(entry: Entry, assay: Assay | None, shown: Bands) -> Bands:
    """Return the bands that `entry` reports; what it leaves out is as `shown`.

    At a real bench nothing is shown to the program, so nothing is ever filled
    in there and what was left out stays unanswered.
    """
    lines = _lines(entry, assay)
    if entry.unreadable is not None:
        return Bands(unreadable=entry.unreadable, control=entry.control, lines=lines or ())
    if entry.control is None and lines is None:
        return shown
    return Bands(
        control=shown.control if entry.control is None else entry.control,
        lines=shown.lines if lines is None else lines,
    )


def _lines(entry: Entry, assay: Assay | None) -> tuple[LineSeen, ...] | None:
    match entry.test:
        case None:
            return None
        case Strength():
            # One answer for several lines would be an "all negative": it answers none.
            only = assay.line_keys[0] if assay is not None and len(assay.line_keys) == 1 else ""
            return (LineSeen(line=only, strength=entry.test),)
        case named:
            return tuple(
                LineSeen(line=_key(name, assay), strength=strength) for name, strength in named
            )


def _key(name: str, assay: Assay | None) -> str:
    """Return the key of the line called `name` by key or printed letter."""
    line = None if assay is None else assay.line(name)
    return name if line is None else line.key


def _reason(said: str | None, setting: Setting) -> tuple[VoidReason, Private | None]:
    """Return the coded reason, or `other` and the words as they were said."""
    if said is None:
        return VoidReason.OTHER, None
    if said in VoidReason.__members__.values():
        return VoidReason(said), None
    return VoidReason.OTHER, setting.keep_apart(said)

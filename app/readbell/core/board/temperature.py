"""Whether a temperature may be noted, what it touches, and what it means for a new cartridge."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.assay.check import COLDEST, HOTTEST
from readbell.core.board.layered import newest
from readbell.core.board.subjects import is_behind, is_patients
from readbell.core.cartridge.events import SubjectKind
from readbell.core.climate.acts import ClimateAct, FailThermometer
from readbell.core.climate.climate import due_from, is_outside
from readbell.core.climate.events import (
    ClimateEvent,
    Source,
    TemperatureNoted,
    ThermometerFailed,
    Where,
)
from readbell.core.instant import MINUTE, Span, between, later
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import HoldReason

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.cartridge.events import CartridgeLabelled
    from readbell.core.instant import Instant

OUT_OF_RANGE = "temperature"
"""The warning that a cartridge started outside its range bears."""


def decide_temperature(
    board: Board, act: ClimateAct, now: Instant
) -> tuple[ClimateEvent | ReadingHeld, ...] | Refusal:
    """Judge a figure: it is always taken, unless no thermometer can have said it.

    What ran at the bench since the last figure in range may have run outside it, as nobody
    knows better: their readings, made or to come, wait for a supervisor. None is refused.
    """
    if isinstance(act, FailThermometer):
        return (ThermometerFailed(at=now, where=act.where, fault=act.fault),)
    by = None if act.by is None else board.operators.get(act.by)
    if act.by is not None and by is None:
        return Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=act.by)
    if not COLDEST <= act.celsius <= HOTTEST:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject="temperature")
    outside = tuple(
        key
        for key, adopted in board.assays.items()
        if is_outside(adopted.assay, act.where, act.celsius)
    )
    # A control sample is held for nobody: its verdict says what it says.
    touched = (
        tuple(each for each in _touched(board, outside) if is_patients(each))
        if act.where is Where.BAY
        else ()
    )
    return (
        TemperatureNoted(
            at=now,
            by=by,
            where=act.where,
            celsius=act.celsius,
            source=Source.PIPED if act.by is None else Source.TYPED,
            outside=outside,
            touched=tuple(each.id for each in touched),
        ),
        *(
            ReadingHeld(at=now, by=by, cartridge=each.id, reasons=(HoldReason.TEMPERATURE,))
            for each in touched
            if HoldReason.TEMPERATURE not in each.held
        ),
    )


def hold_for_temperature(
    decided: tuple[CartridgeLabelled] | Refusal,
) -> tuple[CartridgeLabelled | ReadingHeld, ...] | Refusal:
    """Return what comes of a start, with the hold on its reading if it is too cold or too warm.

    A control sample is held for nobody: its verdict says what it says.
    """
    if isinstance(decided, Refusal):
        return decided
    (begun,) = decided
    if OUT_OF_RANGE not in begun.warnings or begun.subject_kind is not SubjectKind.PATIENT:
        return decided
    return begun, ReadingHeld(
        at=begun.at, by=begun.by, cartridge=begun.cartridge, reasons=(HoldReason.TEMPERATURE,)
    )


def places_out_of_range(board: Board, assay: str) -> tuple[TemperatureNoted, ...]:
    """Return the last figures, bay before store, that the assay of that hash does not bear."""
    found = (board.climate.outside(where, assay) for where in Where)
    return tuple(each for each in found if each is not None)


def is_worth_noting(board: Board, where: Where, celsius: float, now: Instant) -> bool:
    """Say whether what a thermometer says by itself is to go into the record.

    One that speaks each second would fill it: a figure is taken when a minute has passed, or when
    it newly leaves or enters the range of an assay.
    """
    last = board.climate.at(where)
    if last is None or where in board.climate.failed or between(last.at, now) >= MINUTE:
        return True
    return any(
        is_outside(adopted.assay, where, celsius) is not (key in last.outside)
        for key, adopted in board.assays.items()
    )


def next_due(board: Board, where: Where) -> Instant | None:
    """Return from when on a new figure of `where` is wanted; None: the site wants none."""
    if board.founded is None:
        return None
    hours = {
        Where.BAY: board.policy.temperature_hours,
        Where.STORE: board.policy.store_temperature_hours,
    }
    return due_from(board.climate, where, hours[where], board.founded.at)


def _touched(board: Board, outside: tuple[str, ...]) -> Iterator[Cartridge]:
    """Yield the cartridges that may have run at a temperature their assay does not bear."""
    hashes = set(outside)
    for each in board.running.values():
        if each.labelled.assay in hashes:
            yield each
    good = {key: board.climate.last_in_range(Where.BAY, key) for key in outside}
    since = min((each for each in good.values() if each is not None), default=None)
    if since is None:
        return  # nobody ever measured a good one, so nothing says when it was left
    # In the order in which they ended: the late ones stand at the end, and no more are looked at.
    for found in newest(board.ended):
        if found.reading is None:
            continue  # it gave no result that could be doubted
        if is_behind(board, found.reading.at, later(since, Span(1))):
            return
        left = good.get(found.labelled.assay)
        if left is not None and found.reading.at > left:
            yield found

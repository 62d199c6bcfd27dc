"""Whether a reading is asked for again from somebody else, and what comes of two of them.

The second reader reads inside the same window and is not shown what the first one saw:
until then the cartridge stands as one that has still to be read. What the two do not agree
on is withheld; a supervisor says what was there, or the person gets a repeat.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.assay.reading_rules import SecondReader
from readbell.core.board.subjects import is_patients
from readbell.core.cartridge.events import CartridgeRead, ReadingCorrected, ReadingKind
from readbell.core.cartridge.looks import SAME_READER, first_outcomes
from readbell.core.reading.bands import Strength
from readbell.core.reading.interpretation import Outcome, strip_ran
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import HoldReason

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.private import Private
    from readbell.core.reading.bands import Bands


def with_second(
    board: Board, cartridge: Cartridge, decided: tuple[Event, ...] | Refusal
) -> tuple[Event, ...] | Refusal:
    """Return what comes of a reading, or of its correction, where somebody else may have to read.

    Where nobody else works there is no second reader: the reading counts, and waits for an
    own review, so that somebody outside learns of it.
    """
    if isinstance(decided, Refusal):
        return decided
    event, *rest = decided
    assert isinstance(event, (CartridgeRead, ReadingCorrected))  # noqa: S101  # nothing else comes of one
    reasons: tuple[HoldReason, ...] = ()
    if isinstance(event, ReadingCorrected):
        # It has ended: nobody reads it any more, whatever turns out to have been on it.
        if not cartridge.awaits_second and asked_by(board, cartridge, event, counted=False):
            reasons = (HoldReason.NOT_READ_TWICE,)
    elif event.kind is ReadingKind.SECOND:
        if readers_disagree(cartridge, event):
            reasons = (HoldReason.READERS_DISAGREE,)
    elif (why := asked_by(board, cartridge, event)) is not None:
        if board.roster.is_single:
            reasons = (HoldReason.NOT_READ_TWICE,)
        else:
            event = replace(event, second=why)
    if not reasons or set(reasons) <= set(cartridge.held):
        return event, *rest
    by = None if event.by not in board.names else event.by
    held = ReadingHeld(at=event.at, by=by, cartridge=cartridge.id, reasons=reasons)
    return event, *rest, held


def read_twice(board: Board) -> frozenset[str]:
    """Return the ids of the adopted assays of which somebody else may have to read a strip again."""
    if board.roster.is_single:
        return frozenset()
    asked = {each.assay for each in board.policy.second_reader if each.when is not SecondReader.OFF}
    return frozenset(
        each.assay.id
        for each in board.assays.values()
        if each.assay.reading.second_reader is not SecondReader.OFF
        or asked.intersection(("", each.assay.id))
    )


def refuse_same_name(board: Board, cartridge: Cartridge, name: Private) -> Refusal | None:
    """Say why whoever types `name` may not read second: it is the name of who read first."""
    first = None if cartridge.reading is None else board.name(cartridge.reading.by)
    if first is None or _folded(first) != _folded(name.value or ""):
        return None
    return Refusal(code=RefusalCode.NOT_ALLOWED, subject=SAME_READER)


def asked_by(
    board: Board,
    cartridge: Cartridge,
    event: CartridgeRead | ReadingCorrected,
    *,
    counted: bool = True,
) -> SecondReader | None:
    """Return by which rule somebody else is to read what `event` is about to end; None: by none.

    A sample is read once; so is what its two looks leave withheld whatever a third one says.

    Args:
        board: the bay.
        cartridge: as it was before.
        event: the reading, or its correction.
        counted: whether it may be its turn by count: of a correction nobody can say any more.
    """
    if not is_patients(cartridge) or event.outcome is Outcome.WITHHELD:
        return None
    asked = set(_rules(board, cartridge, counted=counted))
    if not _is_faint(event.bands):
        asked.discard(SecondReader.FAINT)
    return next((each for each in SecondReader if each in asked), None)


def _rules(board: Board, cartridge: Cartridge, *, counted: bool) -> Iterator[SecondReader]:
    """Yield the rules that hold for a patient's cartridge, each-Nth if it is its turn."""
    assay = cartridge.assay
    if assay.reading.second_reader is not SecondReader.OFF:
        yield assay.reading.second_reader
    for rule in board.policy.second_reader:
        if rule.assay not in ("", assay.id) or rule.when is SecondReader.OFF:
            continue
        if rule.when is not SecondReader.EACH_NTH or (
            counted and rule.nth > 0 and board.readings.get(assay.id, 0) % rule.nth == 0
        ):
            yield rule.when


def _folded(name: str) -> str:
    return name.strip().casefold()


def _is_faint(bands: Bands) -> bool:
    return strip_ran(bands) and any(each.strength is Strength.FAINT for each in bands.lines)


def readers_disagree(cartridge: Cartridge, event: CartridgeRead) -> bool:
    """Say whether two readings part on a line; what contradicts an early look is no such thing."""
    before = {each.line: each.outcome for each in first_outcomes(cartridge)}
    return any(
        each.outcome is Outcome.WITHHELD and before.get(each.line) is not Outcome.WITHHELD
        for each in event.outcomes
    )

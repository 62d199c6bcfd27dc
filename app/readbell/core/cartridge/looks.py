"""Whether a look at the strip counts, and what follows from it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.cartridge.at_instant import stage_at, window
from readbell.core.cartridge.events import (
    CartridgeLapsed,
    CartridgeRead,
    EarlyPositiveSeen,
    ReadingKind,
)
from readbell.core.cartridge.fold import fold_cartridge
from readbell.core.cartridge.stage import Stage
from readbell.core.instant import between
from readbell.core.reading.bands import are_whole
from readbell.core.reading.interpretation import (
    judge_read_once,
    judge_two,
    judge_unread,
    judge_window,
    lines_shown,
    overall,
    strip_ran,
)
from readbell.core.refusal import Refusal, RefusalCode

if TYPE_CHECKING:
    from readbell.core.cartridge.acts import Look, Read
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.core.reading.bands import Bands
    from readbell.core.reading.interpretation import LineOutcome

SAME_READER = "same reader"
"""A second reading is by somebody else; nothing else is said of it."""


def decide_look(
    cartridge: Cartridge, act: Look, by: str, now: Instant
) -> tuple[EarlyPositiveSeen] | Refusal:
    """Judge an early look: only a valid positive may come of it."""
    refused = _refuse_time_of_look(cartridge, now) or refuse_bands(cartridge, act.bands)
    if refused is not None:
        return refused
    shown = lines_shown(cartridge.assay.line_keys, act.bands)
    if not strip_ran(act.bands):
        return Refusal(code=RefusalCode.EARLY_NO_CONTROL, due=_opens(cartridge))
    if not shown:
        return Refusal(code=RefusalCode.EARLY_NEGATIVE, due=_opens(cartridge))
    return (
        EarlyPositiveSeen(
            at=now,
            by=by,
            cartridge=cartridge.id,
            bands=act.bands,
            lines=shown,
            ordinal=len(cartridge.early_looks) + 1,
            kind=ReadingKind.EARLY,
            identified=act.aim.identified,
        ),
    )


def decide_read(
    cartridge: Cartridge, act: Read, by: str, now: Instant
) -> tuple[CartridgeRead] | Refusal:
    """Judge a reading at the instant of its confirmation, `now`."""
    refused = _refuse_time_of_reading(cartridge, now) or refuse_bands(cartridge, act.bands)
    if refused is not None:
        return refused
    outcomes = judge_window(cartridge.assay.line_keys, act.bands, cartridge.early_lines)
    ordinal, kind = len(cartridge.early_looks) + 1, ReadingKind.WINDOW
    if cartridge.reading is not None:
        if by == cartridge.reading.by:
            return Refusal(code=RefusalCode.NOT_ALLOWED, subject=SAME_READER)
        outcomes = judge_two(first_outcomes(cartridge), outcomes)
        ordinal, kind = ordinal + 1, ReadingKind.SECOND
    return (
        CartridgeRead(
            at=now,
            by=by,
            cartridge=cartridge.id,
            bands=act.bands,
            outcomes=outcomes,
            outcome=overall(outcomes),
            ordinal=ordinal,
            kind=kind,
            identified=act.aim.identified,
        ),
    )


def first_outcomes(cartridge: Cartridge) -> tuple[LineOutcome, ...]:
    """Return what the first reading comes to, as its reader last corrected it; nothing if unread."""
    if cartridge.corrections:
        return cartridge.corrections[-1].outcomes
    return () if cartridge.reading is None else cartridge.reading.outcomes


def lapse(cartridge: Cartridge, closed: Instant) -> CartridgeLapsed:
    """Return the fact that the window closed at `closed`, and who was to read it had not."""
    keys = cartridge.assay.line_keys
    if cartridge.reading is None:
        outcomes = judge_unread(keys, cartridge.early_lines)
    else:
        outcomes = judge_read_once(keys)
    return CartridgeLapsed(
        at=closed, cartridge=cartridge.id, outcomes=outcomes, outcome=overall(outcomes)
    )


def as_at(cartridge: Cartridge, now: Instant) -> Cartridge:
    """Return `cartridge` as it is at `now`: lapsed if its window has closed, recorded or not."""
    if cartridge.has_ended or stage_at(cartridge, now) is not Stage.LAPSED:
        return cartridge
    return fold_cartridge(cartridge, lapse(cartridge, now))


def _opens(cartridge: Cartridge) -> Instant | None:
    span = window(cartridge)
    return None if span is None else span.opens


def _refuse_time_of_look(cartridge: Cartridge, now: Instant) -> Refusal | None:
    span, applied = window(cartridge), cartridge.applied
    if span is None or applied is None:
        return Refusal(code=RefusalCode.OUT_OF_ORDER, subject=wanted(cartridge))
    elapsed = between(applied.said, now)
    if cartridge.unsure:
        return Refusal(code=RefusalCode.WINDOW_CLOSED, subject="unsure", elapsed=elapsed)
    # What was read once is looked at early no more, even if the drops were stated anew since.
    was_read = cartridge.reading is not None
    if span.early_from is None or now >= span.opens or was_read:
        return Refusal(code=RefusalCode.NOT_ALLOWED, due=span.opens, elapsed=elapsed)
    if now < span.early_from:
        return Refusal(code=RefusalCode.TOO_EARLY, due=span.early_from, elapsed=elapsed)
    return None


def _refuse_time_of_reading(cartridge: Cartridge, now: Instant) -> Refusal | None:
    span, applied = window(cartridge), cartridge.applied
    if span is None or applied is None:
        return Refusal(code=RefusalCode.OUT_OF_ORDER, subject=wanted(cartridge))
    elapsed = between(applied.said, now)
    if cartridge.unsure:
        return Refusal(code=RefusalCode.WINDOW_CLOSED, subject="unsure", elapsed=elapsed)
    if now < span.opens:
        return Refusal(code=RefusalCode.TOO_EARLY, due=span.opens, elapsed=elapsed)
    return None


def refuse_bands(cartridge: Cartridge, bands: Bands) -> Refusal | None:
    """Say why `bands` are no whole answer for this cartridge."""
    if are_whole(bands, cartridge.assay.line_keys):
        return None
    return Refusal(
        code=RefusalCode.BAD_BANDS,
        subject=", ".join(line.mark for line in cartridge.assay.reading.lines),
    )


def wanted(cartridge: Cartridge) -> str:
    """Return the step that is due, in the assay's own words; nothing if none is left."""
    step = cartridge.next_step
    return "" if step is None else step.title

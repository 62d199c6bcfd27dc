"""Mending a slip of the keys: what was entered is not what was seen.

Only whoever read the strip may do it, and only while the strip could still be
read: until the window closes, or for `WITHOUT_CLOSE` after the reading where the
assay states no close. Later it would be a late look, and is an amendment for a
supervisor. The reading as it was first entered stays, at its instant.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.cartridge.at_instant import window
from readbell.core.cartridge.events import ReadingCorrected
from readbell.core.cartridge.looks import refuse_bands, wanted
from readbell.core.instant import MINUTE, Span, later
from readbell.core.reading.interpretation import judge_window, overall
from readbell.core.refusal import Refusal, RefusalCode

if TYPE_CHECKING:
    from readbell.core.cartridge.acts import CorrectReading
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.core.reading.bands import Bands

WITHOUT_CLOSE = Span(5 * MINUTE)
"""How long after it a reading may be corrected where the assay states no close."""


def decide_correction(
    cartridge: Cartridge, act: CorrectReading, by: str, now: Instant
) -> tuple[ReadingCorrected] | Refusal:
    """Judge a correction at the instant of its confirmation, `now`."""
    refused = refuse_mending(cartridge, by, now) or refuse_bands(cartridge, act.bands)
    if refused is not None:
        return refused
    if act.bands == bands_that_count(cartridge):
        return Refusal(code=RefusalCode.ALREADY_KNOWN, subject="reading")
    outcomes = judge_window(cartridge.assay.line_keys, act.bands, cartridge.early_lines)
    return (
        ReadingCorrected(
            at=now,
            by=by,
            cartridge=cartridge.id,
            bands=act.bands,
            outcomes=outcomes,
            outcome=overall(outcomes),
            reason=act.reason,
            identified=act.aim.identified,
        ),
    )


def refuse_mending(cartridge: Cartridge, by: str | None, now: Instant) -> Refusal | None:
    """Say why the operator `by` mends no slip on this cartridge at `now`, or None.

    Args:
        cartridge: it.
        by: key of the operator; None: nobody said yet who acts.
        now: when they would.
    """
    reading, until = cartridge.reading, correctable_until(cartridge)
    if reading is None or until is None:
        return Refusal(code=RefusalCode.OUT_OF_ORDER, subject=wanted(cartridge))
    if cartridge.withdrawn is not None:
        return Refusal(code=RefusalCode.ALREADY_ENDED, subject=cartridge.label)
    # What two people have seen is settled by both: only a supervisor says it anew.
    settled = cartridge.second is not None or cartridge.is_read_on_both_sides
    if settled or cartridge.amendments:
        return Refusal(code=RefusalCode.ALREADY_READ, subject=cartridge.label)
    # Where nobody knows how much time went by, the window may have closed meanwhile.
    if cartridge.unsure or now > until:
        return Refusal(code=RefusalCode.ALREADY_READ, subject=cartridge.label)
    if by not in (None, reading.by):
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject="another reader")
    return None


def correctable_until(cartridge: Cartridge) -> Instant | None:
    """Return the last instant at which its reading may be corrected, or None if it has none."""
    span, reading = window(cartridge), cartridge.reading
    if span is None or reading is None:
        return None
    return later(reading.at, WITHOUT_CLOSE) if span.closes is None else span.closes


def bands_that_count(cartridge: Cartridge) -> Bands | None:
    """Return the bands of the reading as last amended or corrected; None: it was never read."""
    if cartridge.amendments:
        return cartridge.amendments[-1].bands
    if cartridge.corrections:
        return cartridge.corrections[-1].bands
    return None if cartridge.reading is None else cartridge.reading.bands

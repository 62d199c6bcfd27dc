"""What time alone makes of a cartridge: its stage at an instant that is asked about."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.cartridge.stage import Stage
from readbell.core.cartridge.window import Window, window_of

if TYPE_CHECKING:
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant


def window(cartridge: Cartridge) -> Window | None:
    """Return the read window, or None before the specimen is on the well."""
    applied = cartridge.applied
    return None if applied is None else window_of(cartridge.assay.reading, applied)


def closed_unread(cartridge: Cartridge) -> Instant | None:
    """Return when the window of a lapsed cartridge closed, or None of one that did not lapse."""
    span = window(cartridge) if cartridge.stage is Stage.LAPSED else None
    return None if span is None else span.closes


def read_from(cartridge: Cartridge, span: Window) -> Instant:
    """Return from when somebody is called to read: the opening, or the first of two readings."""
    return span.opens if cartridge.reading is None else max(span.opens, cartridge.reading.at)


def stage_at(cartridge: Cartridge, now: Instant) -> Stage:
    """Return the stage of `cartridge` at `now`.

    A cartridge whose window has closed is lapsed from the first millisecond
    after it, whether or not anybody has yet recorded so. One whose clock is
    unsure never shows an open window.
    """
    return stage_within(cartridge, window(cartridge), now)


def stage_within(cartridge: Cartridge, span: Window | None, now: Instant) -> Stage:
    """Return the stage of `cartridge` at `now`, whose read window is `span`."""
    if cartridge.has_ended or span is None:
        return cartridge.stage
    if span.closes is not None and now > span.closes:
        return Stage.LAPSED
    if cartridge.unsure or now < span.opens:
        return cartridge.stage
    if span.closing_from is None:
        return Stage.READ_WINDOW
    return Stage.CLOSING if now >= span.closing_from else Stage.READ_WINDOW

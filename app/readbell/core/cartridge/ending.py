"""Giving a cartridge up, and mending one whose clock may have lied."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.cartridge.events import (
    ApplicationStated,
    CartridgeVoided,
    VoidReason,
)
from readbell.core.cartridge.moment import stated
from readbell.core.cartridge.window import window_of
from readbell.core.instant import earlier
from readbell.core.refusal import Refusal, RefusalCode

if TYPE_CHECKING:
    from readbell.core.cartridge.acts import StateApplication, Void
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant


def decide_void(
    cartridge: Cartridge, act: Void, by: str, now: Instant
) -> tuple[CartridgeVoided] | Refusal:
    """Judge a void: what has been seen stays, so an early positive forbids it."""
    return refuse_void(cartridge) or (
        CartridgeVoided(
            at=now,
            by=by,
            cartridge=cartridge.id,
            reason=act.reason,
            words=act.words,
            identified=act.aim.identified,
        ),
    )


def refuse_void(cartridge: Cartridge) -> Refusal | None:
    """Say why a cartridge that runs is not given up, or None.

    Of one that waits for its second reader it says nothing that was seen on it before.
    """
    if cartridge.shown_early:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject="early positive")
    if cartridge.reading is not None:
        return Refusal(code=RefusalCode.ALREADY_READ, subject=cartridge.label)
    return None


def decide_statement(
    cartridge: Cartridge, act: StateApplication, by: str, witness: str, now: Instant
) -> tuple[ApplicationStated | CartridgeVoided, ...] | Refusal:
    """Judge a statement of when the drops fell, read off the device by two people."""
    if not cartridge.unsure or cartridge.applied is None:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject="sure")
    if witness == by:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject="witness")
    if act.done_at > now:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject="statement", due=act.done_at)
    # The clock that timed the steps before is the one in doubt: it bounds nothing.
    not_before = earlier(act.done_at, act.give_or_take)
    done = stated(act.done_at, act.give_or_take, not_before=not_before, recorded=now)
    event = ApplicationStated(at=now, by=by, witness=witness, cartridge=cartridge.id, done=done)
    # What was seen stays: early, or by a first reader. Such a cartridge lapses and is never void.
    seen = cartridge.early_looks or cartridge.reading is not None
    if seen or not window_of(cartridge.assay.reading, done).is_empty:
        return (event,)
    return event, CartridgeVoided(
        at=now,
        by=by,
        cartridge=cartridge.id,
        reason=VoidReason.TIME_UNSURE,
        words=None,
        identified=act.aim.identified,
    )

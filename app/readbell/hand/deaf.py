"""What came by itself, twice, or too soon: a trigger held, a key struck twice with a glove.

Rule 1: where a second scan would confirm, the same text within two seconds is one scan.
Rule 2: what a key has just brought up is deaf to the key that would confirm it.
Rule 3: an answer is old after half a minute, and what it said may no longer be so.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.instant import SECOND, Instant, Span, between
from readbell.hand.doing import (
    ChoosingPin,
    Doing,
    Labelling,
    Leaving,
    Proving,
    Stepping,
    TakingBack,
    Voiding,
)
from readbell.hand.given import Key, Pressed, Scanned

if TYPE_CHECKING:
    from readbell.hand.given import Given
    from readbell.hand.hand import Hand

TWICE = Span(2 * SECOND)
"""Our own choice: a scanner left on reads the same label several times in this."""
FRESH = Span(700)
"""Our own choice: longer than a double stroke, shorter than anybody needs to look."""
OLD = Span(30 * SECOND)

SCANNED_TWICE = "The same was scanned twice in a moment: taken once. To go on, scan it again."
STRUCK_TWICE = "That key came twice in a moment: taken once. Press it again to go on."

_CONFIRMS: dict[type, Key] = {
    Stepping: Key.DONE,
    Labelling: Key.START,
    Voiding: Key.VOID,
    TakingBack: Key.SECOND,
    Leaving: Key.LEAVE,
}
"""The key that lets each of them happen."""


def deafened(hand: Hand, given: Given, now: Instant) -> Hand | None:
    """Return the hand that took no notice of `given`, or None if it is to be taken."""
    match given:
        case Scanned(text=text) if isinstance(hand.doing, Stepping) and hand.scanned is not None:
            last, at = hand.scanned
            if text == last and between(at, now) < TWICE:
                return hand.saying(SCANNED_TWICE)
        case Pressed(key=key, in_words=False) if _CONFIRMS.get(type(hand.doing)) is key:
            since = hand.brought_up
            if since is not None and between(since, now) < FRESH:
                return hand.saying(STRUCK_TWICE)
        case _:
            pass
    return None


def noted(before: Hand, after: Hand, given: Given, now: Instant) -> Hand:
    """Return `after` with what has to be remembered of how it came about."""
    if isinstance(given, Scanned):
        # A PIN is kept nowhere, not even as what was typed last.
        is_pin = isinstance(before.doing, (Proving, ChoosingPin))
        after = replace(after, scanned=None if is_pin else (given.text, now))
    if after.said is not before.said:
        after = replace(after, said_at=now)
    if _matter(after.doing) != _matter(before.doing):
        by_key = isinstance(given, Pressed) and not given.in_words
        after = replace(after, brought_up=now if by_key else None)
    return after


def aged(hand: Hand, now: Instant) -> Hand:
    """Return the hand without an answer that is too old to be true."""
    if hand.said is None or hand.said_at is None or between(hand.said_at, now) < OLD:
        return hand
    return replace(hand, said=None)


def _matter(doing: Doing) -> tuple[type, object]:
    about = getattr(doing, "cartridge", None) or getattr(doing, "person", None)
    return type(doing), about

"""How long somebody waits after wrong PINs, and when they are locked out.

Both run on the bay's own clock and follow from the record, so that starting the
program anew wins nothing.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from readbell.core.instant import SECOND, Instant, Span, later
from readbell.core.refusal import Refusal, RefusalCode

if TYPE_CHECKING:
    from readbell.core.staff.roster import Standing

FIRST_WAIT = Span(2 * SECOND)
"""After the first wrong PIN; it doubles with each further one (our own choice)."""
LONGEST_WAIT = Span(15 * 60 * SECOND)
"""Where somebody works alone nobody could unlock them: the waits alone slow a guesser down."""
SHORTEST, LONGEST = 4, 12
"""Digits of a PIN (our own choice)."""


def may_try_from(standing: Standing) -> Instant | None:
    """Return from when on a PIN is looked at again, or None if none was wrong."""
    if standing.last_wrong is None or standing.wrong_pins < 1:
        return None
    wait = min(FIRST_WAIT << (standing.wrong_pins - 1), LONGEST_WAIT)
    return later(standing.last_wrong, Span(wait))


def is_locked_out(standing: Standing, attempts: int) -> bool:
    """Say whether `attempts` wrong PINs in a row were reached; 0 locks nobody out."""
    return 0 < attempts <= standing.wrong_pins


def refuse_attempt(standing: Standing, attempts: int, now: Instant) -> Refusal | None:
    """Say why no PIN is looked at now, right or wrong."""
    if is_locked_out(standing, attempts):
        return Refusal(code=RefusalCode.LOCKED_OUT)
    due = may_try_from(standing)
    if due is not None and now < due:
        return Refusal(code=RefusalCode.PIN_TOO_SOON, due=due)
    return None


def is_pin(text: str) -> bool:
    """Say whether `text` can be a PIN: `SHORTEST` to `LONGEST` digits."""
    return text.isascii() and text.isdigit() and SHORTEST <= len(text) <= LONGEST


def is_guessed_first(pin: str) -> bool:
    """Say whether `pin` is what anybody tries first: one digit throughout, or counting."""
    steps = {int(after) - int(before) for before, after in pairwise(pin)}
    return len(steps) == 1 and steps <= {-1, 0, 1}

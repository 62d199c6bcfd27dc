"""When a step was done: timed by a press, or stated afterwards.

Gloved people forget to press. What is entered after the fact is honest only
with its doubt: it was done somewhere between `earliest` and `latest`. Every
rule then takes the end of that stretch that cannot harm the patient.
"""

from __future__ import annotations

from readbell.core.instant import Instant, Span, earlier, later
from readbell.core.made_later import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """The instant of a step, as narrow as it is known."""

    said: Instant
    """The instant itself when timed; the best guess when stated."""
    earliest: Instant
    latest: Instant
    stated: bool = False
    """True: stated, not timed; such times stay out of timing figures."""


def timed(at: Instant) -> Done:
    """Return the moment of a step that was pressed as it was done."""
    return Done(said=at, earliest=at, latest=at)


def stated(said: Instant, give_or_take: Span, *, not_before: Instant, recorded: Instant) -> Done:
    """Return the moment of a step entered after the fact.

    It cannot have been before the act that went before it (`not_before`, the
    earliest that act may have been), nor after it was told (`recorded`). A doubt
    below nothing is no doubt.
    """
    doubt = max(give_or_take, Span(0))
    return Done(
        said=said,
        earliest=max(earlier(said, doubt), not_before),
        latest=min(later(said, doubt), recorded),
        stated=True,
    )

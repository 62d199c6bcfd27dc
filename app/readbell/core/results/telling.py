"""Telling a result: to whom, how, in which state; and whether what somebody heard still holds.

What was told stays with whoever heard it until they hear otherwise. So each telling
keeps what was said, and it is held against what would be said now: a state that says
nothing new to its hearer, such as a hold that was lifted, makes nobody be told again.
"""

from __future__ import annotations

from dataclasses import field
from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.cartridge.events import How
from readbell.core.instant import Instant
from readbell.core.made_later import dataclass
from readbell.core.private import Private
from readbell.core.reading.interpretation import LineOutcome, Outcome, overall
from readbell.core.results.status import ResultStatus

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from readbell.core.results.result import Result


class Hearer(StrEnum):
    """To whom something was told; part of the record, never changed."""

    PERSON = "person"
    GUARDIAN = "guardian"
    """A parent, or whoever the law puts in their place."""
    OTHER = "other"
    """Somebody whom the person named."""
    OFFICE = "office"
    """Whom the site has to notify; it never hears in the person's place."""


class Channel(StrEnum):
    """How it was told; part of the record, never changed."""

    SPOKEN = "spoken"
    PHONE = "phone"
    SLIP = "slip"
    """A result slip was handed over, or another paper."""
    MESSAGE = "message"


class Saying(StrEnum):
    """What a state of a result comes to for whoever hears it."""

    PRELIMINARY = "preliminary"
    """A positive seen early; what is read in the window is still to come."""
    RESULT = "result"
    REPEAT = "repeat"
    """Nothing counts: the test is to be repeated with a new specimen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ResultTold:
    """Somebody was told how a result stands."""

    at: Instant
    by: str
    """Key of whoever told it."""
    cartridge: str
    """The opaque id of the cartridge, or of the run on paper."""
    version: int
    """Of the result, as it was told."""
    status: ResultStatus
    outcomes: tuple[LineOutcome, ...]
    """What was said of the analytes; none where it was only said that nothing counts."""
    to: Hearer
    how: Channel
    made_sure: How | None = None
    """How it was made sure whose result it is; None: nobody read an ID back."""
    words: Private | None = None
    """Whom exactly, or whatever else is to be known of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TellResult:
    """Enter that somebody was told."""

    by: str = field(repr=False)
    cartridge: str = field(repr=False)
    """The label on the plastic, or the opaque id of one whose label was used again."""
    to: Hearer
    how: Channel
    since: Instant
    """When the site's day began: what is older is told by supervisors, where there are roles."""
    person: str | None = field(default=None, repr=False)
    """The ID, or the second identifier, as whoever is told read it back."""
    made_sure: How = How.TYPED
    version: int | None = None
    """Of the result that was told; None: whichever stands."""
    words: Private | None = None


TELLING_NAMES: dict[type, str] = {TellResult: "tell"}
"""What a near miss is recorded under; part of the record, never changed."""

_SAYINGS: dict[ResultStatus, Saying] = {
    ResultStatus.PRELIMINARY: Saying.PRELIMINARY,
    ResultStatus.FINAL: Saying.RESULT,
    ResultStatus.AMENDED: Saying.RESULT,
    ResultStatus.WITHHELD: Saying.REPEAT,
    ResultStatus.WITHDRAWN: Saying.REPEAT,
}
"""Of the others nothing is said: they wait, or nothing came of them."""


def to_say(status: ResultStatus, outcomes: Sequence[LineOutcome]) -> Saying | None:
    """Return what a result in this state comes to for whoever hears it; None: nothing is said."""
    said = _SAYINGS.get(status)
    invalid = overall(outcomes) is Outcome.INVALID
    return Saying.REPEAT if said is Saying.RESULT and invalid else said


def said_of(result: Result) -> tuple[LineOutcome, ...]:
    """Return what is said of the analytes of `result` as it stands; nothing where nothing counts."""
    if _SAYINGS.get(result.status) in (None, Saying.REPEAT):
        return ()
    return tuple(
        LineOutcome(line=each.line, outcome=each.outcome)
        for each in result.analytes
        if each.outcome is not None
    )


def saying_of(result: Result) -> Saying | None:
    """Return what `result` comes to, as it stands, for whoever hears it."""
    return to_say(result.status, said_of(result))


def last_to_each(told: Iterable[ResultTold]) -> tuple[ResultTold, ...]:
    """Return what each hearer was told last, in the order in which each first heard anything."""
    return tuple({each.to: each for each in told}.values())


def holds(told: ResultTold, result: Result) -> bool:
    """Say whether what was told says all that is to be said of `result` now."""
    saying = saying_of(result)
    if to_say(told.status, told.outcomes) is not saying:
        return False
    return saying is Saying.REPEAT or told.outcomes == said_of(result)


def misled(told: ResultTold, result: Result) -> bool:
    """Say whether something other than what was told is so now.

    A positive that was preliminary and is final now, with whatever else was read,
    misleads nobody: it is news. So is everything while nothing is to be said.
    """
    saying = saying_of(result)
    if saying is None or holds(told, result):
        return False
    if saying is Saying.RESULT and to_say(told.status, told.outcomes) is Saying.PRELIMINARY:
        return not set(told.outcomes) <= set(said_of(result))
    # A second early look adds lines to a first one, and takes none away.
    return saying is not Saying.PRELIMINARY

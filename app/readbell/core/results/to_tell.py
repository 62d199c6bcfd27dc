"""What is still to be told of one result, and how urgent that is."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.reading.interpretation import Outcome
from readbell.core.results.telling import (
    Hearer,
    Saying,
    holds,
    last_to_each,
    misled,
    said_of,
    saying_of,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.policy.notices import NoticeRule
    from readbell.core.results.result import Result
    from readbell.core.results.telling import ResultTold


class Urgency(StrEnum):
    """What is to be told, the most urgent first."""

    PUT_RIGHT = "put-right"
    """Somebody was told what no longer holds."""
    POSITIVE = "positive"
    NOTICE = "notice"
    """The site has to notify an office of it."""
    REPEAT = "repeat"
    """Nothing counts: the person is to come again, or to wait for another test."""
    NEGATIVE = "negative"


def misled_by(told: Sequence[ResultTold], result: Result) -> tuple[ResultTold, ...]:
    """Return the last word to each hearer who was told what no longer holds; never the office's."""
    return tuple(
        each for each in last_to_each(told) if each.to is not Hearer.OFFICE and misled(each, result)
    )


def urgency_of(told: Sequence[ResultTold], result: Result) -> Urgency | None:
    """Return how urgent it is to tell somebody of `result`; None: there is nothing to tell.

    Whoever was misled is told each by themselves. Else it is enough that one of those who
    may hear it has.

    Args:
        told: everything that was told of it so far.
        result: as it stands.
    """
    saying = saying_of(result)
    if saying is None:
        return None
    if misled_by(told, result):
        return Urgency.PUT_RIGHT
    if any(each.to is not Hearer.OFFICE and holds(each, result) for each in last_to_each(told)):
        return None
    if saying is Saying.REPEAT:
        return Urgency.REPEAT
    positive = any(each.outcome is Outcome.POSITIVE for each in said_of(result))
    return Urgency.POSITIVE if positive else Urgency.NEGATIVE


def is_to_notify(told: Sequence[ResultTold], result: Result, rule: NoticeRule) -> bool:
    """Say whether the office of `rule` has yet to be notified of `result`, or told otherwise.

    A positive that is preliminary is not notified: what is read in the window is.
    """
    saying = saying_of(result)
    if saying is None:
        return False
    said = next((each for each in last_to_each(told) if each.to is Hearer.OFFICE), None)
    if said is not None:
        return not holds(said, result)
    if saying is not Saying.RESULT:
        return False
    return rule.negatives or any(each.outcome is Outcome.POSITIVE for each in said_of(result))

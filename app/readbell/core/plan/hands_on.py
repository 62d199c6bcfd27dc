"""How long a hand is at work on something: the usual time, and the bounds it keeps to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.instant import Span
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from readbell.core.assay.assay import Assay

READING = "read"
"""Stands for the window reading wherever a step is named."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HandsOn:
    """A hands-on time: never below `least`, never above `most`, mostly about `usual`."""

    least: Span
    usual: Span
    most: Span

    def __add__(self, other: HandsOn) -> HandsOn:
        """Return the time of both, one after the other."""
        return HandsOn(
            least=Span(self.least + other.least),
            usual=Span(self.usual + other.usual),
            most=Span(self.most + other.most),
        )


NOTHING = HandsOn(least=Span(0), usual=Span(0), most=Span(0))


def about(usual: Span) -> HandsOn:
    """Return the bounds taken where a site has none of its own: a third less, a third more.

    An assumption for planning, from no published source: hands of one site differ
    by more, which is why a site's own times go before it.
    """
    return HandsOn(least=Span(round(usual * 2 / 3)), usual=usual, most=Span(round(usual * 4 / 3)))


def exactly(span: Span) -> HandsOn:
    """Return the time of hands that never vary, as a batch plan takes them."""
    return HandsOn(least=span, usual=span, most=span)


def total(times: Iterable[HandsOn]) -> HandsOn:
    """Return the time of all of `times`, one after the other."""
    return sum(times, NOTHING)


def usual_times(assay: Assay) -> Mapping[str, HandsOn]:
    """Return the times that an assay itself states, by the key of the step, `READING` last."""
    stated = {step.key: about(step.hands_on) for step in assay.steps}
    return stated | {READING: about(assay.reading.hands_on)}

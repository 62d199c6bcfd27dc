"""A site's own hands-on times, learnt from what its record says.

A time is known only where two steps follow each other without a pause and each was
pressed as it was done, by the same operator: then the one lasted from the mark
before it to its own. Steps stated afterwards or confirmed together tell nothing,
nor does the first step after a wait, nor a reading: nobody records when a hand
turned to those. For them the assay's usual times stand.
"""

from __future__ import annotations

from itertools import islice, pairwise
from typing import TYPE_CHECKING

from readbell.core.instant import Span, between
from readbell.core.plan.hands_on import HandsOn

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from readbell.core.cartridge.cartridge import Cartridge, StepMark

ENOUGH = 40
"""From so many timings of a step on they go before the assay's usual time."""
AT_MOST = 400
"""So many cartridges are looked at, the latest; older work tells of other hands."""
LEAST_OF_100, MOST_OF_100 = 5, 95
"""Which hundredths of the timings are taken as bounds: one time in ten lies outside them."""


def learnt(latest_first: Iterable[Cartridge]) -> Mapping[str, Mapping[str, HandsOn]]:
    """Return the times learnt, by the id of the assay and the step.

    Args:
        latest_first: cartridges, ended or not, the latest in front; of a long record
            only the first are looked at.
    """
    timings: dict[tuple[str, str], list[Span]] = {}
    for cartridge in islice(latest_first, AT_MOST):
        for step, took in _timed(cartridge):
            timings.setdefault((cartridge.assay.id, step), []).append(took)
    found: dict[str, dict[str, HandsOn]] = {}
    for (assay, step), spans in timings.items():
        if len(spans) >= ENOUGH:
            found.setdefault(assay, {})[step] = _bounds(sorted(spans))
    return found


def _timed(cartridge: Cartridge) -> Iterator[tuple[str, Span]]:
    for before, mark in pairwise(cartridge.marks):
        if _is_known(before) and _is_known(mark) and before.by == mark.by:
            waits = cartridge.assay.waits_ending_at(mark.step)
            if all(wait.least == 0 for _, wait in waits):
                yield mark.step, between(before.done.said, mark.done.said)


def _is_known(mark: StepMark) -> bool:
    return not (mark.done.stated or mark.together or mark.doubted is not None)


def _bounds(spans: Sequence[Span]) -> HandsOn:
    return HandsOn(
        least=_hundredth(spans, LEAST_OF_100),
        usual=_hundredth(spans, 50),
        most=_hundredth(spans, MOST_OF_100),
    )


def _hundredth(spans: Sequence[Span], share: int) -> Span:
    """Return the value below or at which `share` of 100 lie: the nearest rank."""
    rank = -(-len(spans) * share // 100)
    return spans[max(rank, 1) - 1]

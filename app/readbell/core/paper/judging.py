"""What a run on paper comes to, by the times that were stated: the same rules, the safe ends.

Each time may be off by the doubt, either way. The window opens by the latest and
closes by the earliest instant at which the drops may have fallen, and the reading
counts only if it lies inside wherever in its own doubt it was.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.assay.step import Limit
from readbell.core.cartridge.events import Deviation
from readbell.core.cartridge.moment import Done
from readbell.core.cartridge.window import window_of
from readbell.core.instant import Span, between, earlier, later
from readbell.core.paper.events import PaperFault

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from readbell.core.assay.assay import Assay
    from readbell.core.instant import Instant


def fault_of_times(
    assay: Assay, steps: Mapping[str, Instant], read: Instant, doubt: Span
) -> PaperFault | None:
    """Say why nothing counts of what was seen, or None."""
    if any(limit is Limit.FIRM for limit, _ in _strayed(assay, steps, doubt)):
        return PaperFault.WAIT_NOT_KEPT
    applied = steps[assay.last_step.key]
    window = window_of(
        assay.reading,
        Done(
            said=applied,
            earliest=earlier(applied, doubt),
            latest=later(applied, doubt),
            stated=True,
        ),
    )
    if earlier(read, doubt) < window.opens:
        return PaperFault.READ_TOO_EARLY
    if window.closes is not None and later(read, doubt) > window.closes:
        return PaperFault.READ_TOO_LATE
    return None


def deviations_of(assay: Assay, steps: Mapping[str, Instant], doubt: Span) -> tuple[Deviation, ...]:
    """Return the waits that were not kept for sure, advisory ones and firm ones."""
    return tuple(deviation for _, deviation in _strayed(assay, steps, doubt))


def _strayed(
    assay: Assay, steps: Mapping[str, Instant], doubt: Span
) -> Iterator[tuple[Limit, Deviation]]:
    """Yield each limit that may not have been kept: of two stated times both may be off."""
    for step in assay.steps:
        wait = step.wait
        if wait is None:
            continue
        said = between(steps[step.key], steps[wait.until])
        least, most = Span(max(0, said - 2 * doubt)), Span(said + 2 * doubt)
        if least < wait.least:
            yield wait.least_is, Deviation(code=f"{step.key}-short", span=least)
        if wait.most is not None and most > wait.most:
            yield wait.most_is, Deviation(code=f"{step.key}-long", span=most)

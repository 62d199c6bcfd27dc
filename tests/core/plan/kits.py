"""Works and hands for the tests of planning: the bundled assay, and variants of it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from builders import NASAL, START, span
from readbell.core.assay.step import Limit
from readbell.core.instant import Instant, Span, later
from readbell.core.plan.bench import Bench, Hand
from readbell.core.plan.tasks import Known, tasks_of
from readbell.core.plan.work import Work, work_of

if TYPE_CHECKING:
    from readbell.core.assay.assay import Assay
    from readbell.core.plan.bench import Task

BARE = Span(0)
"""No change of gloves."""


def within(most: str, *, least: str = "1:00", is_firm: bool = True, assay: Assay = NASAL) -> Assay:
    """Return the assay with its wait in the buffer from `least` to `most`."""
    limit = Limit.FIRM if is_firm else Limit.ADVISORY
    steps = tuple(
        step
        if step.wait is None
        else replace(
            step, wait=replace(step.wait, least=span(least), most=span(most), most_is=limit)
        )
        for step in assay.steps
    )
    return replace(assay, steps=steps)


def reading_in(opens: str, closes: str | None, assay: Assay = NASAL) -> Assay:
    """Return the assay with another read window."""
    rules = replace(
        assay.reading, opens=span(opens), closes=None if closes is None else span(closes)
    )
    return replace(assay, reading=rules)


WIDE = work_of(NASAL, gloves=BARE)
"""Up to three minutes in the buffer, and no gloves."""
GLOVED = work_of(NASAL)
NARROW = work_of(within("2:00"), gloves=BARE)
"""Two minutes at most: the first piece of another person may not fit into that."""


def idle(now: Instant = START, *, name: str = "op-1", touched: str | None = None) -> Hand:
    """Return hands that are free at `now`."""
    return Hand(name=name, free=now, free_most=now, touched=touched)


def new(work: Work, cartridge: str = "new") -> tuple[Task, ...]:
    """Return all the tasks of one new cartridge."""
    return tasks_of(work, cartridge, cartridge, {})


def in_buffer(work: Work, cartridge: str, since: str) -> tuple[Task, ...]:
    """Return what is left of a cartridge whose swab went into the buffer at `since`."""
    return _after(work, cartridge, since, ("label", "buffer", "collect", "extract"))


def on_the_well(work: Work, cartridge: str, since: str) -> tuple[Task, ...]:
    """Return what is left of a cartridge that had its drops at `since`."""
    return _after(
        work, cartridge, since, ("label", "buffer", "collect", "extract", "withdraw", "apply")
    )


def _after(work: Work, cartridge: str, since: str, steps: tuple[str, ...]) -> tuple[Task, ...]:
    at = _at(since)
    done = {step: Known(earliest=at, latest=at) for step in steps}
    return tasks_of(work, cartridge, cartridge, done)


def _at(text: str) -> Instant:
    """Return the instant so long after the start, or before it with a dash in front."""
    if text.startswith("-"):
        return Instant(START - span(text[1:]))
    return later(START, span(text))


def bench(*chains: tuple[Task, ...], hands: tuple[Hand, ...] | None = None) -> Bench:
    """Return a bench with these chains before one idle hand, or before `hands`."""
    return Bench(
        hands=(idle(),) if hands is None else hands,
        tasks=tuple(task for chain in chains for task in chain),
    )

"""What one pair of hands has before it: pieces of work with earliest and latest times.

Everything is worked out from the assay and from what is done already, so the
same rules tell what to do next and what would happen if one more person were
begun.
"""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.instant import Instant, Span, later
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.assay.assay import Assay
    from readbell.core.assay.step import Step

FAR = Instant(1 << 62)
READING = ""
"""Stands for the window reading where a step is named."""


@dataclass(slots=True, kw_only=True)
class Job:
    """One cartridge, as far as its work has come; changed as the work is played out."""

    cartridge: str
    person: str
    assay: Assay
    order: int
    begun: Instant
    lot: str = ""
    done: dict[str, Instant] = field(default_factory=dict)
    """When each finished step ended, as far as it can be known: never too early."""

    def copy(self) -> Job:
        """Return a job that can be played out without touching this one."""
        return Job(
            cartridge=self.cartridge,
            person=self.person,
            assay=self.assay,
            order=self.order,
            begun=self.begun,
            done=dict(self.done),
        )

    @property
    def next_step(self) -> Step | None:
        """The step to do next, or None when only the reading is left."""
        return next((step for step in self.assay.steps if step.key not in self.done), None)

    @property
    def hands_on(self) -> Span:
        """How long the next piece of work usually takes."""
        step = self.next_step
        return self.assay.reading.hands_on if step is None else step.hands_on

    @property
    def touches_specimen(self) -> bool:
        """Whether gloves must be fresh for this person before the next piece."""
        step = self.next_step
        return step is not None and step.touches_specimen

    @property
    def waits(self) -> bool:
        """Whether some wait lies between the last piece of work and the next."""
        step = self.next_step
        return step is None or any(True for _ in self.assay.waits_ending_at(step.key))

    def ready(self) -> Instant:
        """Return the first instant at which the next piece may be begun."""
        step = self.next_step
        if step is None:
            return later(self.done[self.assay.last_step.key], self.assay.reading.opens)
        ends = [
            later(self.done[each.key], each.wait.least)
            for each in self._begun_waits(step)
            if each.wait is not None
        ]
        return max(ends, default=self.begun)

    def deadline(self) -> Instant:
        """Return the last instant at which the next piece may be finished."""
        step = self.next_step
        if step is None:
            closes = self.assay.reading.closes
            return FAR if closes is None else later(self.done[self.assay.last_step.key], closes)
        ends = [
            later(self.done[each.key], each.wait.most)
            for each in self._begun_waits(step)
            if each.wait is not None and each.wait.most is not None
        ]
        return min(ends, default=FAR)

    def _begun_waits(self, step: Step) -> list[Step]:
        return [each for each, _ in self.assay.waits_ending_at(step.key) if each.key in self.done]


@dataclass(frozen=True, slots=True, kw_only=True)
class Gloves:
    """On whom the hands last touched a specimen, and which work they are in the middle of."""

    person: str = ""
    cartridge: str = ""


def pick(jobs: Sequence[Job], gloves: Gloves, now: Instant) -> Job | None:
    """Return the job to put a hand to at `now`, or None if none is ready.

    Steps with no wait between them are one unbroken piece of work; otherwise the
    job goes first that must be begun soonest.
    """
    for job in jobs:
        if job.cartridge == gloves.cartridge and not job.waits:
            return job
    ready = [job for job in jobs if job.ready() <= now]
    return min(
        ready,
        key=lambda job: (job.deadline() - effort(job, gloves), job.order),
        default=None,
    )


def effort(job: Job, gloves: Gloves) -> Span:
    """Return how long the next piece of `job` takes these hands, fresh gloves included."""
    fresh = job.touches_specimen and gloves.person not in ("", job.person)
    return Span(job.hands_on + (job.assay.glove_change if fresh else 0))


def next_ready(jobs: Sequence[Job]) -> Instant:
    """Return the first instant at which a hand can be put to one of `jobs`."""
    return min((job.ready() for job in jobs), default=FAR)


def after_piece(job: Job, gloves: Gloves, ends: Instant) -> Gloves:
    """Note in `job` that its next piece ended at `ends`; return the hands after it."""
    touched = job.touches_specimen
    step = job.next_step
    job.done[READING if step is None else step.key] = ends
    return Gloves(person=job.person if touched else gloves.person, cartridge=job.cartridge)


def missed(jobs: Sequence[Job], gloves: Gloves, now: Instant) -> frozenset[str]:
    """Play `jobs` to their end from `now`, and return the cartridges that miss a deadline."""
    left, late = [job.copy() for job in jobs], set()
    while left:
        job = pick(left, gloves, now)
        if job is None:
            now = max(now, next_ready(left))
            continue
        now = later(now, effort(job, gloves))
        if now > job.deadline():
            late.add(job.cartridge)
        gloves = after_piece(job, gloves, now)
        left = [each for each in left if READING not in each.done]
    return frozenset(late)

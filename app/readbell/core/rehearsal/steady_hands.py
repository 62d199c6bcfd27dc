"""The built-in operator: steady hands that follow the assay and lose no window.

Rule: at each free moment the work that must be begun soonest; failing that, the
next person in order of arrival, if beginning now makes nobody's deadline missed
that would otherwise be met. Whether it does is found by playing the present
work and the new person to the end at the usual hands-on times. These hands keep
those times exactly, so what was found is what happens: by induction nothing is
ever missed that could not be helped. Real hands vary; for them this is no proof.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from readbell.core.board.entry import Do, Entry
from readbell.core.instant import SECOND, Instant, Span, later
from readbell.core.refusal import RefusalCode
from readbell.core.rehearsal.workload import (
    Gloves,
    Job,
    after_piece,
    effort,
    missed,
    next_ready,
    pick,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from readbell.core.assay.assay import Assay

_OF_THE_PERSON = frozenset(
    {
        RefusalCode.UNKNOWN_PERSON,
        RefusalCode.WRONG_PERSON,
        RefusalCode.SECOND_MISSING,
        RefusalCode.CONSENT_MISSING,
        RefusalCode.CONSENT_REFUSED,
        RefusalCode.NOT_ALLOWED,
    }
)
TRY_AGAIN_AFTER = Span(5 * SECOND)
"""How soon a start that was not safe is considered again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Visitor:
    """Somebody in the queue."""

    person: str
    arrives: Instant


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """The open lot the next cartridge would come from, and its assay."""

    lot: str
    assay: Assay


@dataclass(frozen=True, slots=True, kw_only=True)
class Deed:
    """A piece of work that is begun: what will be entered when it ends."""

    entry: Entry
    ends: Instant


@dataclass(slots=True, kw_only=True)
class Hands:
    """One operator and the cartridges they have taken on."""

    operator: str
    jobs: list[Job] = field(default_factory=list)
    gloves: Gloves = field(default_factory=Gloves)


class SteadyHands:
    """Every operator of a bay, one queue of visitors, one shelf of lots.

    Args:
        operators: ids, in the order of the scenario.
        visitors: everybody who will come, in order of arrival.
        open_box: gives the lot to take a cartridge from, or None if none is usable.
    """

    def __init__(
        self,
        operators: Sequence[str],
        visitors: Sequence[Visitor],
        open_box: Callable[[], Box | None],
    ) -> None:
        self._hands = {each: Hands(operator=each) for each in operators}
        self._queue = deque(visitors)
        self._open_box = open_box
        self._begun = 0

    def ask_again(self, person: str, now: Instant) -> None:
        """Put `person` at the end of the queue for a fresh cartridge."""
        self._queue.append(Visitor(person=person, arrives=now))

    def label_refused(self, entry: Entry, now: Instant, why: RefusalCode | None = None) -> None:
        """Take back a start that the bay refused; the person goes first in the queue.

        Whoever is refused for their own sake leaves: asked again they would answer the same.
        """
        hands = self._hands[entry.by]
        hands.jobs = [job for job in hands.jobs if job.cartridge != entry.cartridge]
        if why not in _OF_THE_PERSON:
            self._queue.appendleft(Visitor(person=entry.person or "", arrives=now))

    def next_deed(self, operator: str, now: Instant) -> Deed | Instant:
        """Return what `operator`, free at `now`, turns to; or when to ask again."""
        hands = self._hands[operator]
        job = pick(hands.jobs, hands.gloves, now) or self._begin(hands, now)
        if job is not None:
            return self._work(hands, job, now)
        return self._ask_again_at(hands, now)

    def _begin(self, hands: Hands, now: Instant) -> Job | None:
        """Return a new job for the next visitor, if it is safe to begin one."""
        if not self._queue or self._queue[0].arrives > now:
            return None
        box = self._open_box()
        if box is None:
            self._queue.clear()
            return None
        job = Job(
            cartridge=f"C{self._begun + 1}",
            person=self._queue[0].person,
            assay=box.assay,
            order=self._begun,
            begun=now,
            lot=box.lot,
        )
        before = missed(hands.jobs, hands.gloves, now)
        # Begun means begun at once: the new work is put in hand before the rest is played.
        trial, ends = job.copy(), later(now, effort(job, hands.gloves))
        gloves = after_piece(trial, hands.gloves, ends)
        # Idle hands begin in any case: waiting would make the assay no easier to keep.
        if hands.jobs and not missed([*hands.jobs, trial], gloves, ends) <= before:
            return None
        self._queue.popleft()
        self._begun += 1
        hands.jobs.append(job)
        return job

    def _work(self, hands: Hands, job: Job, now: Instant) -> Deed:
        step = job.next_step
        ends = later(now, effort(job, hands.gloves))
        hands.gloves = after_piece(job, hands.gloves, ends)
        if step is None:
            hands.jobs.remove(job)
        do = Do.READ if step is None else Do.STEP
        if step == job.assay.first_step:
            do = Do.LABEL
        return Deed(
            entry=Entry(
                do=do,
                by=hands.operator,
                cartridge=job.cartridge,
                scanned=job.cartridge,
                person=job.person,
                lot=job.lot if do is Do.LABEL else "",
                step="" if step is None else step.key,
            ),
            ends=ends,
        )

    def _ask_again_at(self, hands: Hands, now: Instant) -> Instant:
        when = next_ready(hands.jobs)
        if self._queue:
            when = min(when, max(self._queue[0].arrives, later(now, TRY_AGAIN_AFTER)))
        return when

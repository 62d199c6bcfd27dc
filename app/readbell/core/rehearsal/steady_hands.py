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
from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.board.entry import Do, Entry
from readbell.core.cartridge.events import VoidReason
from readbell.core.instant import MINUTE, SECOND, Instant, Span, later
from readbell.core.made_later import dataclass
from readbell.core.refusal import RefusalCode
from readbell.core.rehearsal.trouble import NO_TROUBLE, Trouble
from readbell.core.rehearsal.workload import (
    FAR,
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
_OF_THE_DEVICE = frozenset(
    {
        RefusalCode.LABEL_IN_USE,
        RefusalCode.LOT_ON_HOLD,
        RefusalCode.LOT_EXPIRED,
        RefusalCode.LOT_USED_UP,
    }
)
"""The next label, or the next lot, may do: it is tried at once."""
VOIDING = Span(10 * SECOND)
"""How long it takes to give a device up."""
TRY_AGAIN_AFTER = Span(5 * SECOND)
"""How soon a start that was not safe is considered again."""
LONGEST_PATIENCE = Span(2 * 60 * MINUTE)
"""Whoever would wait longer than this to be let begin anybody gives it up (our own choice)."""


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
    waits: Span = TRY_AGAIN_AFTER
    """How long they wait after the next start that the bay refuses."""
    begin_from: Instant = Instant(0)
    """Before this they begin nobody; `FAR`: they have given it up."""


class SteadyHands:
    """Every operator of a bay, one queue of visitors, one shelf of lots.

    Args:
        operators: ids, in the order of the scenario.
        visitors: everybody who will come, in order of arrival.
        open_box: gives the lot to take a cartridge from, or None if none is usable.
        trouble: what else is in the way. It is seen as it comes, and not foreseen: a device
            that must not be read is voided once its label is on it, and another one taken.
    """

    def __init__(
        self,
        operators: Sequence[str],
        visitors: Sequence[Visitor],
        open_box: Callable[[], Box | None],
        trouble: Trouble = NO_TROUBLE,
    ) -> None:
        self._hands = {each: Hands(operator=each) for each in operators}
        self._queue = deque(visitors)
        self._open_box = open_box
        self._trouble = trouble
        self._begun = 0

    def ask_again(self, person: str, now: Instant) -> None:
        """Put `person` at the end of the queue for a fresh cartridge."""
        self._queue.append(Visitor(person=person, arrives=now))

    def read_again(self, entry: Entry, assay: Assay, drops: Instant) -> str | None:
        """Have somebody else read the strip that `entry` read once; return who, or None.

        It is asked for when it is seen, and foreseen by nobody: with a second reader these
        hands promise nothing about what they have begun before.

        Args:
            entry: the reading.
            assay: of that cartridge.
            drops: when its development began.
        """
        others = [each for each in self._hands.values() if each.operator != entry.by]
        if not others:
            return None
        reader = min(others, key=lambda each: len(each.jobs))
        reader.jobs.append(
            Job(
                cartridge=entry.cartridge,
                person=entry.person or "",
                assay=assay,
                order=self._begun,
                begun=drops,
                done={step.key: drops for step in assay.steps},
            )
        )
        return reader.operator

    def label_refused(self, entry: Entry, now: Instant, why: RefusalCode | None = None) -> None:
        """Take back a start that the bay refused; the person goes first in the queue.

        Whoever is refused for their own sake leaves: asked again they would answer the same.
        What the bay refuses whoever it is, such as overdue control samples, is tried again after
        twice as long each time; these hands cannot mend it, and once all have given it up the
        queue goes home.
        """
        hands = self._hands[entry.by]
        hands.jobs = [job for job in hands.jobs if job.cartridge != entry.cartridge]
        if why in _OF_THE_PERSON:
            return
        self._queue.appendleft(Visitor(person=entry.person or "", arrives=now))
        if why is not None and why not in _OF_THE_DEVICE:
            self._put_off(hands, now)

    def _put_off(self, hands: Hands, now: Instant) -> None:
        hands.begin_from = FAR if hands.waits > LONGEST_PATIENCE else later(now, hands.waits)
        hands.waits = Span(2 * hands.waits)
        if all(each.begin_from == FAR for each in self._hands.values()):
            self._queue.clear()

    def next_deed(self, operator: str, now: Instant) -> Deed | Instant:
        """Return what `operator`, free at `now`, turns to; or when to ask again."""
        hands = self._hands[operator]
        back = self._trouble.back(operator, now)
        if back is not None:
            return back
        given_up = self._give_up(hands, now)
        if given_up is not None:
            return given_up
        job = pick(hands.jobs, hands.gloves, now) or self._begin(hands, now)
        if job is not None:
            return self._work(hands, job, now)
        return self._ask_again_at(hands, now)

    def _give_up(self, hands: Hands, now: Instant) -> Deed | None:
        """Return how a device is voided that must not be read, or whose person has left unswabbed."""
        for job in hands.jobs:
            why = self._trouble.flawed.get(job.cartridge)
            leaves = self._trouble.leaves.get(job.person)
            if why is None and leaves is not None and leaves <= now and not _is_taken(job, leaves):
                why = VoidReason.DECLINED
            if why is not None and job.done:
                hands.jobs.remove(job)
                hands.gloves = Gloves(person=hands.gloves.person)
                if why is not VoidReason.DECLINED:
                    self._queue.appendleft(Visitor(person=job.person, arrives=now))
                entry = Entry(
                    do=Do.VOID, by=hands.operator, cartridge=job.cartridge, reason=str(why)
                )
                return Deed(entry=entry, ends=later(now, VOIDING))
        return None

    def _begin(self, hands: Hands, now: Instant) -> Job | None:
        """Return a new job for the next visitor, if it is safe to begin one."""
        while self._queue and self._trouble.has_left(self._queue[0].person, now):
            self._queue.popleft()
        if not self._queue or self._queue[0].arrives > now or hands.begin_from > now:
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
        else:
            hands.waits = TRY_AGAIN_AFTER  # the bay let them begin this one
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
            next_one = max(self._queue[0].arrives, later(now, TRY_AGAIN_AFTER), hands.begin_from)
            when = min(when, next_one)
        return when


def _is_taken(job: Job, by: Instant) -> bool:
    """Say whether the specimen of `job` was taken at `by` at the latest."""
    return any(step.collects and job.done.get(step.key, FAR) <= by for step in job.assay.steps)

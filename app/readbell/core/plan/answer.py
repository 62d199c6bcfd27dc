"""What is told about the next start: when, by which rule, and why."""

from __future__ import annotations

from enum import StrEnum
from functools import cached_property
from typing import TYPE_CHECKING

from readbell.core.instant import SECOND, Instant, Span, later
from readbell.core.made_later import dataclass
from readbell.core.plan.agenda import Agenda, agendas
from readbell.core.plan.carrying import carried_over
from readbell.core.plan.conditions import Broken, Condition, broken
from readbell.core.plan.hands_on import HandsOn, exactly, usual_times
from readbell.core.plan.next_start import next_start
from readbell.core.plan.present import bench_now
from readbell.core.plan.spare import spare
from readbell.core.plan.tasks import tasks_of
from readbell.core.plan.work import work_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from readbell.core.assay.assay import Assay
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.plan.bench import Bench, Break, Task
    from readbell.core.plan.course import Course
    from readbell.core.plan.next_start import Start
    from readbell.core.plan.pauses import Pause
    from readbell.core.plan.present import Taken
    from readbell.core.plan.way_out import Keys
    from readbell.core.plan.work import Work

NEW = ""
"""Stands for the cartridge of whoever is begun next."""
SOMEBODY = ""
"""Stands for whoever is begun next."""
TO_TURN = Span(10 * SECOND)
"""An answer of "now" holds for a start within so long: people read it, and then move."""
STANDS_FOR = Span(5 * SECOND)
"""After so long the answer is worked out anew, though nobody has acted."""
NONE_STANDS_FOR = Span(15 * SECOND)
"""The same where no start is in sight: it will not be in sight at once."""


class Rule(StrEnum):
    """What an answer rests on."""

    GUARANTEED = "guaranteed"
    """Proven: nothing is missed as long as hands keep to their bounds and to the list."""
    ADVICE = "advice"
    """Played through at the usual times alone; real hands vary, and then it may fail."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Crew:
    """Who is at work, and how long things take them."""

    hands: int = 1
    gloves: Span | None = None
    """None: as each assay says."""
    times: Mapping[str, Mapping[str, HandsOn]] | None = None
    """A site's own times, by the id of the assay and the step."""
    breaks: Mapping[str, Sequence[Break]] | None = None
    """By the key of an operator."""
    read_twice: frozenset[str] = frozenset()
    """Ids of the assays of which somebody else may have to read a strip again."""


@dataclass(frozen=True, kw_only=True)
class Answer:
    """When one more person may be begun."""

    rule: Rule
    start: Start
    bench: Bench
    """What it was worked out from."""
    chain: tuple[Task, ...]
    """The work of whoever is begun next."""
    broken: tuple[Broken, ...]
    """Why there is no guarantee; nothing where there is one."""
    advice: Start | None
    """What the usual times alone would give, where that comes sooner than the guarantee."""
    left_out: tuple[Cartridge, ...]
    """Cartridges that could not be counted, as their clock is unsure."""
    at: Instant
    """When it was worked out."""
    course: Course | None = None
    """What is left of the loaded plan; None where there is none, or all are begun."""
    pauses: tuple[Pause, ...] = ()
    """The breaks of the loaded plan that were not over when it was worked out."""

    @cached_property
    def agendas(self) -> tuple[Agenda, ...]:
        """What each hand does next if the answer is followed."""
        return agendas(self.bench, self.chain, self.start)

    @cached_property
    def spare(self) -> Span:
        """For how long a free hand may turn to something that is on no list."""
        return spare(self.bench, self.at)

    def complete(self) -> None:
        """Work out all that is told of it, so that no picture has to."""
        assert self.agendas is not None  # noqa: S101  # both are kept once they were asked for
        assert self.spare is not None  # noqa: S101

    def carried_to(self, bench: Bench) -> tuple[Keys, ...]:
        """Return the ways out of this answer as keys for `bench`, as it is now."""
        chain = [task.key for task in self.chain]
        return carried_over(self.bench, self.start, chain, bench)

    @property
    def until(self) -> Instant:
        """The instant from which on it stands no more, even if nobody acts."""
        coming = self.start.at
        if coming is None:
            return later(self.at, NONE_STANDS_FOR)
        ends = later(self.at, STANDS_FOR)
        return min(ends, coming) if coming > self.at else ends

    def holds(self, now: Instant) -> bool:
        """Whether it still stands at `now` if nobody has acted."""
        return self.at <= now < self.until


def answer(
    cartridges: Sequence[Cartridge],
    assays: Mapping[str, Assay],
    assay: Assay,
    crew: Crew,
    now: Instant,
    last: Answer | None = None,
) -> Answer:
    """Return when one more cartridge of `assay` may be begun.

    Args:
        cartridges: those that run.
        assays: theirs, by content hash.
        assay: of the box that is open.
        crew: who is at work.
        now: the instant.
        last: the answer before, whose way out is tried again.
    """
    sure = _Asked(cartridges, assays, assay, crew, now, usual_only=False)
    quick = _Asked(cartridges, assays, assay, crew, now, usual_only=True)
    faults = tuple(
        fault
        for work in sure.every
        for fault in (*broken(work, crew.hands), *_read_twice(work, crew))
    )
    asked, rule = (quick, Rule.ADVICE) if faults else (sure, Rule.GUARANTEED)
    taken = asked.taken()
    carried = () if last is None or last.rule is not rule else last.carried_to(taken.bench)
    start = asked.start(taken.bench, carried)
    return Answer(
        rule=rule,
        start=start,
        bench=taken.bench,
        chain=asked.chain,
        broken=faults,
        advice=None if faults or _is_settled(start, now) else _sooner(quick, start),
        left_out=taken.left_out,
        at=now,
    )


def _read_twice(work: Work, crew: Crew) -> tuple[Broken, ...]:
    """Return that no guarantee reaches over a second reader; what awaits one now is counted."""
    if work.assay not in crew.read_twice:
        return ()
    return (Broken(condition=Condition.READ_ONCE, assay=work.assay),)


def _is_settled(start: Start, now: Instant) -> bool:
    """Say whether advice could add nothing: it is now, or too much is at risk already."""
    return start.is_now(now) or (start.at is None and bool(start.already))


def _sooner(quick: _Asked, start: Start) -> Start | None:
    """Return what the usual times alone give, if that comes before `start`."""
    found = quick.start(quick.taken().bench)
    if found.at is None or (start.at is not None and start.at <= found.at):
        return None
    return found


class _Asked:
    """The question, for times within their bounds or for usual times that never vary."""

    def __init__(
        self,
        cartridges: Sequence[Cartridge],
        assays: Mapping[str, Assay],
        assay: Assay,
        crew: Crew,
        now: Instant,
        *,
        usual_only: bool,
    ) -> None:
        self._cartridges = cartridges
        self._crew = crew
        self._now = now
        self._usual_only = usual_only
        running = {each.labelled.assay for each in cartridges}
        self._works = {key: self._work(assays[key]) for key in running}
        self._new = self._work(assay)
        self.chain = tasks_of(self._new, NEW, SOMEBODY, {})
        self.every = tuple(
            {work.assay: work for work in (*self._works.values(), self._new)}.values()
        )

    def taken(self) -> Taken:
        """Return the bench as the record has it."""
        crew = self._crew
        return bench_now(self._cartridges, self._works, crew.hands, self._now, breaks=crew.breaks)

    def start(self, bench: Bench, carried: Sequence[Keys] = ()) -> Start:
        """Return when the new cartridge can be begun."""
        return next_start(bench, self.chain, self._now, within=TO_TURN, carried=carried)

    def _work(self, assay: Assay) -> Work:
        crew = self._crew
        times = {**usual_times(assay), **(crew.times or {}).get(assay.id, {})}
        if self._usual_only:
            times = {key: exactly(each.usual) for key, each in times.items()}
        return work_of(assay, times=times, gloves=crew.gloves)

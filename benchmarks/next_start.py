"""N1 to N3: hands that obey the rule of the next safe start, and how long the rule takes."""

from __future__ import annotations

import os
import random
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from benchmarks.figure import Figure
from benchmarks.measure import progress, runs, took
from readbell.assays.library import Library
from readbell.core.assay.step import Limit
from readbell.core.cartridge.cartridge import StepMark
from readbell.core.cartridge.events import CartridgeLabelled, How, Identified, SubjectKind
from readbell.core.cartridge.fold import begin
from readbell.core.cartridge.moment import timed
from readbell.core.cartridge.stage import Stage
from readbell.core.instant import MINUTE, Instant, Span
from readbell.core.plan.answer import Crew, answer
from readbell.core.plan.bench import Bench, Hand
from readbell.core.plan.hands_on import READING, HandsOn
from readbell.core.plan.next_start import next_start
from readbell.core.plan.playing import Arrival, play
from readbell.core.plan.tasks import Known, tasks_of
from readbell.core.plan.work import Work, work_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from benchmarks.measure import Plan
    from readbell.core.assay.assay import Assay
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.plan.bench import Task
    from readbell.core.plan.work import Part

SEED = 20_261_125
BEGINS = Instant(1_774_745_600_000)
GLOVES = Span(20_000)
NASAL = "respiratory-antigen-nasal"
CARTRIDGES = int(os.environ.get("READBELL_CARTRIDGES", "100000"))
"""In all, for N1: half with times anywhere between their bounds, half with times at their bounds.

A million take the better part of an hour: READBELL_CARTRIDGES=1000000 plays them."""
SHORT = 3_000
"""For each figure of N2."""
RUNNING = 200
OLDEST = Span(19 * MINUTE)
"""Since the drops of the oldest of them."""
WARM_UP = 20
"""One in so many cartridges is left out at each end: there the bay is not full yet, or any more."""


def bundled(most: Span | None = None, *, to_beginning: bool = False) -> Assay:
    """Return the bundled nasal assay, its wait in the buffer firm and at most `most`.

    With `to_beginning` the limit is for the beginning of the withdrawal, not for its
    end, where the record has it: the withdrawal at its longest is added.
    """
    assay = Library().find(NASAL)
    if most is None:
        return assay
    longest = work_of(assay).pieces[1].parts[0].hands.most if to_beginning else 0
    steps = tuple(
        step
        if step.wait is None
        else replace(step, wait=replace(step.wait, most=Span(most + longest), most_is=Limit.FIRM))
        for step in assay.steps
    )
    return replace(assay, steps=steps)


@dataclass(frozen=True, slots=True, kw_only=True)
class Played:
    """What came of one saturated queue."""

    read: int
    missed: int
    interval: float
    """Seconds from reading to reading, in the long run."""

    def of_work_bound(self, work: Work, hands: int, gloves: Span) -> float:
        """Return the share of what hands could do that never idle: work alone, and `gloves`."""
        return (work.hands.usual + gloves) / 1_000 / hands / self.interval


def anywhere(draw: random.Random, hands: HandsOn) -> Span:
    """Return a time anywhere between its bounds."""
    return Span(draw.randint(hands.least, hands.most))


def at_the_bounds(draw: random.Random, hands: HandsOn) -> Span:
    """Return a time at one of its bounds."""
    return draw.choice((hands.least, hands.most))


def played(
    work: Work,
    cartridges: int,
    hands: int,
    lasts: Callable[[random.Random, HandsOn], Span],
    seed: int = SEED,
) -> Played:
    """Play a queue that never ends with hands that obey the rule."""
    draw = random.Random(seed)  # noqa: S311  # it picks durations, not secrets
    everybody = (
        Arrival(person=f"P{each}", arrives=BEGINS, work=work) for each in range(cartridges)
    )
    crew = [Hand(name=str(each), free=BEGINS, free_most=BEGINS) for each in range(hands)]

    def last(person: str, part: Part) -> Span:
        del person
        return lasts(draw, part.hands)

    read, missed, since, until = 0, 0, BEGINS, BEGINS
    edge = max(1, cartridges // WARM_UP)
    for deed in play(crew, everybody, last):
        missed += len(deed.missed)
        if not deed.task.is_reading:
            continue
        read += 1
        since = deed.ends if read == edge else since
        until = deed.ends if read == cartridges - edge else until
        if read % 50_000 == 0:
            progress(f"{read:,} cartridges, {missed} missed")
    assert read == cartridges
    return Played(
        read=read, missed=missed, interval=(until - since) / 1_000 / (cartridges - 2 * edge)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Kit:
    """One row of N2."""

    name: str
    most: Span
    to_beginning: bool = False
    gloves: Span = Span(0)
    spread: float = 1 / 3
    """How far a hands-on time may lie from the usual one, as a part of it."""

    def work(self) -> Work:
        """Return the work of the kit."""
        assay = bundled(self.most, to_beginning=self.to_beginning)
        spans = {step.key: step.hands_on for step in assay.steps}
        spans[READING] = assay.reading.hands_on
        times = {key: self._about(span) for key, span in spans.items()}
        return work_of(assay, times=times, gloves=self.gloves)

    def _about(self, usual: Span) -> HandsOn:
        least, most = usual * (1 - self.spread), usual * (1 + self.spread)
        return HandsOn(least=Span(round(least)), usual=usual, most=Span(round(most)))


TWO, THREE = Span(120_000), Span(180_000)
KITS = (
    Kit(name="at most 2:00 firm to the beginning of the withdrawal", most=TWO, to_beginning=True),
    Kit(name="the same, with gloves", most=TWO, to_beginning=True, gloves=GLOVES),
    Kit(name="at most 2:00 firm to its end, as on record", most=TWO),
    Kit(name="the same, hands within a fifth of the usual", most=TWO, spread=1 / 5),
    Kit(name="the same, within a third, with gloves", most=TWO, gloves=GLOVES),
    Kit(name="at most 3:00 to its end, as bundled", most=THREE),
    Kit(name="the same, with gloves", most=THREE, gloves=GLOVES),
)


def measure(plan: Plan) -> Iterator[Figure]:
    """Yield N1 to N3."""
    yield _missed(plan)
    for kit in KITS:
        yield _share(plan, kit.name, kit.work())
    yield _time(plan)
    yield _whole(plan)


def _missed(plan: Plan) -> Figure:
    cartridges = plan.size(CARTRIDGES, 600) // 2
    work = work_of(bundled(Span(120_000), to_beginning=True), gloves=Span(0))
    found = {
        "anywhere between the bounds": played(work, cartridges, 1, anywhere).missed,
        "at the bounds": played(work, cartridges, 1, at_the_bounds).missed,
    }
    return Figure(
        row="N1",
        what=f"limits missed in {2 * cartridges:,} cartridges by one hand that obeys the rule",
        samples=[float(sum(found.values()))],
        unit="missed",
        reach=0,
        how=f"the bundled nasal assay, its wait firm and at most 2:00 to the beginning of the "
        f"withdrawal; an endless queue; seed {SEED}; each limit is judged by when the steps "
        "began and ended",
        beside={name: str(missed) for name, missed in found.items()},
        bound="nothing: docs/planning.md has the proof",
    )


def _share(plan: Plan, name: str, work: Work) -> Figure:
    cartridges = plan.size(SHORT, 300)
    samples, beside = [], {}
    for hands in (1, 2, 3):
        ran = played(work, cartridges, hands, anywhere)
        extreme = played(work, cartridges, hands, at_the_bounds)
        assert not ran.missed, name
        assert not extreme.missed, name
        worn = Span(2 * work.gloves)
        beside[f"{hands} at work"] = (
            f"{ran.of_work_bound(work, hands, Span(0)):.3f} (at the bounds "
            f"{extreme.of_work_bound(work, hands, Span(0)):.3f}; gloves counted as work "
            f"{ran.of_work_bound(work, hands, worn):.3f})"
        )
        if hands == 1:
            samples.append(ran.of_work_bound(work, hands, worn))
    return Figure(
        row="N2",
        what=f"share of the work bound that one hand reaches under the rule: {name}",
        samples=samples,
        reach=0.85,
        at_least=True,
        how=f"{cartridges:,} cartridges of an endless queue, times anywhere between their bounds, "
        "a third from the usual unless said; two changes of gloves a cartridge count as work where there are gloves",
        beside=beside,
        bound="where the longest first piece does not fit into the wait, no rule can promise more "
        "than one after the other: docs/planning.md",
    )


def _time(plan: Plan) -> Figure:
    bench, chain = full_bench(RUNNING)
    samples = [
        1_000 * took(lambda: next_start(bench, chain, BEGINS))
        for _ in runs(plan, "N3, the next safe start", 7)
    ]
    return Figure(
        row="N3",
        what=f"the next safe start with {RUNNING} cartridges running",
        samples=samples,
        unit="ms",
        reach=10,
        how="eight at work, the cartridges spread evenly over the time from drops to close",
        bound="arranging and judging two orders of everything that is left, for each turn of a "
        "hand that goes before the start",
    )


def _whole(plan: Plan) -> Figure:
    running, assay = full_bay(RUNNING), bundled()
    assays = {NASAL: assay}
    crew = Crew(hands=8)
    samples = [
        1_000 * took(lambda: answer(running, assays, assay, crew, BEGINS))
        for _ in runs(plan, "N3, the whole answer", 7)
    ]
    return Figure(
        row="N3",
        what=f"the whole answer of a bay with {RUNNING} cartridges running, from its record",
        samples=samples,
        unit="ms",
        reach=10,
        how="what is left of each cartridge, the conditions, the rule, and what usual times alone "
        "would give; no plan is loaded",
        bound="going through the steps of each cartridge, then as the row above",
    )


def full_bay(cartridges: int) -> tuple[Cartridge, ...]:
    """Return so many cartridges on record that develop, as those of `full_bench` do."""
    assay = bundled()
    found = []
    for each in range(cartridges):
        drops = Instant(BEGINS - OLDEST * each // cartridges)
        label = CartridgeLabelled(
            at=drops,
            by="op-1",
            cartridge=f"C{each}",
            label=f"C{each}",
            subject=f"P{each}",
            subject_kind=SubjectKind.PATIENT,
            lot="L-100",
            assay=NASAL,
            repeat_of=None,
            identified=Identified(cartridge=How.SCANNED, person=How.SCANNED),
        )
        marks = tuple(StepMark(step=step.key, done=timed(drops), by="op-1") for step in assay.steps)
        running = begin(label, assay, each + 1)
        found.append(replace(running, marks=marks, stage=Stage.DEVELOPING))
    return tuple(found)


def full_bench(cartridges: int, hands: int = 8) -> tuple[Bench, tuple[Task, ...]]:
    """Return a bench with so many cartridges that develop, and the work of one more."""
    assay = bundled()
    work = work_of(assay)
    tasks: list[Task] = []
    for each in range(cartridges):
        drops = Instant(BEGINS - OLDEST * each // cartridges)
        done = {step.key: Known(earliest=drops, latest=drops) for step in assay.steps}
        tasks += tasks_of(work, f"C{each}", f"P{each}", done)
    crew = tuple(Hand(name=str(each), free=BEGINS, free_most=BEGINS) for each in range(hands))
    return Bench(hands=crew, tasks=tuple(tasks)), tasks_of(work, "new", "new", {})

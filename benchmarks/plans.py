"""B1 to B4: batch plans, against the bound, the clock, the proof, and a wave worked by hand.

The assay is `benchmarks/two_minutes_firm.toml`: the bundled nasal one, with two minutes
in the buffer at most, firm. The limit of a wait is kept by the end of the step that ends it.
"""

from __future__ import annotations

import time
from dataclasses import dataclass, field, replace
from statistics import median
from typing import TYPE_CHECKING

from benchmarks.figure import Figure
from benchmarks.measure import milliseconds, progress
from benchmarks.site import REPOSITORY
from readbell.assays.library import Library, read_assay
from readbell.core.instant import SECOND, Span
from readbell.core.plan.batch.check import faults_of
from readbell.core.plan.batch.job import Batch, batch_of
from readbell.core.plan.batch.planner import plan
from readbell.core.plan.work import Work, work_of
from readbell.solver.prove import prove

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from benchmarks.measure import Plan
    from readbell.core.plan.batch.plan import Plan as Made

FIRM = read_assay(REPOSITORY / "benchmarks" / "two_minutes_firm.toml")
BUNDLED = Library().find("respiratory-antigen-nasal")
CREWS = (1, 2, 3, 4)
WAVE = 7
"""People a pair of hands takes on before it reads: the eighth would cost the first its reading."""
SECONDS = 5.0


def measure(asked: Plan) -> Iterator[Figure]:
    """Yield each row."""
    people = (4, 9, 20) if asked.quick else range(4, 81)
    yield from _beside_the_bound(people)
    yield from _proven((4, 6) if asked.quick else range(1, 21), asked)
    yield _beside_a_wave()


def _work(*, firm: bool, gloves: bool) -> Work:
    return work_of(FIRM if firm else BUNDLED, gloves=None if gloves else Span(0))


def _to_the_beginning() -> Work:
    """Return the work with its two minutes counted to the beginning of the withdrawal."""
    work = _work(firm=True, gloves=False)
    first, *others = work.lags
    assert first.most is not None
    return replace(work, lags=(replace(first, most=Span(first.most + first.hands.usual)), *others))


def _batch(work: Work, people: int, operators: int) -> Batch:
    found = batch_of(work, arrivals=[Span(0)] * people, operators=operators)
    assert isinstance(found, Batch)
    return found


def _beside_the_bound(people: Sequence[int] | range) -> Iterator[Figure]:
    worst: dict[tuple[bool, bool], float] = {}
    times = []
    for firm in (True, False):
        for gloves in (False, True):
            progress(f"B1: {'two minutes firm' if firm else 'three advisory'}, gloves: {gloves}")
            ratios = []
            for operators in CREWS:
                for each in people:
                    batch = _batch(_work(firm=firm, gloves=gloves), each, operators)
                    found, took = _timed(batch)
                    times.append(took)
                    assert not list(faults_of(batch, found.placed))
                    ratios.append(found.ends / found.bound)
            worst[firm, gloves] = max(ratios)
    yield Figure(
        row="B1",
        what="the pure plan to the bound, 4 to 80 people, 1 to 4 operators, two minutes firm, the worst",
        samples=[max(worst[True, False], worst[True, True])],
        reach=1.05,
        how="every plan goes through the checker; gloves of none and of 20 s",
        beside={
            "without gloves": f"{worst[True, False]:.4f}",
            "with": f"{worst[True, True]:.4f}",
            "three minutes advisory, without": f"{worst[False, False]:.4f}",
            "with gloves": f"{worst[False, True]:.4f}",
        },
        bound="the bound itself, which the optimum misses by up to 4 % where it is known",
    )
    yield Figure(
        row="B2",
        what="processor time of a pure plan with its bound, the slowest of them",
        samples=[max(times) * 1000],
        reach=10,
        unit="ms",
        how="the best of three turns; processor time, as other programs are none of the planner's",
        beside={"half of them take": f"{milliseconds(median(times))} or less"},
        bound="so many manners of dispatch as fit into the time",
    )


def _timed(batch: Batch) -> tuple[Made, float]:
    """Return the plan and the processor time it takes, the best of three turns."""
    taken = []
    for _ in range(3):
        begins = time.process_time()
        found = plan(batch)
        taken.append(time.process_time() - begins)
    return found, min(taken)


def _proven(people: Sequence[int] | range, asked: Plan) -> Iterator[Figure]:
    firm = {gloves: _looked_for(people, firm=True, gloves=gloves) for gloves in (False, True)}
    wide = {gloves: _looked_for(people, firm=False, gloves=gloves) for gloves in (False, True)}
    yield Figure(
        row="B3",
        what=f"batches of 1 to 20 people, 1 to 4 operators, with gloves and without, two minutes "
        f"firm, not proven in {SECONDS:g} s",
        samples=[sum(len(each.gaps) for each in firm.values())],
        reach=0,
        unit="of 160" if not asked.quick else "of 16",
        how="`readbell plan --prove` begun from the pure plan, two threads",
        beside={
            "slowest proof without gloves": f"{firm[False].slowest:.1f} s",
            "with": f"{firm[True].slowest:.1f} s",
            "the shortest beside the pure plan, at the most": (
                f"{max(each.shorter for each in firm.values()):.2%} shorter"
            ),
            "three minutes advisory, not proven": (
                f"{len(wide[False].gaps)} without gloves, {len(wide[True].gaps)} with, widest gap "
                f"{max((*wide[False].gaps, *wide[True].gaps), default=0):.2%}"
            ),
            "never longer than the pure plan": "held",
        },
        bound="refuting what is one unit shorter, where readings fall due while people are begun",
    )


@dataclass(slots=True)
class _Looked:
    """What came of the search over all crews and numbers of people."""

    slowest: float = 0.0
    """Seconds of the slowest that was proven."""
    gaps: list[float] = field(default_factory=list)
    """Of those that were not."""
    shorter: float = 0.0
    """The largest share by which the shortest was shorter than the pure plan."""


def _looked_for(people: Sequence[int] | range, *, firm: bool, gloves: bool) -> _Looked:
    looked = _Looked()
    for operators in CREWS:
        for each in people:
            batch = _batch(_work(firm=firm, gloves=gloves), each, operators)
            pure = plan(batch)
            begins = time.perf_counter()
            found = prove(batch, pure, seconds=SECONDS)
            took = time.perf_counter() - begins
            assert not list(faults_of(batch, found.placed))
            assert found.ends <= pure.ends, "the search came back with a longer plan than it had"
            looked.shorter = max(looked.shorter, 1 - found.ends / pure.ends)
            if found.proven:
                looked.slowest = max(looked.slowest, took)
            else:
                looked.gaps.append(found.gap)
        progress(f"B3: firm {firm}, gloves {gloves}, {operators} operators; open {looked.gaps}")
    return looked


def _beside_a_wave() -> Figure:
    to_beginning = plan(_batch(_to_the_beginning(), 20, 1))
    firm = plan(_batch(_work(firm=True, gloves=False), 20, 1))
    wide = plan(_batch(_work(firm=False, gloves=False), 20, 1))
    by_hand = _wave(_batch(_work(firm=True, gloves=False), 20, 1))
    return Figure(
        row="B4",
        what="20 people and one operator, no gloves, two minutes to the beginning of the withdrawal: "
        "the pure plan to waves worked by hand",
        samples=[to_beginning.ends / by_hand],
        reach=0.56,
        how=f"a wave: swab, stand the wait, drops, up to {WAVE} people, then read them all",
        beside={
            "plan": f"{to_beginning.ends / SECOND:g} s",
            "waves": f"{by_hand / SECOND:g} s",
            "two minutes to the end of the withdrawal, as a bay judges it": (
                f"{firm.ends / by_hand:.3f}, {'proven the shortest' if firm.proven else 'open'}"
            ),
            "three minutes advisory": f"{wide.ends / by_hand:.3f}",
        },
        bound="what the wait leaves room for: with the limit kept by the end of the withdrawal nobody "
        "else's swab fits behind the drops, and no timetable is below the figure given",
    )


def _wave(batch: Batch) -> int:
    """Return how long `batch` takes one operator who works in waves."""
    swab, drops, read = batch.takes
    wait, opens = (int(tie.least) for tie in batch.ties)
    at, left = 0, batch.people
    while left:
        size = min(WAVE, left)
        first_drops = at + swab + wait + drops
        at += size * (swab + wait + drops)
        for place in range(size):
            at = max(at, first_drops + place * (swab + wait + drops) + opens) + read
        left -= size
    return at

"""C1 and C2: what a bay can carry: simulated runs a second, and rounds against the work bound."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchmarks.figure import Figure
from benchmarks.measure import runs, took
from benchmarks.next_start import bundled
from readbell.core.instant import MINUTE, SECOND, Span
from readbell.core.plan.capacity import Rule
from readbell.core.plan.cyclic import least_work, shortest_round
from readbell.core.plan.work import work_of
from readbell.forecast.arrays import ArrayPlayer
from readbell.forecast.job import job_of
from readbell.forecast.plain import PlainPlayer

if TYPE_CHECKING:
    from collections.abc import Iterator
    from fractions import Fraction

    from benchmarks.measure import Plan

RUNS, ALONE, PEOPLE = 40_000, 200, 60
OPERATORS, PER_HOUR, SPREAD, SEED = 2, 25, 0.25, 1
BATCH = 4_096
LARGEST = 3
"""New people in a round."""


def measure(plan: Plan) -> Iterator[Figure]:
    """Yield C1 for each rule, and C2 for each kit."""
    for rule in Rule:
        yield _simulated(plan, rule)
    for kit, most, gloves in (
        ("`most` 2:00 firm, no gloves", Span(2 * MINUTE), Span(0)),
        ("`most` 2:00 firm, gloves 20 s", Span(2 * MINUTE), None),
        ("`most` 3:00 advisory, no gloves", None, Span(0)),
        ("`most` 3:00 advisory, gloves 20 s", None, None),
    ):
        yield _rounds(plan, kit, most, gloves)


def _simulated(plan: Plan, rule: Rule) -> Figure:
    job = job_of(work_of(bundled()), rule, apart=60 * MINUTE / PER_HOUR, spread=SPREAD)
    fast = ArrayPlayer(job, rule, OPERATORS, PEOPLE, SEED)
    plain = PlainPlayer(job, rule, OPERATORS, PEOPLE, SEED)
    count, alone = plan.size(RUNS, 1_000), plan.size(ALONE, 10)
    rates, slow = [], []
    for _ in runs(plan, f"C1, the rule {rule}"):
        rates.append(count / took(lambda: _play(fast, count)))
        slow.append(alone / took(lambda: plain.play(range(alone))))
    assert plain.play(range(alone)) == fast.play(range(alone)), "the two ways count differently"
    return Figure(
        row="C1",
        what=f"simulated runs of {PEOPLE} people, rule {rule}, {OPERATORS} operators",
        samples=rates,
        reach=20_000,
        unit="runs/s",
        at_least=True,
        how=f"{RUNS} runs of the bundled assay in batches of {BATCH}, from drawing the numbers to "
        "the sums; the first runs are played the plain way as well and must count the same",
        beside={"plain Python": f"{sorted(slow)[len(slow) // 2]:,.0f} runs/s"},
        bound="180 steps for each batch, one for each piece of work; each is a few dozen passes over "
        "arrays of one number a run",
    )


def _play(player: ArrayPlayer, count: int) -> None:
    for first in range(0, count, BATCH):
        player.play(range(first, min(count, first + BATCH)))


def _rounds(plan: Plan, kit: str, most: Span | None, gloves: Span | None) -> Figure:
    work = work_of(bundled(most), gloves=gloves)
    beside: dict[str, str] = {}
    best: Fraction | None = None
    for people in range(1, 1 + plan.size(LARGEST, 2)):
        below = None if best is None else best * people
        found = shortest_round(work, people, below=below)
        if found.round is not None:
            best = found.round.apart
            said = f"{float(best) / SECOND:g} s"
        else:
            said = "none shorter"
        beside[f"{people} to a round"] = said + ("" if found.proven else " (cut short)")
    assert best is not None
    bound = least_work(work)
    return Figure(
        row="C2",
        what=f"one operator for ever, bundled assay, {kit}: best round against the work bound",
        samples=[float(best / bound)],
        reach=1.0,
        how="rounds of one, two and three new people, each searched to the end unless said; no time "
        "is measured",
        beside={**beside, "bound": f"{bound / SECOND:g} s"},
        bound="the bound counts one change of gloves a person; two people side by side need two each",
    )

"""What a bay can carry, in words: each answer with its rule, what it takes for granted, its bound."""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING

from readbell.core.instant import MINUTE, SECOND, Span
from readbell.core.plan.capacity import QUANTILES, WAITS, Rule
from readbell.core.plan.stagger import StaggerRule
from readbell.core.plan.sustained import Way
from readbell.core.span_text import write_span

if TYPE_CHECKING:
    from collections.abc import Iterator
    from fractions import Fraction

    from readbell.core.plan.capacity import Capacity, Forecast, Premise, Target
    from readbell.core.plan.sustained import Sustained
    from readbell.core.plan.tally import Tally
    from readbell.core.plan.work import Work
    from readbell.core.statistics.proportion import Share

RULES: dict[Rule, str] = {
    Rule.CAREFUL: (
        "blocks: an operator takes one person, or two where their limits allow it, from the "
        "swab to the drops, and begins nobody who might cost a reading"
    ),
    Rule.BUSY: (
        "earliest limit: never idle; of what may be done, what reaches its limit first, and "
        "somebody new only when nothing may be done"
    ),
}
STAGGER_RULES: dict[StaggerRule, str] = {
    StaggerRule.ONE_PAIR: "every order of the pieces was tried",
    StaggerRule.SHARED: "any operator does any piece; every whole second from the bound on was tried",
    StaggerRule.OWN_CARTRIDGES: "operators in turn, each with cartridges of their own",
}
CAUTION = (
    "Caution: times are the assay's usual ones, not measured here. The kit's own instructions and "
    "local rules come first; keep more hands ready than a forecast asks for."
)
WIDE = 79
LABEL = 11
"""Columns before what is said."""
CHART_ROWS = 9
CHART_WIDE = 40
STEPS = (5, 10, 15, 30, 60, 120, 300, 600, 1_200, 1_800, 3_600)
"""Seconds between two rows of the chart."""


def say_capacity(found: Capacity, *, blocks: bool) -> Iterator[str]:
    """Yield the whole answer, line by line; `blocks`: whether filled cells can be drawn."""
    yield from _say_pace(found)
    yield ""
    if found.premise is not None:
        yield from _say_simulated(found, found.premise)
        last = found.tried[-1].tally
        if last.runs:
            yield ""
            yield from _chart(last, blocks=blocks)
        yield ""
        if found.target is not None:
            yield from _say_answer(found, found.target)
            yield ""
        yield from _say_premise(found, found.premise)
    yield from _wrapped(CAUTION)


def say_under_picture(found: Capacity) -> Iterator[str]:
    """Yield what a picture says in words below itself."""
    if found.premise is not None:
        yield from _say_premise(found, found.premise, wide=130)
    yield from _wrapped(CAUTION, wide=130)


def say_cannot_be_kept(title: str) -> str:
    """Say that not even one cartridge can keep the limits of its assay."""
    return (
        f"{title}: at usual times one cartridge alone cannot keep its own limits; check the "
        "assay's waits, its read window and its hands-on times."
    )


def say_too_long(title: str, people: int) -> str:
    """Say that a run would last too long to be simulated."""
    return f"{title}: {people} people in a run would last beyond twelve days; name fewer --hours."


def say_over_bound(per_hour: float, operators: int, bound: Span, *, fixed: bool) -> str:
    """Say that more people come than the work itself allows."""
    most = operators * 60 * MINUTE / bound
    whose = _crew(operators) if fixed else f"no crew of up to {operators} operators"
    carries = "carry at most" if fixed and operators > 1 else "carries at most"
    if fixed:
        return (
            f"{per_hour:g} an hour is over the work bound: {whose} {carries} {most:.1f}, as each "
            f"person is {_span(bound)} of work; name more operators or fewer arrivals."
        )
    return (
        f"{per_hour:g} an hour is over the work bound: {whose} carries more than {most:.1f}, as "
        f"each person is {_span(bound)} of work; raise --most-operators or name fewer arrivals."
    )


def _wrapped(text: str, *, label: str = "", wide: int = WIDE) -> list[str]:
    """Return `text` in lines, `label` before the first and room for it before the others."""
    before = f"  {label}".ljust(LABEL) if label else ""
    after = " " * len(before) or "  "
    return wrap(text, wide, initial_indent=before, subsequent_indent=after)


def _say_pace(found: Capacity) -> Iterator[str]:
    pace, even = found.pace, found.pace.even
    yield f"{found.title}: {_crew(pace.operators)}, at usual times, for ever"
    yield from _wrapped(
        f"one person every {_span(pace.apart)} on average: {pace.per_hour:.1f} an hour",
        label="pace",
    )
    yield from _wrapped(_say_way(pace), label="rule")
    yield from _wrapped(
        f"{_span(pace.bound)}, whatever the order: {_say_work(found.work, pace)}", label="bound"
    )
    yield from _wrapped(_say_proof(pace), label="proven")
    told = "no smaller one is possible" if even.proven else "a smaller one is not ruled out"
    yield from _wrapped(
        f"one person every {_span(even.interval)}; {STAGGER_RULES[even.rule]}; {told}",
        label="evenly",
    )


def _say_way(pace: Sustained) -> str:
    if pace.way is Way.EVEN:
        return f"people begin evenly; {STAGGER_RULES[pace.even.rule]}"
    people = pace.best_round.people
    taken = "one new person" if people == 1 else f"{people} new people"
    each = "the operator" if pace.operators == 1 else "each operator"
    return f"{each} takes on {taken} every {_span(pace.best_round.period)}, over and over"


def _say_work(work: Work, pace: Sustained) -> str:
    fresh = any(piece.touches for piece in work.pieces) and work.gloves > 0
    gloves = f" and one change of gloves of {_span(work.gloves)}" if fresh else ""
    shared = "" if pace.operators == 1 else f", shared by {pace.operators}"
    return f"{_span(work.hands.usual)} of work{gloves} on each person{shared}"


def _say_proof(pace: Sustained) -> str:
    if pace.is_proven:
        return "yes: no way of working is faster than the bound"
    gap = float(pace.apart / pace.bound - 1)
    searched = (
        f"no faster round of up to {pace.searched} new people for one operator"
        if pace.searched
        else "the search was cut short"
    )
    return f"{searched}; other ways are not ruled out down to the bound, {100 * gap:.0f} % below"


def _say_simulated(found: Capacity, premise: Premise) -> Iterator[str]:
    yield (
        f"With chance: {premise.per_hour:g} people an hour, {premise.people} in each run, "
        f"seed {premise.seed}"
    )
    for each in found.tried:
        if each.stopped:
            yield (
                f"  Stopped: {_crew(each.tally.operators)} played {each.tally.runs:,} of "
                f"{each.asked:,} runs. What was done counts."
            )
    yield "  crew      runs  wait 50 %    90 %    99 %  at work  missing a window"
    for each in found.tried:
        yield _row(each.tally)
    last = found.tried[-1].tally
    if last.runs:
        late = ", ".join(
            f"{count:,} before {name}"
            for name, count in zip(premise.windows, last.late, strict=True)
        )
        yield f"  {_crew(last.operators)}, windows missed: {late or 'the assay states none'}"
        yield f"  {_crew(last.operators)}, a run that misses any: {_share(last.any_missed)}"


def _row(tally: Tally) -> str:
    if not tally.runs:
        return f"  {tally.operators:4}  {tally.runs:8,}  nothing was played"
    half, nine, most = (write_span(tally.wait_of(each)) for each in QUANTILES)
    return (
        f"  {tally.operators:4}  {tally.runs:8,}  {half:>9} {nine:>7} {most:>7}"
        f"  {100 * tally.utilisation:5.0f} %  {_share(tally.missed_share)}"
    )


def _chart(tally: Tally, *, blocks: bool) -> Iterator[str]:
    yield f"  {_crew(tally.operators)}: the share of people who still wait after"
    longest = tally.wait_of(WAITS) // SECOND
    step = next((each for each in STEPS if each * (CHART_ROWS - 1) >= longest), STEPS[-1])
    for row in range(CHART_ROWS):
        share = tally.waiting_longer(row * step)
        bar = _bar(share, blocks=blocks)
        yield f"  {write_span(Span(row * step * SECOND)):>8}  {bar}{100 * share:6.1f} %"
        if share == 0:
            break


def _bar(share: float, *, blocks: bool) -> str:
    cells = round(share * CHART_WIDE)
    full, rest = ("█", " ") if blocks else ("#", ".")
    return full * cells + rest * (CHART_WIDE - cells)


def _say_answer(found: Capacity, target: Target) -> Iterator[str]:
    asked = (
        f"Asked: that 99 of 100 wait at most {write_span(target.wait)}, and that fewer than "
        f"{_one_in(target.miss)} cartridges miss a window."
    )
    last = found.tried[-1]
    if last.stopped:
        yield from _wrapped(f"No answer: it was stopped before. {asked}")
    elif found.answer is not None:
        yield from _wrapped(f"Answer: {_crew(found.answer)}. {asked} {_say_smaller(found)}")
    else:
        crews = f"no crew of up to {last.tally.operators} was shown to keep it by this rule"
        yield from _wrapped(f"No answer: {crews}. {asked} {_say_why(last, target)}")


def _say_smaller(found: Capacity) -> str:
    if len(found.tried) > 1:
        return "Each smaller crew not under the work bound met the same people and failed."
    return "There is no smaller crew." if found.answer == 1 else "Any smaller is under the bound."


def _say_why(last: Forecast, target: Target) -> str:
    share = last.tally.missed_share
    if not target.waits_kept(last.tally):
        return "The waits are too long."
    if share.low > target.miss:
        return "The waits are short enough, but windows are missed: try the rule blocks."
    return (
        f"The waits are short enough, and {last.tally.missed:,} cartridges missed a window; "
        f"{last.tally.runs:,} runs cannot show less than {_percent(share.high)}: name more --runs."
    )


def _say_premise(found: Capacity, premise: Premise, *, wide: int = WIDE) -> Iterator[str]:
    yield from _wrapped(f"Rule: {RULES[premise.rule]}.", wide=wide)
    spread = (
        "each piece's time is lognormal, with its usual time as the mean and its logarithm "
        f"spread by {premise.spread:g}"
        if premise.spread
        else "each piece takes its usual time"
    )
    longest = (
        " careful hands reckon with all times but the longest 1 in 1,000;"
        if premise.rule is Rule.CAREFUL and premise.spread
        else ""
    )
    limits = "count like firm ones" if premise.wishes else "are left out"
    yield from _wrapped(
        f"Assumed: people come independently, to an empty bay, and nobody leaves; {spread}; "
        f"cartridges stay with their operator; gloves take {_span(premise.gloves)}; advisory "
        f"limits {limits};{longest} work goes on where a window was missed; each crew met the same people.",
        wide=wide,
    )
    fewer = "" if found.fast else " Fewer runs, as numpy is missing: pip install 'readbell[plan]'."
    yield from _wrapped(
        "Bound: of missed windows the end of Wilson's 95 % interval; cartridges of one run are not "
        f"taken as independent, and where none was missed each run counts as one.{fewer}",
        wide=wide,
    )


def _share(share: Share) -> str:
    if share.value == 0:
        return f"none seen; under {_percent(share.high)}"
    return f"{_percent(share.value)} ({_percent(share.low)} to {_percent(share.high)})"


def _percent(share: float) -> str:
    percent = 100 * share
    return f"{percent:.0f} %" if percent >= 10 else f"{percent:.2g} %"


def _one_in(share: float) -> str:
    return f"1 in {round(1 / share):,}"


def _crew(operators: int) -> str:
    return f"{operators} operator{'' if operators == 1 else 's'}"


def _span(span: Span | Fraction) -> str:
    """Write a time in seconds, to a tenth where it is not whole; from two minutes on as m:ss."""
    if span >= 10 * MINUTE and span % SECOND == 0:
        return write_span(Span(int(span)))
    value = f"{float(span) / SECOND:.1f}".removesuffix(".0")
    return f"{value} s"

"""A report on quality in words: what is proposed, what a flag is worth, and how to read each picture."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.figures.case import Came
from readbell.core.figures.figures import FEW
from readbell.core.figures.near_misses import Of
from readbell.core.figures.view import By
from readbell.core.figures.watching import Sign
from readbell.core.instant import SECOND, Span
from readbell.core.span_text import write_span
from readbell.phrases.counted import counted
from readbell.phrases.figures_words import (
    HEADINGS,
    NONE_COUNTED,
    VERDICTS,
    interval,
    near_name,
    quantiles_of,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from readbell.core.figures.course import Course
    from readbell.core.figures.figures import SampleRun
    from readbell.core.figures.near_misses import NearMisses
    from readbell.core.figures.table import Chosen
    from readbell.core.figures.tally import Tally
    from readbell.core.figures.watched import Charted, Proposal, Watched
    from readbell.core.figures.watching import Promise
    from readbell.core.statistics.proportion import Share
    from readbell.core.statistics.spread import Spread
    from readbell.phrases.figures_words import Name

    Row = tuple[str, ...]

PROPOSED = "What is proposed"
NOTHING = "Nothing that ended is on record of these days: look at --since, --until and --week."
NOTHING_PROPOSED = "Nothing: no lot that was used on these days is out of the ordinary."
DECIDES = (
    "Nothing was held and nothing was asked for. Whoever answers for the bay decides; a flag says that "
    "chance alone seldom makes such counts, and nothing about why."
)
IN_SHORT = "In short"
SHORT_HEAD = ("", "count", "of", "share", "95 % interval")
TIMES = "How long it took"
TIMES_HEAD = ("", "timed", "5 % within", "half within", "95 % within", "kept")
TIMES_NOTE = (
    "Hours, minutes and seconds. Kept: within its limits, firm and advisory alike, with the 95 % interval. "
    "What was stated after the fact is in none of these."
)
TOO_FEW = f"Fewer than {FEW} were timed."
SAMPLES = "Control samples, in order"
SAMPLES_HEAD = ("when", "material", "kind", "lot", "read by", "came to")
NO_SAMPLES = "None was read on these days."
NEAR_MISSES = "Near misses"
NEAR_HEAD = ("", "acts refused")
LIMIT = "it flags here"
RUNNING_SUM = "The running sum of each lot"
WINDOW = "When strips were read"
WINDOW_ABOVE = "Readings by how much of the read window had gone by, in steps of 5 %."
HOURS = "Load by hour of the day"
SIDEWAYS = "Tables and pictures that are wider than this screen can be moved sideways."
CAUTIONS = "What these figures are not"
CAUTION = (
    "They say how the work went, and advise a professional. They diagnose nobody.",
    "The share of positives is that of those who came to be tested, and no prevalence.",
    "A negative does not exclude infection. The kit's own instructions and local rules come first.",
    (
        "Wilson's intervals take each strip by itself; people of one household or one outbreak are not, "
        "so the true doubt is larger."
    ),
)
_SIGNS = {Sign.INVALID: "Invalid strips", Sign.POSITIVE: "Positives"}
_AMONG = {
    Sign.INVALID: "of those read in their window",
    Sign.POSITIVE: "of the valid ones",
}


def say_title(bay: str, chosen: Chosen, days: Sequence[str]) -> str:
    """Return what the report is called: of which bay, and from when to when."""
    first = chosen.since or (days[0] if days else "")
    last = chosen.until or (days[-1] if days else "")
    if first and first == last:
        return f"Quality report of {bay}, {first}"
    if first and last:
        return f"Quality report of {bay}, {first} to {last}"
    if first or last:
        return f"Quality report of {bay}, {'since' if first else 'until'} {first or last}"
    return f"Quality report of {bay}"


def say_proposals(watched: Watched, state: Callable[[str], str]) -> Iterator[str]:
    """Yield what is proposed, a paragraph for each lot.

    Args:
        watched: what watching came to.
        state: how the lot of this number stands now, as a sentence, or nothing.
    """
    if not watched.proposals:
        yield NOTHING_PROPOSED
        return
    for each in watched.proposals:
        yield " ".join(_sentences(each, state(each.lot)))
    yield DECIDES


def _sentences(proposal: Proposal, state: str) -> Iterator[str]:
    flag, point = proposal.flag, proposal.point
    yield f"Lot {proposal.lot} of {proposal.assay}:"
    if flag is not None:
        ends = "." if point is None else ";"
        yield (
            f"the running sum flagged it on {flag.day}, {flag.invalid} of the first "
            f"{flag.after:,} strips invalid{ends}"
        )
    if point is not None:
        beyond = "where chance alone seldom makes more than"
        usual = f"{beyond if point.is_high else 'and up to'} {point.usual.most:,}"
        yield (
            f"on the chart {point.hits:,} of its {point.tests:,} strips are invalid, {usual}"
            f"{'' if point.is_high else ' are nothing unusual'} "
            f"(all lots: {100 * proposal.middle:.1f} %)."
        )
    yield (
        "Proposed: run a positive and a negative control sample on it, and think of holding it "
        f"until both are read. It was last used on {proposal.last}."
    )
    if state:
        yield state


def say_state(*, on_hold: bool, used_up: bool) -> str:
    """Return how a lot stands now, where that matters for what is proposed."""
    if on_hold:
        return "It is on hold now."
    return "By the record none of it is left." if used_up else ""


def say_promise(promise: Promise) -> tuple[str, ...]:
    """Return what a flag of the running sum is worth."""
    return (
        (
            "It follows the strips of a lot in the order of labelling, and flags a lot whose invalid "
            f"strips have become more frequent than the {100 * promise.usual:g} % that are usual here."
        ),
        (
            f"While all is well a lot is flagged once in {promise.between_false_alarms:,.0f} strips on "
            f"average. A lot with {100 * promise.worse:g} % of invalid strips is flagged after "
            f"{promise.until_found:,.0f} strips on average. Both are worked out exactly, on the "
            "assumption that strips come out as they do whatever the others do."
        ),
    )


def say_course(lot: str, assay: str, course: Course) -> tuple[str, str]:
    """Return the title of the picture of a running sum, and how to read it."""
    flagged = (
        f"A diamond: flagged after {course.flagged_after:,} strips."
        if course.flagged_after is not None
        else "It never came to its limit."
    )
    return (
        f"Running sum of lot {lot}: {assay}",
        f"Up with each invalid strip, down with each other, {course.read:,} strips. {flagged}",
    )


def say_chart(charted: Charted) -> tuple[str, tuple[str, str]]:
    """Return the title of a chart, and two lines on how to read it."""
    sign, by = charted.chart.sign, HEADINGS[charted.by]
    title = f"{_SIGNS[sign]} by {by}: {charted.assay}"
    return title, (
        f"A dot: the share {_AMONG[sign]}. Its line: where chance alone keeps it, for that many.",
        f"Dashed: all together, {100 * charted.chart.middle:.1f} %. A diamond: out of the ordinary.",
    )


def say_flagged(charted: Charted, name: Name) -> str:
    """Return which points of a chart are out of the ordinary, and what that may mean."""
    chart = charted.chart
    of = HEADINGS[charted.by]
    by_chance = (
        f"Where chance alone is at work {chart.false_flags:.2f} of {len(chart.points)} points would be "
        "out of the ordinary, at most, on average."
    )
    if not chart.flagged:
        return f"No {of} is out of the ordinary. {by_chance}"
    found = "; ".join(
        f"{name(charted.by, each.key)} with {each.hits:,} of {each.tests:,}, "
        f"where {each.usual.least:,} to {each.usual.most:,} are usual"
        for each in chart.flagged
    )
    if chart.sign is Sign.POSITIVE:
        why = "Positives follow the people who came, so look at who that was first."
    elif charted.by is By.OPERATOR:
        why = "Look together at how strips are run before anything else is thought."
    else:
        why = "See what is proposed, where there are too many."
    return f"Out of the ordinary: {found}. {why} {by_chance}"


def say_positives(*, weeks: bool) -> tuple[str, tuple[str, ...]]:
    """Return the title of the picture of positives over time, and how to read it."""
    title = f"Positives by {'week' if weeks else 'day'}"
    return title, ("A dot: the share of the valid ones. Its line: the 95 % interval (Wilson).",)


def say_size(whole: Tally, days: int, on_paper: int) -> str:
    """Return how much the report is about."""
    out = whole.came[Came.VOID] + whole.came[Came.WITHDRAWN]
    beside = [f"{out:,} void or withdrawn"] if out else []
    beside += [f"{counted(on_paper, 'run')} on paper, whose times are stated"] if on_paper else []
    besides = f" Besides, in no rate: {', '.join(beside)}." if beside else ""
    tests = f"{whole.tests:,} test{'' if whole.tests == 1 else 's'}"
    return f"{tests} of patients on {counted(days, 'day')}.{besides}"


def rates_title(by: By) -> str:
    """Return what a table of rates is called."""
    return f"By {HEADINGS[by]}"


def say_hours(days: int) -> str:
    """Return how to read the picture of the load."""
    return f"Cartridges labelled in each hour, all {counted(days, 'day')} together."


def short_rows(whole: Tally) -> Iterator[Row]:
    """Yield the rates of everything together."""
    came = whole.came
    for called, share, hits, of in (
        ("positive, of valid ones", whole.positivity, came[Came.POSITIVE], whole.valid),
        ("invalid, of those read", whole.invalid, came[Came.INVALID], whole.in_window),
        ("lapsed, of all tests", whole.lapsed, came[Came.LAPSED], whole.tests),
        (
            "seen early, of positives that could be",
            whole.early_share,
            whole.early,
            whole.could_be_early,
        ),
        ("faint, of positives", whole.faint_share, whole.faint, came[Came.POSITIVE]),
        (
            "waits kept",
            whole.waits_kept,
            round(whole.waits_kept.value * whole.waits_timed),
            whole.waits_timed,
        ),
        ("repeats", whole.repeat_share, whole.repeats, whole.total),
        ("taken by a key, not scanned", whole.picked_share, whole.picked, whole.total),
        ("stated, not timed", whole.stated_share, whole.stated, whole.total),
    ):
        yield called, f"{hits:,}", f"{of:,}", *_share(share, of)


def rates_head(by: By) -> Row:
    """Return the head of a table of rates."""
    return HEADINGS[by], "tests", "positive %", "invalid %", "lapsed %", "repeats"


def rates_rows(by: By, groups: Mapping[str, Tally], name: Name) -> Iterator[Row]:
    """Yield the rates of each group with Wilson's 95 % interval."""
    for key, tally in groups.items():
        yield (
            name(by, key),
            f"{tally.tests:,}",
            interval(tally.positivity, tally.valid),
            interval(tally.invalid, tally.in_window),
            interval(tally.lapsed, tally.tests),
            f"{tally.repeats:,}",
        )


def times_rows(whole: Tally) -> Iterator[Row]:
    """Yield how long each wait took, and what came after it."""
    for (assay, step), wait in sorted(whole.waits.items()):
        if wait.took.count:
            kept = interval(wait.kept_share, wait.took.count)
            yield f"{assay}: wait after {step}", *_quantiles(wait.took, 1), f"{kept} %"
    yield "from the drops to an early look", *_quantiles(whole.early_at, 1), ""
    yield "from the drops to the reading", *_quantiles(whole.read_at, 1), ""
    yield "from the swab to the result told", *_quantiles(whole.told_after, 60), ""


def sample_rows(samples: Sequence[SampleRun], name: Name) -> Iterator[Row]:
    """Yield the control samples in the order in which they were read."""
    for each in samples:
        yield (
            f"{each.day} {each.time}",
            each.material,
            NONE_COUNTED if each.kind is None else str(each.kind),
            each.lot,
            name(By.READER, each.by),
            VERDICTS[each.verdict],
        )


def near_rows(found: NearMisses, name: Name) -> Iterator[Row]:
    """Yield how many acts were refused, by why and by whose hand."""
    for of in (Of.CODE, Of.LOT, Of.OPERATOR):
        for key, count in found.most(of):
            called = near_name(of, key, name)
            yield called if of is Of.CODE else f"{of}: {called}", f"{count:,}"


def say_near(found: NearMisses, tests: int) -> str:
    """Return how many near misses there were, for how many tests."""
    if not found.total:
        return "None is on record of these days."
    each = f"; {1000 * found.total / tests:.0f} for each 1,000 tests" if tests else ""
    return f"{counted(found.total, 'act')} refused{each}. Each changed nothing else."


def _share(share: Share, of: int) -> tuple[str, str]:
    if not of:
        return NONE_COUNTED, NONE_COUNTED
    return f"{100 * share.value:.1f} %", f"{100 * share.low:.1f} to {100 * share.high:.1f} %"


def _quantiles(spread: Spread, unit: int) -> tuple[str, ...]:
    """Return the count and three quantiles of lengths in `unit` seconds."""
    found = quantiles_of(spread, (0.05, 0.5, 0.95))
    if found is None:
        return f"{spread.count:,}", *[NONE_COUNTED] * 3
    return f"{spread.count:,}", *(write_span(Span(round(each * unit) * SECOND)) for each in found)

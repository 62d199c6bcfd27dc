"""The figures of a record in words: tables of text, and what is to be said beside them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.controls.verdict import Verdict
from readbell.core.figures.case import Came
from readbell.core.figures.figures import FEW
from readbell.core.figures.near_misses import Of
from readbell.core.figures.view import By
from readbell.core.instant import SECOND, Span
from readbell.core.span_text import write_span

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

    from readbell.core.figures.figures import Figures, SampleRun
    from readbell.core.figures.near_misses import NearMisses
    from readbell.core.figures.table import Chosen
    from readbell.core.figures.tally import Tally
    from readbell.core.statistics.proportion import Share
    from readbell.core.statistics.spread import Spread

    Name = Callable[[By, str], str]

REHEARSAL = "REHEARSAL: practice, of no patient. None of it says anything about a site."
NOTHING = "Nothing that ended is on record there: look at --since, --until, --assay and --lot."
CAUTION = (
    "These figures say how the work went, and advise a professional. The share of positives is "
    "that of those who came to be tested, and no prevalence. A negative does not exclude infection."
)
HEADINGS: dict[By, str] = {
    By.DAY: "day",
    By.ASSAY: "assay",
    By.LOT: "lot",
    By.OPERATOR: "operator",
    By.READER: "reader",
}
CAME: dict[Came, str] = {
    Came.POSITIVE: "positive",
    Came.NEGATIVE: "negative",
    Came.INVALID: "invalid",
    Came.LAPSED: "lapsed",
    Came.WITHHELD: "withheld",
    Came.WITHDRAWN: "withdrawn",
    Came.VOID: "void",
}
VERDICTS: dict[Verdict, str] = {
    Verdict.PASSED: "passed",
    Verdict.FAILED: "FAILED",
    Verdict.NOTED: "noted: what it should show is not known here",
}
NEAR: dict[Of, str] = {
    Of.CODE: "why",
    Of.LOT: "lot",
    Of.HOUR: "hour of the day",
    Of.OPERATOR: "operator",
}
RATES = "Rates in percent, with their 95 % interval"
TIMES = "Times: the median, and from the 5th to the 95th hundredth"
NONE_COUNTED = "-"
FEW_MARK = "*"
TOO_FEW = f"fewer than {FEW}"
HELD_TOGETHER = "\N{NO-BREAK SPACE}"
"""Between a name and its count: no line is to end there."""
SHOWN = 8
"""Kinds of near misses that are named in the text; all of them are in the files."""


def say_title(bay: str, chosen: Chosen, days: Sequence[str]) -> str:
    """Return the first line: of which bay, and from when to when."""
    first, last = (days[0], days[-1]) if days else (chosen.since, chosen.until)
    if first is None or last is None:
        span = f"from {first}" if first else f"until {last}" if last else ""
    else:
        span = f"{first} to {last}" if first != last else first
    only = [f"assay {each}" for each in chosen.assays] + [f"lot {each}" for each in chosen.lots]
    parts = [f"Figures of {bay}", *([span] if span else []), *only]
    return ", ".join(parts)


def say_whole(figures: Figures, days: int) -> Iterator[str]:
    """Yield what all of it came to."""
    whole = figures.table.whole
    yield (
        f"{_count(whole.tests, 'test')} of patients on {_count(days, 'day')}: "
        + ", ".join(f"{whole.came[each]:,} {CAME[each]}" for each in list(Came)[:5])
        + "."
    )
    beside = [
        f"{whole.came[each]:,} {CAME[each]}"
        for each in (Came.WITHDRAWN, Came.VOID)
        if whole.came[each]
    ]
    if beside:
        yield f"Besides, in no rate: {', '.join(beside)}."
    if figures.on_paper:
        yield (
            f"Besides, in none of these figures: {_count(figures.on_paper, 'run')} on paper; "
            "their times are stated."
        )
    for name, share, of in (
        ("positive", whole.positivity, f"of {whole.valid:,} valid"),
        ("invalid", whole.invalid, f"of {whole.in_window:,} read in their window"),
        ("lapsed", whole.lapsed, f"of {whole.tests:,} tests"),
        (
            "faint among the positive",
            whole.faint_share,
            f"of {whole.came[Came.POSITIVE]:,} positive",
        ),
        ("repeats", whole.repeat_share, f"of {whole.total:,}"),
        ("taken by a key, not scanned", whole.picked_share, f"of {whole.total:,}"),
        ("stated, not timed", whole.stated_share, f"of {whole.total:,}; in no timing below"),
    ):
        counted = "" if of.startswith("of 0 ") else say_share(share)
        yield f"  {name:<32}{counted or NONE_COUNTED:<26}{of}"


def say_share(share: Share) -> str:
    """Return a share with its 95 % interval, in percent."""
    low, high = _percent(share.low), _percent(share.high)
    return f"{_percent(share.value)} % ({low} to {high})"


def say_rates(by: By, groups: Mapping[str, Tally], name: Name, width: int) -> Iterator[str]:
    """Yield the table of rates, a line for each group: percent, with Wilson's 95 % interval."""
    rows = [(HEADINGS[by], "tests", "positive %", "invalid %", "lapsed %")]
    few = False
    for key, tally in groups.items():
        few = few or tally.tests < FEW
        rows.append(
            (
                name(by, key),
                f"{tally.tests:,}{FEW_MARK if tally.tests < FEW else ''}",
                interval(tally.positivity, tally.valid),
                interval(tally.invalid, tally.in_window),
                interval(tally.lapsed, tally.tests),
            )
        )
    yield from aligned(rows, width)
    if few:
        yield f"{FEW_MARK} {TOO_FEW}: the interval says how little that tells."


def say_times(by: By, groups: Mapping[str, Tally], name: Name, width: int) -> Iterator[str]:
    """Yield the table of times, a line for each group: medians, from the 5th to the 95th hundredth."""
    rows = [(HEADINGS[by], "waits kept %", "read after", "early %", "told after, min")]
    for key, tally in groups.items():
        rows.append(
            (
                name(by, key),
                interval(tally.waits_kept, tally.waits_timed),
                say_middle(tally.read_at, say_clock),
                interval(tally.early_share, tally.could_be_early),
                say_middle(tally.told_after, "{:.0f}".format),
            )
        )
    yield from aligned(rows, width)


def say_lengths(tally: Tally) -> Iterator[str]:
    """Yield how long things took in all: quantiles, and what was lost to waits."""
    for (assay, step), wait in sorted(tally.waits.items()):
        if wait.took.count:
            yield f"{assay}, wait after {step}: timed {_count(wait.took.count, 'time')}"
            yield f"  kept within its limits: {say_share(wait.kept_share)}"
            yield f"  took {say_middle(wait.took, say_clock)}"
            mean = say_clock(wait.idle / wait.took.count)
            yield f"  went on after its least: {mean} each on average, {say_clock(wait.idle)} in all"
    yield f"reading after the drops: {say_middle(tally.read_at, say_clock)}"
    yield f"of the read window gone by at the reading: {say_middle(tally.window_used, '{:.0f} %'.format)}"
    if tally.early_at.count:
        yield f"positives seen early: {say_share(tally.early_share)} of {tally.could_be_early:,}"
        yield f"  first seen after the drops: {say_middle(tally.early_at, say_clock)}"
    minutes = say_middle(tally.told_after, "{:.0f} min".format)
    yield f"from swab to result told: {minutes}"


def say_samples(samples: Sequence[SampleRun], name: Name, width: int) -> Iterator[str]:
    """Yield the control samples in the order in which they were read."""
    if not samples:
        yield "None was read."
        return
    rows = [("when", "material", "kind", "lot", "read by", "came to")]
    rows += [
        (
            f"{each.day} {each.time}",
            each.material,
            NONE_COUNTED if each.kind is None else str(each.kind),
            each.lot,
            name(By.READER, each.by),
            VERDICTS[each.verdict],
        )
        for each in samples
    ]
    yield from aligned(rows, width)


def say_near_misses(found: NearMisses, tests: int, name: Name) -> Iterator[str]:
    """Yield how many acts were refused, and of which kinds most."""
    if not found.total:
        yield "None is on record."
        return
    among = say_among(found.total, tests)
    yield f"{_count(found.total, 'act')} refused{f', {among}' if among else ''}."
    for of in Of:
        kinds = found.most(of)
        shown = kinds if of is Of.HOUR else kinds[:SHOWN]
        words = ", ".join(
            f"{near_name(of, key, name)} {count:,}".replace(" ", HELD_TOGETHER)
            for key, count in shown
        )
        more = len(kinds) - len(shown)
        yield f"  by {NEAR[of]}: {words}{f', and {more} more' if more else ''}"


def near_name(of: Of, key: str, name: Name) -> str:
    """Return what one kind of near misses is called."""
    if of is Of.OPERATOR:
        return name(By.OPERATOR, key)
    return key.replace("-", " ") if of is Of.CODE else key


def aligned(rows: Sequence[Sequence[str]], width: int) -> Iterator[str]:
    """Yield `rows` in columns; where they are too wide the first one stands above the others."""
    widths = [max(len(row[place]) for row in rows) for place in range(len(rows[0]))]
    above = sum(widths) + 2 * len(widths) - 2 > width
    for row in rows:
        if above:
            yield row[0]
            rest = zip(row[1:], widths[1:], strict=True)
            yield "  ".join(("", *(each.ljust(wide) for each, wide in rest))).rstrip()
            continue
        cells = (each.ljust(wide) for each, wide in zip(row, widths, strict=True))
        yield "  ".join(cells).rstrip()


def quantiles_of(spread: Spread, shares: Iterable[float]) -> tuple[float, ...] | None:
    """Return the quantiles of a spread, or None where so few were counted that they say nothing."""
    return spread.quantiles(*shares) if spread.count >= FEW else None


def say_middle(spread: Spread, write: Callable[[float], str]) -> str:
    """Return the median of lengths, and from the 5th to the 95th hundredth."""
    found = quantiles_of(spread, (0.05, 0.5, 0.95))
    if found is None:
        return f"{TOO_FEW} timed ({spread.count})" if spread.count else "none timed"
    low, middle, high = map(write, found)
    return f"{middle} ({low} to {high})"


def say_clock(seconds: float) -> str:
    """Return so many seconds as minutes and seconds."""
    return write_span(Span(round(seconds) * SECOND))


def interval(share: Share, of: int) -> str:
    """Return a share with its 95 % interval in percent, without the sign of it."""
    if not of:
        return NONE_COUNTED
    return f"{_percent(share.value)} ({_percent(share.low)} to {_percent(share.high)})"


def _percent(share: float) -> str:
    return f"{100 * share:.1f}"


def say_among(many: int, tests: int) -> str:
    """Return how many they are by the tests that were done: of few a share would say nothing."""
    if tests >= FEW:
        return f"{1000 * many / tests:.0f} for each 1,000 tests"
    return f"in {_count(tests, 'test')}" if tests else ""


def _count(number: int, one: str) -> str:
    return f"{number:,} {one}" if number == 1 else f"{number:,} {one}s"

"""The tables of the figures' own page, each in so few words that a row fits beside its picture."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.figures.case import Came
from readbell.core.figures.figures import FEW
from readbell.core.figures.near_misses import Of
from readbell.core.figures.view import By
from readbell.core.figures.watching import Sign
from readbell.core.made_later import dataclass
from readbell.phrases.figures_words import (
    CAUTION,
    FEW_MARK,
    HEADINGS,
    NEAR,
    NONE_COUNTED,
    interval,
    near_name,
    say_among,
    say_clock,
    say_middle,
)
from readbell.phrases.quality_words import say_promise
from readbell.phrases.readers_words import NO_READERS, PAIRS_NOTE, pair_rows, readers_row
from readbell.phrases.sample_words import VERDICTS

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from readbell.core.figures.course import Course
    from readbell.core.figures.figures import SampleRun
    from readbell.core.figures.near_misses import NearMisses
    from readbell.core.figures.readers import Readers, Twice
    from readbell.core.figures.tally import Tally
    from readbell.core.figures.watching import Chart, Promise
    from readbell.core.statistics.proportion import Share
    from readbell.core.statistics.spread import Spread
    from readbell.phrases.figures_words import Name

Rows = tuple[tuple[str, tuple[str, ...]], ...]
"""What each row goes by, and its cells."""
IN_PERCENT = "In brackets the 95 % interval (Wilson), in percent."
FEW_SAID = f"{FEW_MARK} fewer than {FEW}: that tells little."
OF_TIMES = (
    "The median, in brackets from the 5th to the 95th hundredth; stated times are in none of it."
)
LOST = "What passed after the least of each wait, while hands were wanted: minutes and seconds."
OF_CHART = (
    "Usual: where chance alone keeps the count, for so many strips (binomial, as rare as beyond three "
    "standard deviations). A flag says nothing about why."
)
OF_POSITIVES = "Positives follow the people who came: look at who that was before anything else."
OF_SUM = "Of the running sum: where it is now, and at how much it flags. Nothing is held by itself."
NO_SUM = "Nothing of any lot was read."
NO_SAMPLES = "No control sample was read on these days."
NO_NEAR = "No act was refused on these days."
NOT_ENDED = "Nothing that ended is on record on these days."
MARK_HIGH, MARK_LOW = "TOO MANY", "few"
SHORT_DAY = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """One table in words."""

    head: tuple[str, ...]
    rows: Rows
    notes: tuple[str, ...] = ()
    beside: int = 0
    """So many columns at the end are left out before any name is cut."""


def rates(by: By, groups: Mapping[str, Tally], name: Name) -> Laid:
    """Return how many were tested, positive, invalid and lapsed."""
    rows = tuple(
        (
            key,
            (
                name(by, key),
                _tests(tally),
                _share(tally.positivity, tally.valid),
                _share(tally.invalid, tally.in_window),
                _share(tally.lapsed, tally.tests),
            ),
        )
        for key, tally in groups.items()
    )
    head = (HEADINGS[by], "tests", "positive %", "invalid %", "lapsed %")
    return _laid(head, rows, (IN_PERCENT, *_few(groups), CAUTION), NOT_ENDED)


def marks(by: By, groups: Mapping[str, Tally], name: Name) -> Laid:
    """Return what was seen early, what was faint, repeated, picked from a list, or stated."""
    rows = tuple(
        (
            key,
            (
                name(by, key),
                _share(tally.early_share, tally.could_be_early),
                _share(tally.faint_share, tally.came[Came.POSITIVE]),
                f"{tally.repeats:,}",
                f"{tally.picked:,}",
                f"{tally.stated:,}",
            ),
        )
        for key, tally in groups.items()
    )
    head = (HEADINGS[by], "seen early %", "faint %", "repeats", "picked", "stated")
    return _laid(head, rows, ("Early and faint: of the positives. " + IN_PERCENT,), NOT_ENDED)


def times(by: By, groups: Mapping[str, Tally], name: Name) -> Laid:
    """Return when strips were read, whether waits were kept, and when people were told."""
    rows = tuple(
        (
            key,
            (
                name(by, key),
                _share(tally.waits_kept, tally.waits_timed),
                _spread(tally.read_at, say_clock),
                _spread(tally.window_used, "{:.0f}".format),
                _spread(tally.told_after, "{:.0f}".format),
            ),
        )
        for key, tally in groups.items()
    )
    head = (HEADINGS[by], "waits kept %", "read after", "window %", "told, min")
    return _laid(head, rows, (OF_TIMES,), NOT_ENDED)


def waits(by: By, groups: Mapping[str, Tally], name: Name) -> Laid:
    """Return how much time was lost to waits."""
    rows = tuple(
        (
            key,
            (
                name(by, key),
                f"{tally.waits_timed:,}",
                _share(tally.waits_kept, tally.waits_timed),
                say_clock(_idle(tally) / tally.waits_timed) if tally.waits_timed else NONE_COUNTED,
                say_clock(_idle(tally)),
            ),
        )
        for key, tally in groups.items()
    )
    head = (HEADINGS[by], "waits", "kept %", "lost each", "lost in all")
    return _laid(head, rows, (LOST,), NOT_ENDED)


def load(whole: Tally, days: int) -> Laid:
    """Return how many were begun in each hour of the day."""
    hours = [hour for hour, count in whole.hours.items() if count > 0]
    span = range(min(hours), max(hours) + 1) if hours else ()
    rows = tuple(
        (
            f"{hour:02}",
            (f"{hour:02}:00", f"{whole.hours[hour]:,}", f"{whole.hours[hour] / max(1, days):.1f}"),
        )
        for hour in span
    )
    return _laid(
        ("hour", "begun", "on a day"), rows, (f"Over {days:,} days with work.",), NOT_ENDED
    )


def chart(by: By, found: Chart, name: Name) -> Laid:
    """Return the points of a chart of invalid strips, or of positives."""
    rows = tuple(
        (
            each.key,
            (
                name(by, each.key),
                f"{each.tests:,}",
                f"{each.hits:,}",
                f"{100 * each.hits / each.tests:.1f}",
                f"{each.usual.least:,} to {each.usual.most:,}",
                MARK_HIGH if each.is_high else MARK_LOW if each.is_flagged else "",
            ),
        )
        for each in found.points
    )
    of = "read" if found.sign is Sign.INVALID else "valid"
    head = (HEADINGS[by], of, found.sign.value, "%", "usual", "")
    by_chance = (
        f"All together {100 * found.middle:.1f} %. By chance alone {found.false_flags:.2f} of "
        f"{len(found.points):,} would be marked."
    )
    notes = (
        (by_chance, OF_CHART) if found.sign is Sign.INVALID else (by_chance, OF_POSITIVES, OF_CHART)
    )
    return _laid(head, rows, notes, NOT_ENDED)


def sums(
    found: Mapping[tuple[str, str], Course],
    days: Mapping[tuple[str, str], str],
    promise: Promise,
) -> Laid:
    """Return how the running sum of each lot stands, and what a flag is worth.

    Args:
        found: by assay and lot.
        days: the day on which a lot was flagged, for those that were.
        promise: what a flag is worth.
    """
    rows = tuple(
        (
            lot_key(assay, lot),
            (
                lot,
                f"{course.read:,}",
                f"{course.invalid:,}",
                f"{course.steps[-1]:,} of {course.limit:,}",
                f"FLAGGED {days[assay, lot]}" if (assay, lot) in days else "",
            ),
        )
        for (assay, lot), course in found.items()
    )
    return _laid(
        ("lot", "read", "invalid", "sum", ""), rows, (OF_SUM, *say_promise(promise)[1:]), NO_SUM
    )


def lot_key(assay: str, lot: str) -> str:
    """Return what the row of a lot goes by: two assays may have lots of one number."""
    return f"{assay}\n{lot}"


def samples(found: Sequence[SampleRun], name: Name) -> Laid:
    """Return the control samples in the order in which they were read."""
    rows = tuple(
        (
            str(place),
            (
                f"{each.day[SHORT_DAY:]} {each.time}",
                VERDICTS[each.verdict],
                NONE_COUNTED if each.kind is None else str(each.kind),
                each.lot,
                each.material,
                name(By.READER, each.by),
            ),
        )
        for place, each in enumerate(found)
    )
    return _laid(("when", "came to", "kind", "lot", "material", "read by"), rows, (), NO_SAMPLES)


def readers(
    twice: Mapping[str, Mapping[Twice, int]], found: Mapping[str, Readers], name: Name
) -> Laid:
    """Return how two readers of one strip agree, by assay and pair by pair."""
    rows: list[tuple[str, tuple[str, ...]]] = []
    for assay, each in found.items():
        rows.append((assay, _in_order(readers_row(assay, each))))
        rows += [
            (f"{assay} {row[0]}", _in_order((row[0].removesuffix(f", {assay}"), *row[1:])))
            for row in pair_rows(assay, twice[assay], name)
        ]
    head = ("who", "strips", "kappa", "positive %", "negative %", "faint: same", "same %")
    return replace(_laid(head, tuple(rows), (PAIRS_NOTE,), NO_READERS), beside=2)


def near_misses(found: NearMisses, tests: int, name: Name) -> Laid:
    """Return which acts were refused."""
    rows = tuple(
        (f"{of} {key}", (NEAR[of], near_name(of, key, name), f"{count:,}"))
        for of in Of
        for key, count in found.most(of)
    )
    among = say_among(found.total, tests)
    note = f"{found.total:,} in all{f', {among}' if among else ''}."
    return _laid(("by", "", "refused"), rows, (note,), NO_NEAR)


def _laid(head: tuple[str, ...], rows: Rows, notes: tuple[str, ...], nothing: str) -> Laid:
    return Laid(head=head, rows=rows, notes=notes if rows else (nothing,))


def _in_order(row: tuple[str, ...]) -> tuple[str, ...]:
    """Return a row of the readers with what matters less behind: that has no room on a narrow screen."""
    who, strips, same, kappa, positive, negative, faint = row
    return who, strips, _narrow(kappa), _narrow(positive), _narrow(negative), faint, _narrow(same)


def _narrow(interval: str) -> str:
    return interval.replace(" to ", "-")


def _tests(tally: Tally) -> str:
    return f"{tally.tests:,}{FEW_MARK if tally.tests < FEW else ''}"


def _few(groups: Mapping[str, Tally]) -> Iterator[str]:
    if any(each.tests < FEW for each in groups.values()):
        yield FEW_SAID


def _share(share: Share, of: int) -> str:
    return _narrow(interval(share, of))


def _spread(spread: Spread, write: Callable[[float], str]) -> str:
    if spread.count < FEW:
        return f"of {spread.count}{FEW_MARK}" if spread.count else NONE_COUNTED
    return _narrow(say_middle(spread, write))


def _idle(tally: Tally) -> int:
    return sum(each.idle for each in tally.waits.values())

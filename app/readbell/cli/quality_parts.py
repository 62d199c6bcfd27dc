"""A report on quality put together: words, tables and pictures in their order."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.cli.proposals import lot_states
from readbell.core.board.events import Mode
from readbell.core.figures.calendar_weeks import by_week
from readbell.core.figures.course import course_of
from readbell.core.figures.readers import readers_by_assay
from readbell.core.figures.view import By
from readbell.phrases import quality_words as words
from readbell.phrases import readers_words as of_readers
from readbell.phrases.figures_words import NOTHING, REHEARSAL
from readbell.reports.columns_picture import columns_picture
from readbell.reports.course_picture import course_picture
from readbell.reports.dots_picture import Dot, dots_picture
from readbell.reports.quality_paper import Grid, QualityPaper, Saying

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from readbell.cli.figures_asked import Shown
    from readbell.core.figures.course import Course
    from readbell.core.figures.table import Chosen
    from readbell.core.figures.tally import Tally
    from readbell.core.figures.watched import Charted
    from readbell.reports.drawing import Drawing

    Part = Saying | Grid | Drawing

MOST_DAYS = 31
"""More of them are drawn by week."""
STEP = 5
LONGEST_LABEL = 9


def quality_paper(shown: Shown, chosen: Chosen) -> QualityPaper:
    """Return the report.

    Args:
        shown: what was counted.
        chosen: which days were asked about.
    """
    founded = shown.board.founded
    days = [*shown.figures.table.groups(By.DAY)]
    whole = shown.figures.table.whole
    return QualityPaper(
        title=words.say_title("" if founded is None else founded.bay, chosen, days),
        subtitle=words.say_size(whole, len(days), shown.figures.on_paper)
        if whole.total
        else NOTHING,
        banner=REHEARSAL if founded is not None and founded.mode is Mode.REHEARSAL else "",
        parts=tuple(_parts(shown)),
        foot=" ".join(words.CAUTION[:3]),
        sideways=words.SIDEWAYS,
    )


def _parts(shown: Shown) -> Iterator[Part]:
    whole = shown.figures.table.whole
    proposals = words.say_proposals(shown.watched, lot_states(shown.board))
    yield Saying(title=words.PROPOSED, lines=tuple(proposals))
    if whole.total:
        yield Grid(title=words.IN_SHORT, head=words.SHORT_HEAD, rows=tuple(words.short_rows(whole)))
        yield from _rates(shown)
        yield from _charts(shown)
        yield from _over_time(shown)
        yield Grid(
            title=words.TIMES,
            head=words.TIMES_HEAD,
            rows=tuple(words.times_rows(whole)),
            note=words.TIMES_NOTE,
        )
    yield from _beside(shown)
    yield Saying(title=words.CAUTIONS, lines=words.CAUTION)


def _rates(shown: Shown) -> Iterator[Part]:
    for by in (By.ASSAY, By.LOT, By.OPERATOR, By.READER):
        rows = words.rates_rows(by, shown.figures.table.groups(by), shown.name)
        yield Grid(title=words.rates_title(by), head=words.rates_head(by), rows=tuple(rows))


def _charts(shown: Shown) -> Iterator[Part]:
    yield Saying(title=words.RUNNING_SUM, lines=words.say_promise(shown.watched.promise))
    yield from _courses(shown)
    for charted in shown.watched.charts:
        if len(charted.chart.points) > 1:
            yield chart_drawing(charted, shown.name)
            yield Saying(title="", lines=(words.say_flagged(charted, shown.name),))


def _courses(shown: Shown) -> Iterator[Part]:
    """Yield the running sum of each lot that something is proposed of."""
    for each in shown.watched.proposals:
        course = course_of(shown.watch, shown.figures.counted.courses[each.assay, each.lot])
        if course is not None:
            yield course_drawing(each.lot, each.assay, course)


def course_drawing(lot: str, assay: str, course: Course) -> Drawing:
    """Return the running sum of a lot as a picture."""
    title, above = words.say_course(lot, assay, course)
    return course_picture(
        title,
        above,
        course.steps,
        limit=course.limit,
        limit_called=words.LIMIT,
        flagged=course.flagged_after,
    )


def chart_drawing(charted: Charted, name: Callable[[By, str], str]) -> Drawing:
    """Return a chart as a picture."""
    title, above = words.say_chart(charted)
    dots = [
        Dot(
            label=_short(name(charted.by, each.key)),
            value=each.hits / each.tests,
            low=each.usual.least / each.tests,
            high=each.usual.most / each.tests,
            is_flagged=each.is_flagged,
        )
        for each in charted.chart.points
    ]
    return dots_picture(title, above, dots, middle=charted.chart.middle)


def positives_drawing(days: Mapping[str, Tally]) -> Drawing:
    """Return the share of positives over time as a picture."""
    weeks = len(days) > MOST_DAYS
    title, above = words.say_positives(weeks=weeks)
    groups = by_week(days) if weeks else days
    dots = [
        Dot(
            label=key[5:],
            value=tally.positivity.value,
            low=tally.positivity.low,
            high=tally.positivity.high,
        )
        for key, tally in groups.items()
        if tally.valid
    ]
    return dots_picture(title, above, dots, middle=None)


def _over_time(shown: Shown) -> Iterator[Part]:
    whole, days = shown.figures.table.whole, shown.figures.table.groups(By.DAY)
    if whole.valid:
        yield positives_drawing(days)
    used = whole.window_used
    if used.count:
        # The very end of the window belongs to the last step.
        columns = [
            (str(each), used.within(each, 100 if each + STEP == 100 else each + STEP - 1))
            for each in range(0, 100, STEP)
        ]
        yield columns_picture(words.WINDOW, words.WINDOW_ABOVE, columns)
    hours = [hour for hour, count in whole.hours.items() if count > 0]
    columns = [(f"{hour:02}", whole.hours[hour]) for hour in range(min(hours), max(hours) + 1)]
    yield columns_picture(words.HOURS, words.say_hours(len(days)), columns)


def _beside(shown: Shown) -> Iterator[Part]:
    figures, name = shown.figures, shown.name
    twice = figures.table.twice_by_assay()
    found = readers_by_assay(twice)
    if found:
        rows = tuple(of_readers.readers_row(assay, each) for assay, each in found.items())
        yield Grid(
            title=of_readers.READERS,
            head=of_readers.readers_head(),
            rows=rows,
            note=of_readers.READERS_NOTE,
        )
        parted = tuple(of_readers.say_parted(assay, each) for assay, each in found.items())
        yield Saying(title="", lines=parted)
        pairs = tuple(
            row
            for assay, counts in twice.items()
            for row in of_readers.pair_rows(assay, counts, name)
        )
        yield Grid(
            title=of_readers.PAIRS,
            head=of_readers.pairs_head(),
            rows=pairs,
            note=of_readers.PAIRS_NOTE,
        )
    else:
        yield Saying(title=of_readers.READERS, lines=(of_readers.NO_READERS,))
    if figures.samples:
        rows = tuple(words.sample_rows(figures.samples, name))
        yield Grid(title=words.SAMPLES, head=words.SAMPLES_HEAD, rows=rows)
    else:
        yield Saying(title=words.SAMPLES, lines=(words.NO_SAMPLES,))
    near = figures.near_misses
    said = words.say_near(near, figures.table.whole.tests)
    if near.total:
        rows = tuple(words.near_rows(near, name))
        yield Grid(title=words.NEAR_MISSES, head=words.NEAR_HEAD, rows=rows, note=said)
    else:
        yield Saying(title=words.NEAR_MISSES, lines=(said,))


def _short(label: str) -> str:
    return label if len(label) <= LONGEST_LABEL else f"{label[: LONGEST_LABEL - 1]}…"

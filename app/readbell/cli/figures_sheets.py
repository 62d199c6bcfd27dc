"""The figures' own page: each table as rows of text, and the picture beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from readbell.core.figures.calendar_weeks import by_week
from readbell.core.figures.course import course_of
from readbell.core.figures.near_misses import Of
from readbell.core.figures.readers import readers_by_assay
from readbell.core.figures.view import Answered, By, Sheet
from readbell.core.figures.watching import Sign, chart, flags, promise_of
from readbell.core.made_later import dataclass
from readbell.core.statistics.spread import Spread
from readbell.phrases import sheet_words as words
from readbell.phrases.figures_words import say_clock

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from readbell.core.figures.course import Course
    from readbell.core.figures.figures import Figures
    from readbell.core.figures.tally import Tally
    from readbell.core.figures.view import Asked
    from readbell.core.statistics.cusum import Watch
    from readbell.phrases.sheet_words import Laid

    Name = Callable[[By, str], str]

GAP = 2
NARROWEST_NAME = 8
SMALLEST = (24, 7)
"""Columns and rows below which no picture says anything."""
A_TWENTIETH, TEN_SECONDS = 5, 10
MOST_DOTS = 60
MOST_DAYS = 31
"""More of them are drawn by week."""


class Sums(NamedTuple):
    """The running sums of lots, by assay and lot; each takes a walk through all of its strips."""

    courses: Mapping[tuple[str, str], Course]
    """Those that are flagged go first, then the one used last."""
    flagged: Mapping[tuple[str, str], str]
    """The day on which each lot was flagged that was."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheets:
    """Everything that a page can be made of."""

    figures: Figures
    watch: Watch
    name: Name
    """What a group is called that goes by a key."""
    as_of: str
    """When the last event was recorded that is in them: HH:MM."""

    def page(self, asked: Asked) -> Answered:
        """Return one table and its picture."""
        sums = self._sums() if asked.sheet is Sheet.SUM else Sums({}, {})
        laid = self._laid(asked.sheet, asked.by, sums)
        head, rows = in_rows(laid, asked.wide)
        drawn: tuple[str, ...] = ()
        if asked.picture is not None and _is_enough(asked.picture):
            drawn = tuple(self._picture(asked, sums, asked.picture))
        return Answered(
            asked=asked,
            as_of=self.as_of,
            head=head,
            rows=tuple(zip((key for key, _ in laid.rows), rows, strict=True)),
            notes=laid.notes,
            picture=drawn,
        )

    def _laid(self, sheet: Sheet, by: By, sums: Sums) -> Laid:
        table, name = self.figures.table, self.name
        match sheet:
            case Sheet.RATES:
                return words.rates(by, self._groups(by), name)
            case Sheet.MARKS:
                return words.marks(by, self._groups(by), name)
            case Sheet.TIMES:
                return words.times(by, self._groups(by), name)
            case Sheet.WAITS:
                return words.waits(by, self._groups(by), name)
            case Sheet.LOAD:
                return words.load(table.whole, len(table.groups(By.DAY)))
            case Sheet.CHART:
                return words.chart(by, chart(self._groups(by), Sign.INVALID), name)
            case Sheet.POSITIVES:
                return words.chart(by, chart(self._groups(by), Sign.POSITIVE), name)
            case Sheet.SUM:
                return words.sums(*sums, promise_of(self.watch))
            case Sheet.SAMPLES:
                return words.samples(self.figures.samples, name)
            case Sheet.READERS:
                twice = table.twice_by_assay()
                return words.readers(twice, readers_by_assay(twice), name)
            case Sheet.NEAR:
                return words.near_misses(self.figures.near_misses, table.whole.tests, name)

    def _groups(self, by: By) -> Mapping[str, Tally]:
        """Return the groups, days with the latest first: that is what is looked for."""
        groups = self.figures.table.groups(by)
        return _turned_round(groups) if by is By.DAY else groups

    def _sums(self) -> Sums:
        """Return how the running sum went of each lot that was used on the days that are asked about."""
        counted, chosen = self.figures.counted, self.figures.table.chosen
        last: dict[tuple[str, str], str] = {}
        for cell, tally in counted.cells.items():
            if chosen.holds(cell) and tally.total:
                key = cell.assay, cell.lot
                last[key] = max(cell.day, last.get(key, cell.day))
        flagged = {
            (each.assay, each.lot): each.day for each in flags(self.watch, self.figures.counted)
        }
        latest = sorted(last, key=lambda key: (key in flagged, last[key], key), reverse=True)
        found = {key: course_of(self.watch, counted.courses.get(key, {})) for key in latest}
        return Sums({key: each for key, each in found.items() if each is not None}, flagged)

    def _picture(self, asked: Asked, sums: Sums, size: tuple[int, int]) -> Iterator[str]:
        from readbell.cli.figures_pictures import PLAIN_SIGNS

        for each in self._drawn(asked, sums, size):
            yield each.translate(PLAIN_SIGNS) if asked.plain_signs else each

    def _drawn(self, asked: Asked, sums: Sums, size: tuple[int, int]) -> Sequence[str]:
        from readbell.cli import figures_pictures as draw

        by, whole = asked.by, self.figures.table.whole
        groups = self._groups(by)
        match asked.sheet:
            case Sheet.RATES:
                shown = {key: each for key, each in _to_draw(by, groups).items() if each.valid}
                values = [100 * each.positivity.value for each in shown.values()]
                lows = [100 * each.positivity.low for each in shown.values()]
                highs = [100 * each.positivity.high for each in shown.values()]
                labels = [_short(by, self.name(by, key)) for key in shown]
                title = "positive %, with its 95 % interval"
                return draw.dots(title, labels, values, lows, highs, size)
            case Sheet.MARKS if whole.early_at.count:
                minutes = range(max(whole.early_at.counts) // 60 + 1)
                counts = [whole.early_at.within(60 * each, 60 * each + 59) for each in minutes]
                title = "first seen positive, by minutes after the drops"
                return draw.bars(title, [*map(str, minutes)], counts, size)
            case Sheet.TIMES if whole.window_used.count:
                shares = range(0, 100, A_TWENTIETH)
                counts = [whole.window_used.within(each, each + A_TWENTIETH - 1) for each in shares]
                counts[-1] += whole.window_used.within(100, 100)
                title = "readings by how much of their window had gone by, %"
                return draw.bars(title, [*map(str, shares)], counts, size)
            case Sheet.WAITS if whole.waits_timed:
                return self._waits(size)
            case Sheet.LOAD if whole.total:
                hours = [hour for hour, count in whole.hours.items() if count > 0]
                days = max(1, len(self.figures.table.groups(By.DAY)))
                span = range(min(hours), max(hours) + 1)
                counts_a_day = [whole.hours[hour] / days for hour in span]
                title = "begun in each hour, on average of a day"
                return draw.bars(title, [*map(str, span)], counts_a_day, size)
            case Sheet.CHART:
                return self._chart(by, groups, size, Sign.INVALID)
            case Sheet.POSITIVES:
                return self._chart(by, groups, size, Sign.POSITIVE)
            case Sheet.SUM:
                return _sum(asked, sums.courses, size)
            case Sheet.NEAR if self.figures.near_misses.total:
                found = self.figures.near_misses.most(Of.HOUR)
                labels = [key for key, _ in found]
                return draw.bars("acts refused, by hour", labels, [each for _, each in found], size)
            case _:
                return ()

    def _waits(self, size: tuple[int, int]) -> Sequence[str]:
        """Draw how long waits took; what is far behind the others goes into the last bar."""
        from readbell.cli import figures_pictures as draw

        took = Spread()
        for wait in self.figures.table.whole.waits.values():
            took.join(wait.took.counts)
        (far,) = took.quantiles(0.99)
        first = min(took.counts) // TEN_SECONDS
        last = min(max(first, int(far) // TEN_SECONDS), first + MOST_DOTS)
        steps = range(first, last + 1)
        counts = [took.within(each * TEN_SECONDS, (each + 1) * TEN_SECONDS - 1) for each in steps]
        counts[-1] += took.within((last + 1) * TEN_SECONDS, max(took.counts))
        labels = [say_clock(each * TEN_SECONDS) for each in steps]
        labels[-1] += "+"
        return draw.bars("waits by how long they took, in steps of 10 s", labels, counts, size)

    def _chart(
        self, by: By, groups: Mapping[str, Tally], size: tuple[int, int], sign: Sign
    ) -> Sequence[str]:
        from readbell.cli import figures_pictures as draw

        found = chart(_to_draw(by, groups), sign)
        points = found.points[-MOST_DOTS:]
        return draw.dots(
            f"{sign.value} %: o, or X if out of the ordinary; line: usual",
            [_short(by, self.name(by, each.key)) for each in points],
            [100 * each.hits / each.tests for each in points],
            [100 * each.usual.least / each.tests for each in points],
            [100 * each.usual.most / each.tests for each in points],
            size,
            flagged=[each.is_flagged for each in points],
            middle=100 * found.middle,
        )


def _sum(
    asked: Asked, found: Mapping[tuple[str, str], Course], size: tuple[int, int]
) -> Sequence[str]:
    from readbell.cli import figures_pictures as draw

    courses = {words.lot_key(*key): (key, each) for key, each in found.items()}
    if not courses:
        return ()
    chosen = asked.chosen if asked.chosen in courses else next(iter(courses))
    assert chosen is not None  # noqa: S101  # there is one
    (_, lot), course = courses[chosen]
    return draw.course(f"running sum of {lot}, strip by strip; line: it flags", course, size)


def _turned_round(groups: Mapping[str, Tally]) -> dict[str, Tally]:
    return dict(reversed([*groups.items()]))


def _to_draw(by: By, groups: Mapping[str, Tally]) -> Mapping[str, Tally]:
    """Return groups from left to right: days from the first on, and of very many of them weeks."""
    if by is not By.DAY:
        return groups
    days = _turned_round(groups)
    return by_week(days) if len(days) > MOST_DAYS else days


def in_rows(laid: Laid, wide: int) -> tuple[str, tuple[str, ...]]:
    """Return the head and the rows in columns of at most `wide` cells.

    What has no room: first the end of long names, then the last columns.
    """
    table = [laid.head, *(cells for _, cells in laid.rows)]
    if not laid.rows:
        return "", ()
    widths = [max(len(row[place]) for row in table) for place in range(len(laid.head))]
    for _ in range(laid.beside):
        if _needed(widths) > wide:
            widths.pop()
    while len(widths) > 1 and _needed([min(NARROWEST_NAME, widths[0]), *widths[1:]]) > wide:
        widths.pop()
    widths[0] = max(1, min(widths[0], wide - _needed(widths[1:]) - GAP if widths[1:] else wide))
    head, *rows = (
        (" " * GAP)
        .join(
            _cut(cell, each).ljust(each)
            if place == 0 or place == len(widths) - 1
            else cell.rjust(each)
            for place, (cell, each) in enumerate(zip(row, widths, strict=False))
        )
        .rstrip()
        for row in table
    )
    return head, tuple(rows)


def _needed(widths: Sequence[int]) -> int:
    return sum(widths) + GAP * (len(widths) - 1)


def _cut(cell: str, wide: int) -> str:
    return cell if len(cell) <= wide else f"{cell[: wide - 2]}.."


def _short(by: By, label: str) -> str:
    return label[words.SHORT_DAY :] if by is By.DAY else label


def _is_enough(size: tuple[int, int]) -> bool:
    return size[0] >= SMALLEST[0] and size[1] >= SMALLEST[1]

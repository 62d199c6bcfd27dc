"""Bars and lines of the figures for a terminal; plain text, and plain signs where nothing else can be shown."""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING

from readbell.core.figures.view import By

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from readbell.core.figures.course import Course
    from readbell.core.figures.figures import Figures
    from readbell.core.figures.tally import Tally

HIGH = 12
"""Lines of one picture."""
WIDEST = 110
MOST_BARS = 30
PLAIN_SIGNS = str.maketrans("▇█┌┐└┘├┤┬┴┼│─•", "##+++++++++|-*")
A_TWENTIETH = 5


def pictures(
    figures: Figures, by: By, name: Callable[[By, str], str], width: int, *, plain: bool
) -> Iterator[str]:
    """Yield the pictures, each with its heading, as lines of text.

    Args:
        figures: what was counted.
        by: what the rates are told apart by.
        name: what a group is called.
        width: of the terminal, in cells.
        plain: whether signs of ASCII alone can be shown.
    """
    width = min(width, WIDEST)
    whole = figures.table.whole
    groups = figures.table.groups(by)
    made = [_rates(by, groups, name, width)]
    hours = [hour for hour, count in whole.hours.items() if count > 0]
    if hours:
        days = max(1, len(figures.table.groups(By.DAY)))
        span = range(min(hours), max(hours) + 1)
        load = [whole.hours[hour] / days for hour in span]
        made.append(
            _bars("begun in each hour, on average of a day", [*map(str, span)], load, width)
        )
    if whole.window_used.count:
        shares = range(0, 100, A_TWENTIETH)
        counts = [whole.window_used.within(each, each + A_TWENTIETH - 1) for each in shares]
        counts[-1] += whole.window_used.within(100, 100)
        title = "readings by how much of their window had gone by, in percent"
        made.append(_bars(title, [*map(str, shares)], counts, width))
    if whole.early_at.count:
        minutes = range(max(whole.early_at.counts) // 60 + 1)
        counts = [whole.early_at.within(60 * each, 60 * each + 59) for each in minutes]
        title = "first seen positive, by minutes after the drops"
        made.append(_bars(title, [*map(str, minutes)], counts, width))
    for lines in made:
        for each in lines:
            yield each.translate(PLAIN_SIGNS) if plain else each
        if lines:
            yield ""


def _rates(
    by: By, groups: Mapping[str, Tally], name: Callable[[By, str], str], width: int
) -> list[str]:
    """Return how many percent were positive: a line over the days, a bar for each of anything else."""
    shown = {key: each for key, each in groups.items() if each.valid}
    rates = [100 * each.positivity.value for each in shown.values()]
    if by is By.DAY and len(shown) > 1:
        return _line("positive, in percent of the valid ones, day by day", [*shown], rates, width)
    labels = [name(by, key) for key in shown]
    left = len(labels) - MOST_BARS
    lines = _rows(f"positive, in percent of the valid ones, by {by}", labels, rates, width)
    return lines if left <= 0 else [*lines, f"and {left} more"]


def _rows(title: str, labels: Sequence[str], values: Sequence[float], width: int) -> list[str]:
    import plotext

    if not labels:
        return []
    plotext.clear_figure()
    shown = [each[: width // 3] for each in labels[:MOST_BARS]]
    plotext.simple_bar(shown, [round(each, 1) for each in values[:MOST_BARS]], width=width - 1)
    return [*wrap(title, width), *_built()]


def _bars(title: str, labels: Sequence[str], values: Sequence[float], width: int) -> list[str]:
    import plotext

    _begin(width)
    # A place that is not a number is named by its text alone.
    plotext.bar(list(labels), [round(each, 2) for each in values], width=0.8)
    return [*wrap(title, width), *_built()]


def _line(title: str, days: Sequence[str], values: Sequence[float], width: int) -> list[str]:
    import plotext

    _begin(width)
    places = list(range(len(days)))
    plotext.plot(places, list(values), marker="dot")
    each = max(1, len(days) * 12 // width)
    plotext.xticks(places[::each], [day[5:] for day in days[::each]])
    plotext.ylim(0, max(1.0, *values))
    return [*wrap(title, width), *_built()]


def dots(
    title: str,
    labels: Sequence[str],
    values: Sequence[float],
    lows: Sequence[float],
    highs: Sequence[float],
    size: tuple[int, int],
    *,
    flagged: Sequence[bool] = (),
    middle: float | None = None,
) -> list[str]:
    """Return a dot for each of `labels`, with a line from its low to its high.

    Args:
        title: what is drawn.
        labels: what each is called; of many some are named.
        values: of each.
        lows: as far down its line goes.
        highs: as far up.
        size: columns and rows.
        flagged: which of them are drawn as X; none where nothing is said.
        middle: what all of them are held against, or None.
    """
    import plotext

    if not labels:
        return []
    _begin(*_inside(title, size))
    for place, (low, high) in enumerate(zip(lows, highs, strict=True)):
        plotext.plot([place, place], [low, high], marker="│")
    marked = [*flagged] or [False] * len(labels)
    for sign, wanted in (("o", False), ("X", True)):
        chosen = [place for place, each in enumerate(marked) if each is wanted]
        if chosen:
            plotext.scatter(chosen, [values[place] for place in chosen], marker=sign)
    if middle is not None:
        plotext.hline(middle)
    _named(labels, size[0])
    plotext.xlim(-0.5, len(labels) - 0.5)
    plotext.ylim(0, max(1.0, *values, *highs))
    return [*wrap(title, size[0]), *_built()]


def bars(
    title: str, labels: Sequence[str], values: Sequence[float], size: tuple[int, int]
) -> list[str]:
    """Return a bar for each of `labels`; where they are many some are named."""
    import plotext

    if not labels:
        return []
    _begin(*_inside(title, size))
    places = list(range(len(labels)))
    plotext.bar(places, [round(each, 2) for each in values], width=0.8)
    _named(labels, size[0])
    return [*wrap(title, size[0]), *_built()]


def course(title: str, found: Course, size: tuple[int, int]) -> list[str]:
    """Return the running sum of a lot, with the limit at which it flags."""
    import plotext

    _begin(*_inside(title, size))
    plotext.plot(list(range(1, found.read + 1)), list(found.steps), marker="dot")
    plotext.hline(found.limit)
    top = max(found.limit, *found.steps)
    plotext.xlim(1, max(2, found.read))
    plotext.ylim(0, 1.05 * top)
    # Whole strips and whole sums, with the limit among them: halves of either mean nothing.
    sums = [0, found.limit, *([top] if top > 1.2 * found.limit else [])]
    plotext.yticks(sums, [str(each) for each in sums])
    parts = max(1, min(4, size[0] // 12 - 1))
    strips = sorted({max(1, found.read * part // parts) for part in range(parts + 1)})
    plotext.xticks(strips, [str(each) for each in strips])
    return [*wrap(title, size[0]), *_built()]


def _named(labels: Sequence[str], width: int) -> None:
    """Name as many places as there is room for."""
    import plotext

    longest = max(len(each) for each in labels) + 1
    apart = max(1, -(-len(labels) * longest // max(1, width - 8)))
    plotext.xticks(list(range(len(labels)))[::apart], list(labels)[::apart])


def _inside(title: str, size: tuple[int, int]) -> tuple[int, int]:
    """Return what the title leaves of `size`."""
    return size[0], max(4, size[1] - len(wrap(title, size[0])))


def _begin(width: int, high: int = HIGH) -> None:
    import plotext

    plotext.clear_figure()
    plotext.theme("clear")
    plotext.limit_size(False, False)  # of the terminal: the size is given here
    plotext.plot_size(width, high)


def _built() -> list[str]:
    """Return the picture without its colours: nothing in it needs them."""
    import plotext

    return [each.rstrip() for each in plotext.uncolorize(plotext.build()).splitlines()]

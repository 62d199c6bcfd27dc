"""The rows that a rehearsal takes from the foot of the screen: its mark, its clock, its bench.

Above them stands the board as it always is. The bar fills a whole row, so that no page of
a rehearsal can pass for work, with colour or without.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass
from readbell.core.practice.assist import Assist
from readbell.hand.given import Steer, Steered
from readbell.phrases.bench_words import (
    AT_WORK,
    COVERED,
    KINDS,
    LEVELS,
    NOTHING_CHOSEN,
    OVER,
    say_asked,
    say_boxes,
    say_goal,
    say_good,
    say_interruption,
    say_speed,
    say_teaching,
    say_waiting,
    say_written,
)
from readbell.ui.bench_strip import bench_strip
from readbell.ui.ink import Line, Piece, Token, at_columns, line
from readbell.ui.wrapped import MORE, wrapped

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.bay.rehearsal_bench import Device, OnBench
    from readbell.ui.glyphs import Glyphs

MARK = "REHEARSAL"
SPEEDS = (1, 4, 20)
"""Each can be clicked; typed before F7 there are others."""
BESIDE = 36
"""Cells for what is said of the device, left of its strip."""
WIDEST_STRIP = 64
LEAST_STRIP = 3
CALL_ROWS = 2
"""Rows at most for what broke in."""
NARROW = 72
"""Below so many columns the strip has the whole width."""
_LAYOUTS = ((44, 3, 6), (30, 2, 5), (22, 1, 4), (14, 1, 0), (0, 0, 0))
"""From so many rows of the screen on: rows of words, and rows of the strip."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """How a rehearsal stands, beside what lies on its bench."""

    speed: int
    assist: Assist
    at_work: bool = False
    """Whether time goes by because hands are at it."""
    goal: str = ""
    teaching: str = ""
    begun: bool = True
    """Whether the clock has ever gone; before, the goal is told."""

    @property
    def covers(self) -> bool:
        """Whether strips are covered: in an examination nobody looks while the clock stands."""
        return self.assist is Assist.SILENT and not self.speed


@dataclass(frozen=True, slots=True)
class Spot:
    """Cells of one row of the band that steer the rehearsal when they are clicked."""

    row: int
    begins: int
    ends: int
    gives: Steered


@dataclass(frozen=True, slots=True)
class Band:
    """The rows, and where they can be clicked."""

    lines: tuple[Line, ...]
    spots: tuple[Spot, ...] = ()

    def given_at(self, column: int, row: int) -> Steered | None:
        """Return what a click there gives, or None."""
        for spot in self.spots:
            if spot.row == row and spot.begins <= column < spot.ends:
                return spot.gives
        return None


def band_rows(height: int) -> int:
    """Return how many rows of a screen of `height` the band takes."""
    words, strip = _layout(height)
    return 1 + words + strip


def band(stand: Stand, bench: OnBench, glyphs: Glyphs, width: int, height: int) -> Band:
    """Return the band for a screen of that size."""
    words, strip = _layout(height)
    bar, spots = _bar(stand, bench, width)
    sayings = [*_told(stand, bench)]
    # What breaks in is told whole, with how it is answered: the strip gives a row for it.
    lacks = 0 if bench.call is None else len(_whole(sayings[0], width)) - words
    left = strip - max(0, lacks) if strip > LEAST_STRIP else strip
    drawn = _device(bench, glyphs, width, 0 if stand.covers else left)
    told = _laid_out(sayings, words + strip - len(drawn), width)
    lines = [bar, *told, *drawn]
    return Band(lines=tuple(each.fitted(width) for each in lines), spots=spots)


def _layout(height: int) -> tuple[int, int]:
    return next((words, strip) for least, words, strip in _LAYOUTS if height >= least)


def _bar(stand: Stand, bench: OnBench, width: int) -> tuple[Line, tuple[Spot, ...]]:
    """Return the filled row, what does most first; what has no room is left out whole."""
    go = "go on" if not stand.speed else "stop"
    parts: list[tuple[str, Steered | None]] = [
        (MARK, None),
        (AT_WORK if stand.at_work else say_speed(stand.speed), None),
        (f"F7 {go}", Steered(Steer.SPEED)),
    ]
    if bench.call is not None:
        parts.append(("F10 answer", Steered(Steer.ANSWER)))
    parts.append(("F11 next", Steered(Steer.ONWARD)))
    parts.append((LEVELS[stand.assist], None))
    parts += [(f"x{each}", Steered(Steer.SPEED, str(each))) for each in SPEEDS]
    said, spots = " ", []
    for text, gives in parts:
        if len(said) + len(text) + 1 > width:
            break
        if gives is not None:
            spots.append(Spot(0, len(said), len(said) + len(text), gives))
        said += f"{text}  "
    return line(Piece(said.ljust(width)[:width], Token.DRILL_FILL, bold=True)), tuple(spots)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Saying:
    """Something to be told, in as many rows as there are for it."""

    words: str
    token: Token = Token.TEXT
    head: Piece | None = None
    """What broke in: told whole, in two rows at most, before anything else gets a second one."""


def _told(stand: Stand, bench: OnBench) -> Iterator[_Saying]:
    """Yield what is told: what broke in first, then who waits, then what is taught."""
    if bench.call is not None:
        broken_in = bench.call.interruption
        kinds = ", ".join(KINDS[each.interruption.kind] for each in bench.behind)
        more = f" (then {kinds})" if kinds else ""
        yield _Saying(
            words=f"{say_interruption(broken_in)}{more}",
            head=Piece(f" ! {KINDS[broken_in.kind]} ", Token.HANDS_FILL, bold=True),
        )
    # A goal may give away what is to be found, so whoever is to find it alone is not told.
    helps = stand.assist is Assist.FULL
    if not stand.begun:
        yield _Saying(words=say_goal(stand.goal if helps else ""))
    groups = [[each.words for each in together] for together in bench.waiting]
    yield _Saying(words=OVER if bench.is_over else say_waiting(groups))
    if bench.device is not None and stand.covers:
        yield _Saying(words=COVERED, token=Token.SOFT)
    if bench.device is None and bench.lie_here:
        yield _Saying(words=NOTHING_CHOSEN, token=Token.SOFT)
    boxes = [(each.number, each.expires) for each in bench.boxes]
    yield _Saying(words=say_boxes(boxes, bench.badges), token=Token.SOFT)
    if helps and stand.begun and stand.teaching:
        yield _Saying(words=say_teaching(stand.teaching), token=Token.SOFT)


def _laid_out(told: Sequence[_Saying], rows: int, width: int) -> list[Line]:
    """Return exactly `rows` rows of what is told.

    Each gets a row in turn, and what is left over goes to the first that need more. So of
    those who wait nobody is cut off while there is room for them.
    """
    wanted = [len(_whole(each, width)) for each in told]
    given = [0] * len(told)
    for least in (True, False):
        for place, each in enumerate(told):
            wants = wanted[place] if each.head is not None or not least else 1
            given[place] += min(max(0, wants - given[place]), rows - sum(given))
    made = [
        each
        for saying, count in zip(told, given, strict=True)
        if count
        for each in _said(saying, count, width)
    ]
    return [*made, *(line() for _ in range(rows - len(made)))]


def _whole(saying: _Saying, width: int) -> list[str]:
    made = wrapped(saying.words, max(1, _room(saying, width)))
    return made if saying.head is None else made[:CALL_ROWS]


def _room(saying: _Saying, width: int) -> int:
    return width - 2 - (0 if saying.head is None else line(saying.head).width)


def _said(saying: _Saying, rows: int, width: int) -> Iterator[Line]:
    first, *rest = _within(saying.words, _room(saying, width), rows)
    if saying.head is None:
        yield from (line(" ", Piece(each, saying.token)) for each in (first, *rest))
    else:
        yield line(saying.head, Piece(f" {first}", saying.token, bold=True))
        yield from (line("    ", Piece(each, saying.token, bold=True)) for each in rest)


def _within(words: str, width: int, rows: int) -> list[str]:
    """Return `words` in at most `rows` lines; dots say that something was cut."""
    made = wrapped(words, max(1, width))
    if len(made) <= rows:
        return made or [""]
    last = next(iter(wrapped(made[rows - 1], max(1, width - len(MORE)))), "")
    return [*made[: rows - 1], f"{last}{MORE}"]


def _device(bench: OnBench, glyphs: Glyphs, width: int, rows: int) -> Sequence[Line]:
    """Return the device that lies there and its strip; nothing without one or without room."""
    device = bench.device
    if not rows or device is None:
        return ()
    beside = 0 if width < NARROW else BESIDE
    strip = bench_strip(
        device.drawn,
        device.marks,
        glyphs,
        width=min(WIDEST_STRIP, width - beside - 2),
        rows=rows,
    )
    said = _beside(device, beside, rows) if beside else []
    return tuple(
        at_columns(
            (1, said[row] if row < len(said) else line()),
            (beside + 1, strip[row]),
            width=width,
        )
        for row in range(rows)
    )


def _beside(device: Device, width: int, rows: int) -> list[Line]:
    """Return what is said of a device: what has no room is left out from its end."""
    papers = None if device.papers is None else device.papers.words
    marked = say_written(device.label, device.written)
    said = (say_good(device.expires), device.pouch, say_asked(papers))
    made = [line(Piece(_within(marked, width - 2, 1)[0], Token.TEXT, bold=True))]
    made += [line(Piece(_within(each, width - 2, 1)[0], Token.SOFT)) for each in said if each]
    return made[:rows]

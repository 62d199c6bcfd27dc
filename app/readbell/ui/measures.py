"""Where everything on the board stands, for any size of the screen.

The unit is one cell. Nothing here changes by itself: neither the scale of time
nor a column moves unless the window is resized, or a panel is opened on purpose.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from readbell.core.made_later import dataclass

LEAST_WIDTH = 20
LEAST_HEIGHT = 8

# Below these there is no axis of time.
AXIS_WIDTH = 80
AXIS_HEIGHT = 24

LEAST_FUTURE = 1170
"""Seconds that a scale must show ahead to be chosen; the coarsest is taken whatever it shows."""
SCALES = ((10, 18), (20, 6), (30, 3))
"""Seconds a column, and columns of past; the finest comes first."""

MIDDLING = 120
BROAD = 200

ROOMY_HEIGHT = 32
"""From here on blank rows part the groups, and the load has a row of its own."""
TALL_HEIGHT = 56
LARGE_WIDTH = 100
SMALLEST_LARGE_WIDTH = 60
SMALLEST_LARGE_HEIGHT = 12
HEAD_HEIGHT = 12
HINT_HEIGHT = 16

PANEL_BESIDE_WIDTH = 150
PANEL_WIDTH = (48, 72)
PANEL_ROWS = 12

BRACKETS = 2
"""Cells of the brackets about the chosen tag."""


@dataclass(frozen=True, slots=True)
class Span:
    """Some columns of a row."""

    column: int
    width: int

    @property
    def end(self) -> int:
        """The first column after it."""
        return self.column + self.width

    def moved(self, right: int) -> Span:
        """Return as many columns, so much further to the right."""
        return Span(self.column + right, self.width)


@dataclass(frozen=True, slots=True)
class Region:
    """Some columns of some rows."""

    column: int
    row: int
    width: int
    height: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """The columns of the axis of time: the past, the now-line, then the future."""

    column: int
    columns: int
    seconds_a_column: int
    past: int

    @property
    def now(self) -> int:
        """The column of the screen that the now-line owns."""
        return self.column + self.past

    @property
    def future(self) -> int:
        """How many columns lie after the now-line."""
        return self.columns - self.past - 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """What stands where in a row of the list."""

    sign: Span
    tag: Span
    """With a cell at either end for the brackets of the chosen one."""
    patient: Span | None
    state: Span
    time: Span
    """To be aligned to its right; it touches the state, which may run into its blanks."""
    note: Span | None
    """Words after the time, where no axis stands there."""
    axis: Axis | None
    width: int
    """All columns of the list, narrower than the screen beside an open panel."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """Which row holds what; None: this screen has no room for it."""

    header: int
    notice: int
    """What must be told on every page; without a row of its own it covers the header."""
    call: int
    """The first row of the call: its words."""
    digits: int
    """The first row of the large digits: the same one, or the next where they stand below."""
    call_rows: int
    head: int | None
    """Words over the columns, and the labels of the axis."""
    list_top: int
    list_rows: int
    hint: int | None
    """Says how the axis of time can be had."""
    load: int | None
    slot: int | None
    answer: int | None
    """What came of the last act; where there is no such row it stands in the scan line."""
    scan: int
    keys: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Measures:
    """One layout of the board."""

    width: int
    height: int
    digit_rows: int
    """Rows of the large digits: 7, 5 or 3; or 1, which is plain bold text."""
    has_blank_rows: bool
    rows: Rows
    columns: Columns
    call_words: Span
    call_digits: Span
    call_next: Span | None
    """What else is due, right of the call."""
    detail: Region | None
    """The chosen cartridge, opened."""

    @property
    def axis(self) -> Axis | None:
        """The axis of time, where there is one."""
        return self.columns.axis


@lru_cache(maxsize=16)
def measures(
    width: int, height: int, *, opened: bool = False, tag: int = 0, lent: int = 0
) -> Measures:
    """Return the layout for a screen of that size; a smaller one than the least is cut.

    Args:
        width: columns of the screen.
        height: rows of the screen.
        opened: whether the chosen cartridge has a panel.
        tag: cells that the tags of the list want; the axis pays with its far end.
        lent: rows of the screen that the board has lent: the axis of time stays all the same.
    """
    width, height = max(width, LEAST_WIDTH), max(height, LEAST_HEIGHT)
    beside = opened and width >= PANEL_BESIDE_WIDTH
    panel = min(max(PANEL_WIDTH[0], width * 7 // 25), PANEL_WIDTH[1]) if beside else 0
    digit_rows = _digit_rows(width, height)
    columns = _columns(width, height + lent, panel, tag)
    rows = _rows(height, digit_rows, has_axis=columns.axis is not None)
    detail = None
    if beside:
        top = rows.list_top if rows.head is None else rows.head
        under = rows.scan if rows.slot is None else rows.slot + 1
        detail = Region(width - panel, top, panel, under - top)
    elif opened:
        rows, detail = _with_detail_under(rows, width)
    words, digits, following = _call(width, digit_rows)
    return Measures(
        width=width,
        height=height,
        digit_rows=digit_rows,
        has_blank_rows=height >= ROOMY_HEIGHT,
        rows=rows,
        columns=columns,
        call_words=words,
        call_digits=digits,
        call_next=following,
        detail=detail,
    )


def _digit_rows(width: int, height: int) -> int:
    """Digits fill an eighth of the height, as far as the width allows."""
    if width < SMALLEST_LARGE_WIDTH or height < SMALLEST_LARGE_HEIGHT:
        return 1
    if width < LARGE_WIDTH or height < ROOMY_HEIGHT:
        return 3
    return 5 if height < TALL_HEIGHT else 7


def _call(width: int, digit_rows: int) -> tuple[Span, Span, Span | None]:
    """Return the columns of the call's words, of its digits, and of what else is due."""
    if digit_rows == 1:
        return Span(1, width - 2), Span(1, width - 2), None
    if width < AXIS_WIDTH:
        return Span(1, 14), Span(16, width - 17), None
    words, begin, following = (1, 16, 21)
    if width >= MIDDLING:
        words, begin, following = (2, 24, 39)
    elif width >= LARGE_WIDTH:
        words, begin, following = (1, 18, 24)
    last = width - 1 - following
    return Span(words, begin - 1 - words), Span(begin, last - 2 - begin), Span(last, following)


def _columns(width: int, height: int, panel: int, wanted: int) -> Columns:
    has_axis = width >= AXIS_WIDTH and height >= AXIS_HEIGHT
    own_width = width - panel - 1 if panel else width
    if width < 36:
        state = Span(8, width - 8 - 8)
        return Columns(
            sign=Span(0, 2),
            tag=Span(2, 5),
            patient=None,
            state=state,
            time=Span(state.end, 8),
            note=None,
            axis=None,
            width=own_width,
        )
    if width >= BROAD:
        sign, tag, patient, state, time = 1, Span(4, 7), Span(12, 9), Span(22, 9), Span(31, 9)
    elif width >= MIDDLING:
        sign, tag, patient, state, time = 1, Span(4, 6), Span(11, 8), Span(20, 9), Span(29, 8)
    else:
        sign, tag, patient, state, time = 0, Span(3, 5), Span(9, 6), Span(17, 9), Span(26, 7)
    # Wider tags move the rest to the right, as far as that has room.
    more = max(0, min(wanted + BRACKETS - tag.width, own_width - 1 - time.end))
    begin = time.end + more + (4 if width >= BROAD else 3)
    rest = own_width - 1 - begin
    return Columns(
        sign=Span(sign, 2),
        tag=Span(tag.column, tag.width + more),
        patient=patient.moved(more),
        state=state.moved(more),
        time=time.moved(more),
        note=Span(begin, rest) if not has_axis and rest >= 12 else None,
        # On the scale that it has with short tags: a wide one must not look like a new deadline.
        axis=_axis(begin, width - 1 - begin + more, rest) if has_axis else None,
        width=own_width,
    )


def _axis(column: int, whole: int, rest: int) -> Axis:
    """Return the axis in `rest` columns, on the scale that it has where `whole` of them are free.

    So an open panel covers the far future and moves nothing else.
    """
    seconds, past = next(
        (scale for scale in SCALES if (whole - scale[1] - 1) * scale[0] >= LEAST_FUTURE), SCALES[-1]
    )
    return Axis(column=column, columns=rest, seconds_a_column=seconds, past=past)


def _rows(height: int, digit_rows: int, *, has_axis: bool) -> Rows:
    roomy = height >= ROOMY_HEIGHT
    call = 2 if roomy else 1
    call_rows = max(2, digit_rows)
    after_call = call + call_rows + roomy
    head = after_call if height >= HEAD_HEIGHT else None
    top = after_call if head is None else head + 1
    scan = height - 2
    # From the scan line upwards: what was answered, a blank, the slot, the load.
    answer = scan - 1 if roomy else None
    under = scan - 2 if roomy else scan
    slot = under - 1 if height >= HEAD_HEIGHT else None
    under = under if slot is None else slot
    load = under - 1 if roomy and has_axis else None
    under = under if load is None else load
    hint = under - 1 if not has_axis and height >= HINT_HEIGHT else None
    under = under if hint is None else hint
    return Rows(
        header=0,
        notice=1 if roomy else 0,
        call=call,
        digits=call if digit_rows > 1 else call + 1,
        call_rows=call_rows,
        head=head,
        list_top=top,
        list_rows=under - top,
        hint=hint,
        load=load,
        slot=slot,
        answer=answer,
        scan=scan,
        keys=height - 1,
    )


def _with_detail_under(rows: Rows, width: int) -> tuple[Rows, Region]:
    """Return the rows with the list cut short, and the panel under it."""
    height = min(PANEL_ROWS, max(1, rows.list_rows * 3 // 5))
    left = rows.list_rows - height
    return replace(rows, list_rows=left), Region(0, rows.list_top + left, width, height)

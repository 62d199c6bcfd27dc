"""The page on which a strip is judged: the strip as answered, the questions, and the time left."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.cartridge.at_instant import stage_at, window
from readbell.core.cartridge.stage import Stage
from readbell.core.instant import SECOND, Span
from readbell.core.made_later import dataclass
from readbell.core.reading.interpretation import Outcome
from readbell.core.span_text import write_span
from readbell.hand.doing import Judging, Purpose
from readbell.hand.judging import is_closed
from readbell.hand.judging_questions import bands_seen, lines_would_be, questions, would_be
from readbell.phrases.of_bands import FAINT_COUNTS, FAINT_SHORT, OUT_OF_PLACE
from readbell.phrases.of_cartridges import OUTCOMES, say_lines, say_marks
from readbell.phrases.why_so import RIGHT_NO_MORE, WINDOW_CLOSED, why
from readbell.ui.form import MARGIN, Painted, paint_form
from readbell.ui.ink import Line, Piece, Token, at_columns, line
from readbell.ui.large_digits import large
from readbell.ui.strip import Shade, strip
from readbell.ui.track import track
from readbell.ui.wrapped import PROSE, shortened, wrapped

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.hand.question import Question
    from readbell.hand.scene import Scene
    from readbell.ui.glyphs import Glyphs

SECONDS_A_COLUMN = 10
"""The short axis of one window, finer than the board's."""
TITLES: dict[Purpose, str] = {
    Purpose.READ: "Read",
    Purpose.LOOK: "Early look at",
    Purpose.CORRECT: "Put right",
}
ROOMY = 28
SMALL = 14
"""Below so many rows the countdown stands in one row."""
LEAST = 4
LEFT = 1
"""The margin."""
LARGE_FROM = 60
"""Columns; narrower than this there are no large digits."""
TIMES_BESIDE_FROM = 72
STRIP_FROM = 40
LONGEST_REASON = 112
"""Cells of the longest outcome with its reason and who saves it; its rows are kept free."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheetful:
    """What the page is made of."""

    doing: Judging
    cartridge: Cartridge
    scene: Scene
    glyphs: Glyphs
    operator: str
    advises: bool = True
    """Whether it is told how a strip is looked at; in an examination that would be a hint."""


def strip_page(sheet: Sheetful, width: int, height: int) -> Painted:
    """Return the body of the page: everything between the alert line and the scan line.

    The countdown, the question in hand and the outcome are always there; the
    axis, the drawn strip and the guidance only where there is room for them.
    """
    head = Painted(tuple(_head(sheet, width, height)))
    longest = LONGEST_REASON + _longest_by_line(sheet.cartridge)
    kept = min(-(-longest // _column_of_text(width)), -(-height // 4))
    if height <= len(head.lines) + 1:
        kept = 0  # the key that saves says what it would save, and it is always there
    outcome = _outcome(sheet, width, kept)[:kept]
    room = max(1, height - len(head.lines) - kept)
    asked = questions(sheet.doing, sheet.cartridge)
    cursor = min(sheet.doing.cursor, len(asked) - 1)
    form = paint_form(asked, cursor, width, room)
    drawn = Painted(())
    # The strip comes before lists that are not in hand, and never before the one that is.
    for rows in (5, 2, 1):
        made = _drawn(sheet, width, rows)
        smaller = paint_form(asked, cursor, width, max(1, room - len(made)))
        fits = len(made) + len(smaller.lines) <= room and _is_whole(smaller, asked, cursor)
        if made and fits and (rows < 5 or height >= ROOMY):
            drawn, form = Painted(tuple(made)), smaller
            break
    spare = room - len(drawn.lines) - len(form.lines)
    if spare > 0:
        # In the place of a blank row: two kinds of kit stand on many benches.
        which = shortened(sheet.cartridge.assay.title, width - LEFT - 1)
        head, spare = head.then(Painted((line(" " * LEFT, Piece(which, Token.SOFT)),))), spare - 1
    gaps = [Painted((line(),)) if spare > place else Painted(()) for place in range(3)]
    page = head.then(gaps[1] if drawn.lines else Painted(())).then(drawn)
    page = page.then(gaps[0] if drawn.lines else gaps[1]).then(form).then(gaps[2])
    page = page.then(Painted(tuple(outcome)))
    said = _guidance(width, height - len(page.lines)) if sheet.advises else []
    return page.then(Painted(tuple(said))).rows(0, height).fitted(width)


def _longest_by_line(cartridge: Cartridge) -> int:
    """Return the cells of the outcomes of all lines by name, if there are several."""
    names = [each.name for each in cartridge.assay.reading.lines]
    longest = max(len(each) for each in Outcome)
    return sum(len(each) + longest + 3 for each in names) if len(names) > 1 else 0


def _is_whole(form: Painted, asked: Sequence[Question], cursor: int) -> bool:
    """Say whether every question, and every option of the one in hand, is on the form."""
    options = {(asked[cursor].key, each.value) for each in asked[cursor].options}
    found = {(each.question, each.answer) for each in form.spots}
    return options <= found and len(form.lines) >= len(asked)


def _head(sheet: Sheetful, width: int, height: int) -> list[Line]:
    """Return whose strip it is and how much time is left, in digits that are read from afar."""
    cartridge, scene = sheet.cartridge, sheet.scene
    span = window(cartridge)
    left, token, words = _time_left(sheet)
    title = TITLES[sheet.doing.purpose]
    if width < LARGE_FROM or height < SMALL:
        told = [f"{title} {cartridge.label}", f"{words} {left}".strip()]
        pieces = [Piece(f"{told[0]}   ", Token.TEXT, bold=True), Piece(told[1], token, bold=True)]
        if sum(len(each.text) for each in pieces) < width:
            return [line(" ", *pieces)]
        if height < LEAST:
            short = Piece(f"{cartridge.label} {left}", token, bold=True)
            return [line(" ", short)]
        return [line(" ", each) for each in pieces]
    rows = 5 if height >= ROOMY else 3
    digits = large(left, rows, sheet.glyphs)
    begin = 26
    said = [
        line(Piece(title, Token.TEXT, bold=True)),
        line(Piece(cartridge.label, Token.TEXT, bold=True)),
        line(Piece(words, Token.SOFT)),
    ]
    times = [] if span is None else [f"opens  {scene.face.time_from(span.opens)}"]
    if span is not None and span.closes is not None:
        times.append(f"closes {scene.face.time(span.closes)}")
    beside = width >= TIMES_BESIDE_FROM
    made = [
        at_columns(
            (1, said[row] if row < len(said) else line()),
            (begin, line(Piece(digits[row], token, bold=True))),
            (
                width - 17,
                line(Piece(times[row], Token.SOFT)) if beside and row < len(times) else line(),
            ),
            width=width,
        )
        for row in range(rows)
    ]
    if span is None:
        return made
    short_axis = track(
        cartridge,
        scene.now,
        seconds_a_column=SECONDS_A_COLUMN,
        past=width // 3,
        columns=width - 3,
        glyphs=sheet.glyphs,
    )
    made.append(line(" ", short_axis))
    if not beside:
        made.append(line(Piece(f" {'   '.join(times)}", Token.SOFT)))
    return made


def _time_left(sheet: Sheetful) -> tuple[str, Token, str]:
    span, now = window(sheet.cartridge), sheet.scene.now
    if span is None:
        return "", Token.RAIL, ""
    if sheet.doing.purpose is Purpose.LOOK:
        return _figure(span.opens - now), Token.TEXT, "opens in"
    if span.closes is None:
        return "", Token.RAIL, "no stated limit"
    if now > span.closes:
        return f"+{_figure(now - span.closes, up=False)}", Token.LOST, "closed since"
    closing = stage_at(sheet.cartridge, now) is Stage.CLOSING
    return _figure(span.closes - now), Token.SHORT if closing else Token.EYES, "closes in"


def _figure(span: int, *, up: bool = True) -> str:
    whole = -(-span // SECOND) if up else span // SECOND
    return write_span(Span(whole * SECOND))


def _drawn(sheet: Sheetful, width: int, rows: int) -> list[Line]:
    doing, cartridge = sheet.doing, sheet.cartridge
    waits = doing.purpose is Purpose.LOOK and doing.ready is None
    if doing.cannot_be_read or waits or width < STRIP_FROM:
        return []
    rules = cartridge.assay.reading
    bands = bands_seen(doing)
    shades = {each.line: Shade(each.strength) for each in bands.lines}
    control = Shade.OPEN if bands.control is None else _control(present=bands.control)
    shown = [
        (rules.control_mark, control),
        *((each.mark, shades.get(each.key, Shade.OPEN)) for each in rules.lines),
    ]
    asked = questions(doing, cartridge)
    keys = ["control", *(each.key for each in rules.lines)]
    in_hand = asked[min(doing.cursor, len(asked) - 1)].key
    chosen = keys.index(in_hand) if in_hand in keys else None
    drawn = strip(shown, chosen, sheet.glyphs, width=min(62, width - 6), rows=rows, well="drops")
    return [at_columns((3, each), width=width) for each in drawn]


def _control(*, present: bool) -> Shade:
    return Shade.CLEAR if present else Shade.ABSENT


def _outcome(sheet: Sheetful, width: int, rows: int) -> list[Line]:
    """Return what saving would record, and by which rule.

    Of several lines each is named by its analyte, or by its letter where only that has room.
    """
    doing, cartridge = sheet.doing, sheet.cartridge
    if is_closed(doing, cartridge, sheet.scene):
        said = RIGHT_NO_MORE if doing.purpose is Purpose.CORRECT else WINDOW_CLOSED
        return [_told(line(Piece(each, Token.LOST, bold=True))) for each in _wrapped(said, width)]
    outcome = would_be(doing, cartridge)
    reason = why(bands_seen(doing), outcome, is_look=doing.purpose is Purpose.LOOK)
    if not reason:
        return []
    shown = "" if outcome is None else f"{OUTCOMES[outcome]}  "
    who = f"  (by {sheet.operator})" if sheet.operator and outcome is not None else ""
    lines = lines_would_be(doing, cartridge)
    for by_line in (say_lines(lines, cartridge), say_marks(lines, cartridge)):
        told = f"{by_line}. {reason}" if by_line else reason
        first, *more = _wrapped(f"{shown}{told}{who}", width)
        if len(more) < rows:
            break
    # The word of the outcome stands out; it is never cut from its reason.
    bold = len(shown) if first.startswith(shown) else 0
    top = line(Piece(first[:bold], Token.TEXT, bold=True), Piece(first[bold:], Token.TEXT))
    return [_told(top), *(_told(line(Piece(each, Token.TEXT))) for each in more)]


def _guidance(width: int, room: int) -> list[Line]:
    """Return the guidance, whole or not at all: half a caution is none."""
    said = f"{FAINT_COUNTS} {OUT_OF_PLACE} The kit's own instructions come first."
    made = [_told(line(Piece(each, Token.SOFT))) for each in _wrapped(said, width)]
    if len(made) < room:
        return [line(), *made]
    short = [_told(line(Piece(each, Token.SOFT))) for each in _wrapped(FAINT_SHORT, width)]
    return made if len(made) == room else short if len(short) <= room else []


def _wrapped(said: str, width: int) -> list[str]:
    return wrapped(said, _column_of_text(width))


def _column_of_text(width: int) -> int:
    return max(1, min(width - MARGIN, PROSE))


def _told(made: Line) -> Line:
    return line(" " * MARGIN) + made

"""The page on which a strip is judged: the strip as answered, the questions, and the time left."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from readbell.core.cartridge.at_instant import stage_at, window
from readbell.core.cartridge.stage import Stage
from readbell.core.instant import SECOND, Span
from readbell.core.span_text import write_span
from readbell.hand.doing import Judging, Purpose
from readbell.hand.judging_questions import bands_seen, questions, would_be
from readbell.phrases.of_bands import FAINT_COUNTS, OUT_OF_PLACE
from readbell.phrases.of_cartridges import OUTCOMES
from readbell.phrases.why_so import why
from readbell.ui.form import Painted, Spot, paint_form
from readbell.ui.ink import Line, Piece, Token, at_columns, line
from readbell.ui.large_digits import large
from readbell.ui.strip import Shade, strip
from readbell.ui.track import track
from readbell.ui.wrapped import wrapped

if TYPE_CHECKING:
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.hand.scene import Scene
    from readbell.ui.glyphs import Glyphs

SECONDS_A_COLUMN = 10
"""The short axis of one window, finer than the board's."""
TITLES: dict[Purpose, str] = {
    Purpose.READ: "Read",
    Purpose.LOOK: "Early look at",
    Purpose.CORRECT: "Correct the reading of",
}
CLOSED = "The window has closed. Saving keeps what was seen as a late look, not a result. Repeat."
ROOMY = 32


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheetful:
    """What the page is made of."""

    doing: Judging
    cartridge: Cartridge
    scene: Scene
    glyphs: Glyphs
    operator: str


def strip_page(sheet: Sheetful, width: int, height: int) -> Painted:
    """Return the body of the page: everything between the alert line and the scan line."""
    roomy = height >= ROOMY
    lines = list(_head(sheet, width, 5 if roomy else 3))
    if roomy:
        lines.append(line())
    lines += _drawn(sheet, width, 5 if roomy else 2)
    if roomy:
        lines.append(line())
    asked = questions(sheet.doing, sheet.cartridge)
    form = paint_form(asked, min(sheet.doing.cursor, len(asked) - 1), width)
    spots = tuple(replace(each, row=each.row + len(lines)) for each in form.spots)
    lines += form.lines
    lines += _outcome(sheet, width)
    lines += _guidance(width, height - len(lines))
    return Painted(tuple(each.fitted(width) for each in lines[:height]), _within(spots, height))


def _within(spots: tuple[Spot, ...], height: int) -> tuple[Spot, ...]:
    return tuple(each for each in spots if each.row < height)


def _head(sheet: Sheetful, width: int, rows: int) -> list[Line]:
    """Return whose strip it is and how much time is left, in digits that are read from afar."""
    cartridge, scene = sheet.cartridge, sheet.scene
    span = window(cartridge)
    left, token, words = _time_left(sheet)
    digits = large(left, rows, sheet.glyphs)
    begin = 26 if width >= 100 else 20
    said = [
        line(Piece(TITLES[sheet.doing.purpose], Token.TEXT, bold=True)),
        line(Piece(cartridge.label, Token.TEXT, bold=True)),
        line(Piece(words, Token.SOFT)),
    ]
    made = [
        at_columns(
            (1, said[row] if row < len(said) else line()),
            (begin, line(Piece(digits[row], token, bold=True))),
            width=width,
        )
        for row in range(rows)
    ]
    if span is None:
        return made
    closes = "" if span.closes is None else f"   closes {scene.face.time(span.closes)}"
    short_axis = track(
        cartridge,
        scene.now,
        seconds_a_column=SECONDS_A_COLUMN,
        past=width // 3,
        columns=width - 3,
        glyphs=sheet.glyphs,
    )
    made.append(line(" ", short_axis))
    made.append(line(Piece(f" opens {scene.face.time_from(span.opens)}{closes}", Token.SOFT)))
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
    if doing.cannot_be_read or (doing.purpose is Purpose.LOOK and doing.ready is None):
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


def _outcome(sheet: Sheetful, width: int) -> list[Line]:
    """Return what saving would record, and by which rule."""
    doing, cartridge = sheet.doing, sheet.cartridge
    if doing.purpose is Purpose.READ and stage_at(cartridge, sheet.scene.now) is Stage.LAPSED:
        return [line(), at_columns((3, line(Piece(CLOSED, Token.LOST, bold=True))), width=width)]
    outcome = would_be(doing, cartridge)
    reason = why(bands_seen(doing), outcome, is_look=doing.purpose is Purpose.LOOK)
    if not reason:
        return [line()]
    shown = "" if outcome is None else f"{OUTCOMES[outcome]}  "
    who = f"   by {sheet.operator}" if sheet.operator else ""
    return [
        line(),
        at_columns(
            (3, line(Piece(shown, Token.TEXT, bold=True), Piece(f"{reason}{who}", Token.TEXT))),
            width=width,
        ),
    ]


def _guidance(width: int, room: int) -> list[Line]:
    said = f"{FAINT_COUNTS} {OUT_OF_PLACE} The kit's own instructions come first."
    made = [
        at_columns((3, line(Piece(each, Token.SOFT))), width=width)
        for each in wrapped(said, width - 6)
    ]
    return [line(), *made][: max(0, room)]

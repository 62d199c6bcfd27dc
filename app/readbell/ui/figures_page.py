"""The page of all the figures: one table with its picture beside it, below it, or in its place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.figures.view import DRAWN, DRAWN_BY_ROW, Asked, CountFailed, Sheet
from readbell.phrases.view_words import HIDDEN, NAMES, NO_PICTURE, say_state, say_view
from readbell.ui.form import Painted, Spot
from readbell.ui.ink import Line, Piece, Token, at_columns, line
from readbell.ui.tabs import tabs
from readbell.ui.wrapped import wrapped

if TYPE_CHECKING:
    from readbell.bay.figures_beside import Seen
    from readbell.core.figures.view import Answered
    from readbell.hand.doing import Figuring
    from readbell.hand.scene import Scene
    from readbell.ui.glyphs import Glyphs

MARGIN = 3
BESIDE_FROM = 118
"""Columns from which the picture stands beside the table."""
TABLE_WIDE, WIDER = 72, 96
"""Columns of the table then."""
WIDER_FROM = 160
BELOW_FROM = 26
"""Rows from which it stands below it, where it does not stand beside it."""
HIGHEST = 20
HIGHEST_ALONE = 30
WIDEST = 110
ROWS_OF_NOTES = 4
MORE = "more rows: Down, PgDn"


def figures_page(
    doing: Figuring, scene: Scene, glyphs: Glyphs, width: int, height: int, *, masked: bool
) -> Painted:
    """Return the page, at most `height` rows; `masked` hides all that was counted."""
    wanted = say_view(doing.sheet, doing.by, doing.stretch, "")
    top = Painted((_title(wanted, width),)).then(_sheets(doing.sheet, width))
    figures = scene.figures
    if figures is None:
        return top.rows(0, height)
    if masked:
        hidden = line(" " * MARGIN, Piece(HIDDEN, Token.SOFT))
        return top.then(Painted((hidden,))).rows(0, height)
    room = max(1, height - len(top.lines) - 1)
    asked = _asked(doing, figures.last, glyphs, width, room)
    seen = figures.ask(asked)
    answered = seen.answered
    if answered is None or answered.asked.sheet is not doing.sheet:
        words = wrapped(say_state(seen.state), max(1, width - MARGIN - 1))
        state = Painted(tuple(line(" " * MARGIN, Piece(each, Token.SOFT)) for each in words))
        return top.then(Painted((line(),))).then(state).rows(0, height)
    of = answered.asked  # of something newer there is nothing to see yet
    shown = say_view(of.sheet, of.by, of.stretch, answered.as_of)
    top = Painted((_title(shown, width),)).then(top.rows(1, len(top.lines)))
    top = top.then(Painted((_state_line(seen, asked),)))
    return top.then(_body(doing, answered, asked, width, room)).rows(0, height)


def _asked(doing: Figuring, last: Seen, glyphs: Glyphs, width: int, room: int) -> Asked:
    """Return what is to be asked for, to fit into so much room."""
    wide, picture = max(1, width - MARGIN - 1), None
    if doing.sheet in DRAWN:
        if doing.draws:
            picture = (min(WIDEST, wide), min(HIGHEST_ALONE, room))
        elif width >= BESIDE_FROM:
            wide = _beside_wide(width)
            picture = (min(WIDEST, width - MARGIN - wide - MARGIN - 1), min(HIGHEST, room))
        elif room >= BELOW_FROM:
            picture = (min(WIDEST, wide), min(HIGHEST, room // 2))
    chosen = None
    if doing.sheet in DRAWN_BY_ROW and last.answered is not None:
        rows = last.answered.rows
        if last.answered.asked.sheet is doing.sheet and doing.row < len(rows):
            chosen = rows[doing.row][0]
    return Asked(
        sheet=doing.sheet,
        by=doing.by,
        stretch=doing.stretch,
        wide=wide,
        picture=picture,
        plain_signs=glyphs.rule.isascii(),
        chosen=chosen,
        round=doing.round,
    )


def _body(doing: Figuring, answered: Answered, asked: Asked, width: int, room: int) -> Painted:
    drawn = tuple(line(Piece(each, Token.TEXT)) for each in answered.picture)
    shifted = tuple(line(" " * MARGIN) + each for each in drawn)
    if doing.draws and asked.picture is not None:
        return Painted(shifted or (line(" " * MARGIN, Piece(NO_PICTURE, Token.SOFT)),))
    if asked.picture is None or not drawn:
        return _table(doing, answered, width, room)
    if width >= BESIDE_FROM:
        table = _table(doing, answered, _beside_wide(width) + MARGIN, room)
        return _beside(table, drawn, width)
    table = _table(doing, answered, width, room - len(shifted) - 1)
    return table.then(Painted((line(), *shifted)))


def _beside_wide(width: int) -> int:
    return WIDER if width >= WIDER_FROM else TABLE_WIDE


def _beside(table: Painted, drawn: tuple[Line, ...], width: int) -> Painted:
    column = _beside_wide(width) + 2 * MARGIN
    rows = max(len(table.lines), len(drawn))
    blank = line()
    left = (*table.lines, *[blank] * (rows - len(table.lines)))
    right = (*drawn, *[blank] * (rows - len(drawn)))
    made = (
        at_columns((0, one), (column, other), width=width)
        for one, other in zip(left, right, strict=True)
    )
    return Painted(tuple(made), table.spots)


def _table(doing: Figuring, answered: Answered, width: int, room: int) -> Painted:
    """Return the rows in sight, the chosen one always among them, and what is to be known of them."""
    notes = [
        line(" " * MARGIN, Piece(each, Token.SOFT))
        for words in answered.notes
        for each in wrapped(words, max(1, width - MARGIN - 1))
    ]
    rows = answered.rows
    place = min(doing.row, max(0, len(rows) - 1))
    head = [line(" " * MARGIN, Piece(answered.head, Token.SOFT))] if rows else []
    kept = min(len(notes), max(0, room - len(head) - len(rows)), room // 2)
    kept = max(kept, min(len(notes), ROWS_OF_NOTES if room >= 4 * ROWS_OF_NOTES else 1))
    fits = max(1, room - len(head) - kept)
    more = len(rows) > fits
    fits = max(1, fits - more)
    first = min(max(0, place - fits + 1), max(0, len(rows) - fits))
    painted = Painted(tuple(head))
    for number, (key, text) in enumerate(rows[first : first + fits], start=first):
        here = number == place
        mark = Piece(" > " if here else "   ", Token.TEXT, bold=here)
        made = line(mark, Piece(text, Token.TEXT, bold=here))
        painted = painted.then(Painted((made,), (Spot(0, 0, width, "row", key),)))
    if more:
        words = f"{first + 1} to {first + min(fits, len(rows))} of {len(rows):,}   {MORE}"
        painted = painted.then(Painted((line(" " * MARGIN, Piece(words, Token.SOFT)),)))
    return painted.then(Painted(tuple(notes[:kept])))


def _title(words: str, width: int) -> Line:
    return line(" ", Piece(words, Token.TEXT, bold=True)).fitted(width)


def _sheets(sheet: Sheet, width: int) -> Painted:
    names: dict[str, str] = {
        each: f"[{NAMES[each]}]" if each is sheet else NAMES[each] for each in Sheet
    }
    return tabs(names, sheet, width, "sheet", before="< ", behind=" >")


def _state_line(seen: Seen, asked: Asked) -> Line:
    """Return how far something newer is, or a blank row."""
    is_newest = seen.answered is not None and _same_days(seen.answered.asked, asked)
    if seen.state is None and is_newest:
        return line()
    token = Token.TEXT if isinstance(seen.state, CountFailed) else Token.SOFT
    return line(" " * MARGIN, Piece(say_state(seen.state), token))


def _same_days(one: Asked, other: Asked) -> bool:
    """Say whether both are about the same counts: then what stands there holds."""
    return (one.stretch, one.round, one.by, one.sheet) == (
        other.stretch,
        other.round,
        other.by,
        other.sheet,
    )

"""Signs and keys on one page, with the cautions."""

from __future__ import annotations

from itertools import zip_longest
from typing import TYPE_CHECKING

from readbell.ui.ink import Line, Piece, Token, at_columns, line
from readbell.ui.wrapped import wrapped

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.ui.glyphs import Glyphs

TWO_COLUMNS_FROM = 150

SIGNS = (
    ("!!", "CLOSING: the window ends soon. Read it now."),
    ("! ", "READ NOW: the window is open."),
    (">>", "OVERDUE: a wait went on too long."),
    ("> ", "WAIT OVER, drops due, step due: the hands go on."),
    ("x ", "LAPSED: the window closed unread. Repeat."),
    ("@A", "Its clock runs at station A, out of reach from here: work on it there."),
    ("e ", "An early look may show a positive; e+ one was seen. A negative means nothing yet."),
)
KEYS = (
    ("Scan", "a cartridge: its next act. A person, a box, a badge: that."),
    ("F2", "Start: enter who is here, in order; F2 again when all are."),
    ("F3", "Step done. Or scan the cartridge again. F6 first: it was done earlier."),
    ("F4", "Early look. F5 Read; in the form: save. Nothing is answered for you."),
    ("F6", "The page's second thing: a step was not done after all, earlier, cannot be read."),
    ("F8", "Heard: the sound of that one rests a while. Its sign stays."),
    ("F9", "Rooms: lots, operators, assays, sound, results; of a shared bay also its stations."),
    ("F12", "Void: scan the very thing and say why. Of whoever waits: they have gone."),
    ("Up Down", "choose a row, or an answer. Right opens, again: its story. Esc goes back."),
    ("Ctrl+Q", "Leave: shows what runs, and asks."),
)
STEERING = (
    ("F7", "the clock goes on, or stands still; 4 and F7: four times as fast."),
    ("F10", "what was typed answers whoever broke in; nothing typed: noted."),
    ("F11", "leaps to the next thing that happens; or + and F7."),
)
CAUTIONS = (
    "The kit's own instructions for use come first; local rules and licensed practice go before this.",
    "Gloves, and what else your site asks for. Swabs, tubes and cartridges are infectious waste.",
    "A negative does not exclude infection.",
)


def help_page(
    width: int, height: int, glyphs: Glyphs, page: int = 0, *, rehearses: bool = False
) -> tuple[Line, ...]:
    """Return one page of it; after the last comes the first again.

    Where somebody `rehearses` the keys that steer the clock come first: no board at work has them.
    """
    bars = (
        (glyphs.dead, "applied, too early to look"),
        (glyphs.early, "an early look may show a positive"),
        (glyphs.window, "the read window; hands at work"),
        (glyphs.closing, "the end of it: read now"),
        (glyphs.now, "now: everything slides towards it"),
    )
    half = width // 2 - 2 if width >= TWO_COLUMNS_FROM else width - 2
    keys = _part("In a rehearsal alone", STEERING, 9, half) if rehearses else []
    keys += _part("Keys", KEYS, 9, half)
    signs = [*_part("Signs", SIGNS, 4, half), *_part("On the axis", bars, 4, half)]
    made = [*keys, *signs]
    if width >= TWO_COLUMNS_FROM:
        pairs = zip_longest(keys, signs, fillvalue=line())
        made = [at_columns((0, a), (half + 2, b), width=width) for a, b in pairs]
    made += [
        line(Piece(each, Token.SOFT)) for said in CAUTIONS for each in wrapped(said, width - 2)
    ]
    if len(made) > height:
        made = _turned_to(page, made, max(1, height - 1))
    return tuple(at_columns((1, each), width=width) for each in made[:height])


def _turned_to(page: int, lines: list[Line], rows: int) -> list[Line]:
    """Return the lines of that page, and in the last row which one it is."""
    pages = -(-len(lines) // rows)
    here = page % pages
    shown = lines[here * rows : (here + 1) * rows]
    shown += [line()] * (rows - len(shown))
    return [*shown, line(Piece(f"{here + 1} of {pages}   Down: next", Token.TEXT, bold=True))]


def _part(title: str, pairs: Sequence[tuple[str, str]], column: int, width: int) -> list[Line]:
    made = [line(Piece(title, Token.TEXT, bold=True))]
    for sign, words in pairs:
        for place, said in enumerate(wrapped(words, max(8, width - column))):
            shown = sign if place == 0 else ""
            made.append(
                line(
                    Piece(f"{shown:<{column}}", Token.TEXT, bold=True),
                    Piece(said, Token.SOFT),
                )
            )
    return made

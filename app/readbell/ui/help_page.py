"""Signs and keys on one page, with the cautions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.ui.ink import Line, Piece, Token, at_columns, line

if TYPE_CHECKING:
    from readbell.ui.glyphs import Glyphs

SIGNS = (
    ("!!", "CLOSING: the window ends within two minutes. Read it now."),
    ("! ", "READ NOW: the window is open."),
    (">>", "OVERDUE: a wait went on too long."),
    ("> ", "WAIT OVER: the next step is due."),
    ("x ", "LAPSED: the window closed unread. Repeat."),
    ("e ", "An early look may show a positive; e+ one was seen. A negative means nothing yet."),
)
KEYS = (
    ("Scan", "a cartridge: its next act. A person, a box, a badge: that."),
    ("F2", "Start: enter who is here, in order; F2 again when all are."),
    ("F3", "Step done. Or scan the cartridge again. F6 first: it was done earlier."),
    ("F4", "Early look. F5 Read; in the form: save. Nothing is answered for you."),
    ("F6", "The page's second thing: take back, earlier, cannot be read."),
    ("F8", "Heard: the sound of that one rests a while. Its sign stays."),
    ("F9", "Rooms: lots, people, assays, sound, today."),
    ("F12", "Void: scan the very thing and say why."),
    ("Up Down", "choose a row, or an answer. Right opens, Esc goes back."),
    ("Ctrl+Q", "Leave: shows what runs, and asks."),
)
CAUTIONS = (
    "The kit's own instructions for use come first; local rules and licensed practice go before this.",
    "Gloves, and what else your site asks for. Swabs, tubes and cartridges are infectious waste.",
    "A negative does not exclude infection.",
)


def help_page(width: int, height: int, glyphs: Glyphs) -> tuple[Line, ...]:
    """Return the page, cut to `height` rows from below; the signs come first."""
    bars = (
        (glyphs.dead, "applied, too early to look"),
        (glyphs.early, "an early look may show a positive"),
        (glyphs.window, "the read window; hands at work"),
        (glyphs.closing, "its last two minutes"),
        (glyphs.now, "now: everything slides towards it"),
    )
    two = width >= 110
    left = [_title("Signs"), *(_pair(sign, words, 4) for sign, words in SIGNS)]
    left += [_title("On the axis"), *(_pair(mark, words, 4) for mark, words in bars)]
    right = [_title("Keys"), *(_pair(key, words, 9) for key, words in KEYS)]
    half = width // 2
    if two:
        rows = max(len(left), len(right))
        left += [line()] * (rows - len(left))
        right += [line()] * (rows - len(right))
        made = [
            at_columns((1, a), (half, b), width=width) for a, b in zip(left, right, strict=True)
        ]
    else:
        made = [at_columns((1, each), width=width) for each in (*right, *left)]
    made += [at_columns((1, line(Piece(each, Token.SOFT))), width=width) for each in CAUTIONS]
    return tuple(made[:height])


def _title(words: str) -> Line:
    return line(Piece(words, Token.TEXT, bold=True))


def _pair(sign: str, words: str, width: int) -> Line:
    return line(Piece(f"{sign:<{width}}", Token.TEXT, bold=True), Piece(words, Token.SOFT))

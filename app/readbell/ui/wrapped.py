"""Sentences broken into lines by words, measured in cells."""

from __future__ import annotations

from rich.cells import cell_len, set_cell_size

from readbell.ui.ink import clean

MORE = " .."
PROSE = 110
"""Cells of the longest line of running text: a longer one is hard to follow back (our own choice)."""


def wrapped(words: str, width: int) -> list[str]:
    """Return `words` in lines of at most `width` cells; a word longer than a line is broken."""
    lines: list[str] = []
    current = ""
    for word in clean(words).split(" "):
        joined = f"{current} {word}" if current else word
        if cell_len(joined) <= width:
            current = joined
            continue
        if current:
            lines.append(current)
        *whole, current = _broken(word, width)
        lines.extend(whole)
    return [*lines, current] if current else lines


def shortened(words: str, width: int) -> str:
    """Return as many whole words as fit into `width` cells, dots if some are left out."""
    if cell_len(words) <= width:
        return words
    room = width - len(MORE)
    first = next(iter(wrapped(words, room)), "") if room > 1 else ""
    return first + MORE if first and words.startswith(first + " ") else ""


def _broken(word: str, width: int) -> list[str]:
    pieces = []
    while cell_len(word) > width > 1:
        piece = set_cell_size(word, width).rstrip(" ")
        pieces.append(piece)
        word = word[len(piece) :]
    return [*pieces, word]

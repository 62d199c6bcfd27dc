"""A QR code as modules, and as blocks of text that a scanner reads off a terminal."""

from __future__ import annotations

import segno

QUIET = 4
"""Modules of empty ground around a code: ISO/IEC 18004 asks for four (from memory)."""
# Upper half dark, lower half dark: the sign that lights the other half or both.
_LIT = {(True, True): " ", (True, False): "▄", (False, True): "▀", (False, False): "█"}
_INKED = {(True, True): "█", (True, False): "▀", (False, True): "▄", (False, False): " "}


def modules_of(text: str) -> tuple[tuple[bool, ...], ...]:
    """Return the QR code of `text`, row by row with its quiet ground; True is dark.

    Error correction M, so that it is read with a drop of buffer on it.
    """
    code = segno.make_qr(text, error="m", boost_error=False)
    return tuple(tuple(map(bool, row)) for row in code.matrix_iter(border=QUIET))


def as_blocks(text: str, *, light_ground: bool = False, plain: bool = False) -> tuple[str, ...]:
    """Return the QR code of `text` as lines of a terminal.

    Args:
        text: what a scanner reads back.
        light_ground: the terminal writes dark on light, so the dark modules are inked.
        plain: draw with # and blanks alone: a module is two signs wide and a line high.
    """
    rows = modules_of(text)
    if plain:
        return tuple(
            "".join("##" if dark is light_ground else "  " for dark in row) for row in rows
        )
    signs = _INKED if light_ground else _LIT
    # The row after the last is ground, as what lies around the code.
    below = (*rows[1::2], (False,) * len(rows[0]))
    return tuple(
        "".join(signs[pair] for pair in zip(upper, lower, strict=True))
        for upper, lower in zip(rows[::2], below, strict=False)
    )

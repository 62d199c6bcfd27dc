"""What somebody gave is said back to them: signs that nobody sees are spelt out, and no code gets out."""

from __future__ import annotations


def spelt_out(words: str) -> str:
    """Return `words` with each sign that would move a cursor, ring or turn letters round spelt out."""
    if words.isprintable():
        return words
    return "".join(
        sign if sign.isprintable() or sign == "\n" else sign.encode("unicode_escape").decode()
        for sign in words
    )

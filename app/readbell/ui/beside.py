"""What stands beside the call: the other calls, what was lost, and what falls due next."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.cells import cell_len

from readbell.core.board.to_repeat import lately_lapsed
from readbell.phrases.board_words import (
    SIGNS,
    WORDS,
    Where,
    write_until,
)
from readbell.ui.at_rest import at_rest
from readbell.ui.ink import Line, Piece, Token, at_columns, line
from readbell.ui.row import ink_of
from readbell.ui.wrapped import shortened

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.ui.standings import At

_TOLD = (Where.LAPSED, Where.OVERDUE, Where.WAIT_OVER, Where.UNSURE)
"""Told here one kind a line; what is to be read is the call itself and its count."""

ROOMY = 24
"""From so many columns on a blank stands after the sign."""

_TO_READ = (Where.CLOSING, Where.READ_NOW)

_COMING: dict[Where, str] = {
    Where.WAITING: "wait over",
    Where.DEVELOPING: "opens",
    Where.EARLY_LOOK: "opens",
    Where.DO_WITHIN: "to be done",
}


def beside(
    board: Board, found: Sequence[At], now: Instant, rows: int, width: int, top: At | None
) -> list[Line]:
    """Return at most `rows` lines of `width` cells, the gravest first."""
    rest = [each for each in found if top is None or each.cartridge.id != top.cartridge.id]
    lapsed = [*lately_lapsed(at_rest(board).owed, now)]
    lines = [*_calls(rest, lapsed, width, top), *_coming(rest, now, width, rows)]
    return lines[:rows]


def _calls(
    rest: Sequence[At], lapsed: Sequence[Cartridge], width: int, top: At | None
) -> Iterator[Line]:
    for where in _TOLD:
        cartridges = [each.cartridge for each in rest if each.stands.where is where]
        if where is Where.LAPSED:
            cartridges = [*lapsed, *cartridges]
        if cartridges:
            yield _kind(where, cartridges, width)
    if top is not None and top.stands.where not in _TO_READ:
        yield from _to_read(rest, width)


def _to_read(rest: Sequence[At], width: int) -> Iterator[Line]:
    """Yield the readings as a line of their own, where the call itself is no reading."""
    for where in _TO_READ:
        cartridges = [each.cartridge for each in rest if each.stands.where is where]
        if cartridges:
            yield _kind(where, cartridges, width)


def _kind(where: Where, cartridges: Sequence[Cartridge], width: int) -> Line:
    """Return one line for all of a kind: the one with what to do, or the many by their tags."""
    ink = ink_of(where, flash=True)
    sign, word = _padded(SIGNS[where], width), WORDS[where]
    word = word.lower() if where in _TOLD else word
    if len(cartridges) == 1:
        (only,) = cartridges
        said, what = f"{only.label} {word}", _what_to_do(where, only)
    else:
        said = f"{len(cartridges)} {word}"
        what = tags_that_fit(cartridges, width - len(sign) - cell_len(said) - 2)
    return _entry(sign, said, what, width, ink.words, bold=True)


def tags_that_fit(cartridges: Sequence[Cartridge], width: int) -> str:
    """Return as many tags as fit; dots say that there are more."""
    shown: list[str] = []
    for place, each in enumerate(cartridges):
        more = " .." if place + 1 < len(cartridges) else ""
        if cell_len(" ".join([*shown, each.label]) + more) > width:
            return " ".join([*shown, ".."]) if shown else ""
        shown.append(each.label)
    return " ".join(shown)


def _coming(rest: Sequence[At], now: Instant, width: int, rows: int) -> Iterator[Line]:
    dated = [
        (each.stands.due, each)
        for each in rest
        if each.stands.where in _COMING and each.stands.due is not None
    ]
    for due, each in sorted(dated, key=lambda entry: (entry[0], entry[1].cartridge.ordinal))[:rows]:
        said = f"{each.cartridge.label} {_COMING[each.stands.where]}"
        yield _entry(
            _padded("  ", width), said, f"in {write_until(due, now)}", width, Token.SOFT, bold=False
        )


def _what_to_do(where: Where, cartridge: Cartridge) -> str:
    step = cartridge.next_step
    if where is Where.LAPSED:
        return "repeat"
    if where is Where.UNSURE:
        return "say when"
    return "" if step is None else step.title


def _padded(sign: str, width: int) -> str:
    """Return the sign, parted from what follows where there is room for a blank."""
    return f"{sign} " if width >= ROOMY else sign


def _entry(sign: str, said: str, what: str, width: int, token: Token, *, bold: bool) -> Line:
    """Return sign, words at the left and what to do at the right, which is cut before the words."""
    space = width - len(sign) - cell_len(said) - 2
    figure = what.removeprefix("in ")
    shown = figure if cell_len(what) > space >= cell_len(figure) else shortened(what, space)
    return at_columns(
        (0, line(Piece(f"{sign}{said}", token, bold=bold))),
        (max(0, width - cell_len(shown)), line(Piece(shown, token, bold=bold))),
        width=width,
    )

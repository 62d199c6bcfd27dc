"""What stands beside the call: the other calls, what was lost, and what falls due next."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.cells import cell_len

from readbell.core.board.to_repeat import lately_lapsed
from readbell.phrases.board_words import SIGNS, WHERE_NAMED, WORDS, Where
from readbell.ui.at_rest import at_rest
from readbell.ui.ink import Line, Piece, Token, at_columns, line
from readbell.ui.row import ink_of
from readbell.ui.standings import At
from readbell.ui.wrapped import shortened

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.ui.standings import AllStanding

_TOLD = (Where.LAPSED, Where.OVERDUE, Where.WAIT_OVER, Where.UNSURE, Where.STEP_DUE)
"""Told here one kind a line."""
TO_READ = (Where.CLOSING, Where.READ_NOW)

ROOMY = 24
"""From so many columns on a blank stands after the sign."""
FEW_ROWS = 3
"""Up to so many rows all that is to be read is told in one line."""

_COMING: dict[Where, str] = {
    Where.WAITING: "wait ends",  # "wait over 0:08", where "in" has no room, would say that it ended
    Where.DEVELOPING: "opens",
    Where.EARLY_LOOK: "opens",
    Where.DO_WITHIN: "to be done",
}


def beside(
    board: Board,
    found: AllStanding,
    now: Instant,
    rows: int,
    width: int,
    top: At | None,
    *,
    owed: Sequence[str] = (),
    elsewhere: Sequence[At] = (),
) -> list[Line]:
    """Return at most `rows` lines of `width` cells: first what can still be lost.

    Args:
        board: the board.
        found: where each running cartridge stands.
        now: the instant.
        rows: how many lines there may be.
        width: how wide they are.
        top: what the call itself is about.
        owed: who is owed a repeat, as they are to be shown.
        elsewhere: what calls at stations out of reach, beside all that is `found`.
    """
    lapsed = [At.of(each, now) for each in lately_lapsed(at_rest(board).owed, now)]
    lines = [*_calls(found, lapsed, width, top, rows)]
    if elsewhere:
        lines.append(_elsewhere(elsewhere, width))
    if len(owed) > len(lapsed):
        # Those that lapsed lately have a line already; not all that is owed has lapsed.
        lines.append(_repeats(owed, width))
    lines += _coming(found, now, width, rows, top)
    return lines[:rows]


def _calls(
    found: AllStanding, lapsed: Sequence[At], width: int, top: At | None, rows: int
) -> Iterator[Line]:
    where = None if top is None else top.stands.where
    if where not in TO_READ or rows <= FEW_ROWS:
        yield from _to_read(found, width, rows, top)
    # The others of the kind that is called are not told by the call itself.
    for kind in sorted(_TOLD, key=lambda each: each is not where):
        members = _but(found.of(kind), top)
        if kind is Where.LAPSED:
            members = [*lapsed, *members]
        if members:
            yield _kind(kind, members, width)


def _but(members: Sequence[At], top: At | None) -> list[At]:
    """Return `members` without the one that the call itself is about."""
    return [each for each in members if each is not top]


def _to_read(found: AllStanding, width: int, rows: int, top: At | None) -> Iterator[Line]:
    """Yield the readings; with few rows in one line, so that nothing else is pushed out."""
    kinds = [_but(found.of(where), top) for where in TO_READ]
    if rows <= FEW_ROWS and all(kinds):
        both = [each for kind in kinds for each in kind]
        yield _kind(both[0].stands.where, both, width, word="to read")
        return
    for where, members in zip(TO_READ, kinds, strict=True):
        if members:
            yield _kind(where, members, width)


def _kind(where: Where, members: Sequence[At], width: int, *, word: str = "") -> Line:
    """Return one line for all of a kind: the one with what to do, or the many by their tags."""
    ink = ink_of(where, flash=True)
    sign = _padded(SIGNS[where], width)
    cartridges = [each.cartridge for each in members]
    if len(members) == 1:
        (only,) = members
        shown = word or (only.stands.word if where is Where.STEP_DUE else WORDS[where])
        said, what = f"{only.cartridge.label} {_cased(shown, where)}", _what_to_do(where, only)
    else:
        said = f"{len(members)} {_cased(word or WORDS[where], where)}"
        what = tags_that_fit(cartridges, width - len(sign) - cell_len(said) - 2)
    return _entry(sign, said, what, width, ink.words, bold=ink.bold)


def _cased(word: str, where: Where) -> str:
    return word.lower() if where in _TOLD else word


def _elsewhere(members: Sequence[At], width: int) -> Line:
    """Return one line for all that calls where nobody here can go on with it."""
    sign, said = _padded(SIGNS[members[0].stands.where], width), f"{len(members)} elsewhere"
    cartridges = [each.cartridge for each in members]
    what = tags_that_fit(cartridges, width - len(sign) - cell_len(said) - 2)
    return _entry(sign, said, what, width, Token.SOFT, bold=False)


def _repeats(owed: Sequence[str], width: int) -> Line:
    """Return who is owed a fresh cartridge: the first of them by name, or where their names are."""
    sign, said = _padded(SIGNS[Where.LAPSED], width), f"{len(owed)} to repeat"
    named = [each for each in owed if each] or [WHERE_NAMED]
    what = names_that_fit(named, width - len(sign) - cell_len(said) - 2)
    return _entry(sign, said, what, width, Token.TEXT, bold=False)


def tags_that_fit(cartridges: Sequence[Cartridge], width: int) -> str:
    """Return as many tags as fit; dots say that there are more."""
    return names_that_fit([each.label for each in cartridges], width)


def names_that_fit(names: Sequence[str], width: int) -> str:
    """Return as many names as fit; dots say that there are more."""
    shown: list[str] = []
    for place, each in enumerate(names):
        more = " .." if place + 1 < len(names) else ""
        if cell_len(" ".join([*shown, each]) + more) > width:
            return " ".join([*shown, ".."]) if shown else ""
        shown.append(each)
    return " ".join(shown)


def _coming(
    found: AllStanding, now: Instant, width: int, rows: int, top: At | None
) -> Iterator[Line]:
    for each in _but(found.coming[: rows + 1], top)[:rows]:
        said = f"{each.cartridge.label} {_COMING[each.stands.where]}"
        left = f"in {each.stands.figure(now)}"
        yield _entry(_padded("  ", width), said, left, width, Token.SOFT, bold=False)


def _what_to_do(where: Where, only: At) -> str:
    step = only.cartridge.next_step
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

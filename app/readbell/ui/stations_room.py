"""The room of the stations as a table: what waits for a person on top, then who works here."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.hand.stations_room import APART, STATION, is_held, may_be_given_up, row_of
from readbell.hand.stations_room import things as things_here
from readbell.phrases.apart_words import say_what_it_said
from readbell.phrases.around_words import (
    ALONE,
    NOT_SHARED,
    say_alone_page,
    say_giving_up_key,
    say_what_to_do,
    tell_mirror,
    tell_twin,
)
from readbell.phrases.station_words import say_apart
from readbell.ui.form import Painted
from readbell.ui.ink import Line, Piece, Token, line
from readbell.ui.table import table
from readbell.ui.wrapped import PROSE, wrapped

if TYPE_CHECKING:
    from readbell.hand.doing import Visiting
    from readbell.hand.scene import Scene
    from readbell.ui.table import Row

BELOW = 6
"""Rows that what is to be said of the chosen one takes at most."""
WIDE_FROM = 100


def stations_room(
    doing: Visiting, scene: Scene, width: int, height: int, *, masked: bool = False
) -> Painted:
    """Return who works here, and what is kept apart; below it what can be done about the chosen.

    What it said is `masked` while nobody is there to look at it.
    """
    around, board = scene.around, scene.board
    if around is None:
        return Painted(tuple(_told(NOT_SHARED, width, Token.SOFT)))
    above: tuple[Line, ...] = ()
    if around.alone is not None:
        alone = around.alone
        words = say_alone_page(
            alone.since,
            scene.now,
            scene.face,
            joins=alone.is_joining,
            fault=alone.fault,
            refused=alone.refused,
        )
        above = tuple(_told(words, width, Token.HANDS))
    elif around.has_twin:
        above = tuple(_told(tell_twin(around.station), width, Token.HANDS))
    above += tuple(_told(tell_mirror(around.mirror_ailment), width, Token.HANDS))
    at = (3, 20, 26, 48, 70) if width >= WIDE_FROM else (3, 18, 23, 44, 68)
    head: Row = ("", tuple(zip(at, ("station", "mark", "state", "hears", "holds"), strict=True)))
    rows: list[Row] = []
    for option in things_here(scene):
        if option.value.startswith(APART):
            said = say_apart(board.apart[option.words], board)
            rows.append((option.value, ((at[0], f"KEPT APART  {said}"),)))
        else:
            words_of = row_of(option.words, scene, around)
            rows.append((option.value, tuple(zip(at, words_of, strict=True))))
    if not rows:
        return Painted(above)
    chosen = rows[min(doing.cursor, len(rows) - 1)][0]
    below = [line(), *_told(_of(chosen, scene, masked=masked), width, Token.TEXT)]
    shown = below[: max(0, min(BELOW, height - len(above) - 2))]
    made = table(head, rows, doing.cursor, width, max(2, height - len(above) - len(shown)))
    return Painted(above).then(made).then(Painted(tuple(shown)))


def _of(thing: str, scene: Scene, *, masked: bool) -> str:
    """Return what is to be known of the chosen one, and what its keys do."""
    board = scene.board
    if thing.startswith(APART):
        event = board.apart[thing.removeprefix(APART)]
        said = say_apart(event, board)
        what = "" if masked else f" {say_what_it_said(event, board, scene.face)}"
        todo = say_what_to_do(is_held=is_held(event, board))
        return f"{said[0].upper()}{said[1:]}.{what} {todo}"
    name = thing.removeprefix(STATION)
    return say_giving_up_key(name) if may_be_given_up(scene, name) else ""


def _told(words: str, width: int, token: Token) -> list[Line]:
    if not words:
        return []
    bold = words.startswith(ALONE)
    return [
        line("  ", Piece(each, token, bold=bold))
        for each in wrapped(words, max(1, min(width - 4, PROSE)))
    ]

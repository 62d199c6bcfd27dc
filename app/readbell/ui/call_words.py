"""The words of the call: whose it is, what is to be done, and at which clock time."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.attention import NEVER, last_moment
from readbell.phrases.board_words import SIGNS, Where
from readbell.ui.extras import clock_time
from readbell.ui.tags import kept_to
from readbell.ui.wrapped import shortened, wrapped

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.phrases.clock_time import ClockFace
    from readbell.ui.standings import At

NOTHING_DUE = "Nothing due"
FEW_ROWS = 3
"""Up to so many rows only the most needed words are said."""
NEXT = "next "
READ = "Read "


def said_of(top: At, person: str, face: ClockFace, width: int, *, is_small: bool) -> list[str]:
    """Return what is said of `top`; the tag stands in the digits, and is not said twice."""
    match top.stands.where:
        case Where.CLOSING | Where.READ_NOW:
            named = (
                kept_to(person, width) if is_small else READ + kept_to(person, width - len(READ))
            )
            # A window without an end has nothing to come by a clock time.
            until = "" if top.stands.since else clock_time(top.stands, face)
            said = [named, _timed("until", until, width)]
        case Where.WAIT_OVER | Where.OVERDUE:
            said = [kept_to(person, width), _title(top)]
            limit = last_moment(top.cartridge)
            if top.stands.where is Where.WAIT_OVER and limit != NEVER:
                said.append(_timed("until", face.time(limit), width))
        case Where.STEP_DUE:
            said = [kept_to(person, width), _title(top)]
        case Where.LABELLED | Where.PREPARING:
            said = [NEXT + kept_to(person, width - len(NEXT)), _title(top)]
        case _:
            said = [NEXT + kept_to(person, width - len(NEXT))]
            said += _promise(top, face, width, is_small=is_small)
    return [each for each in said if each]


def say_where(said: Sequence[str], mark: str, held_at: str, width: int) -> list[str]:
    """Return `said` of what is held out of reach: first of all its `mark`, last of all where that is.

    What nobody can read here is not to be read: whose it is stands without that word.
    """
    if not mark:
        return [*said]
    first, *rest = said
    return [kept_to(f"{mark} {first.removeprefix(READ)}", width), *rest, held_at]


def body(said: Sequence[str], width: int, rows: int) -> list[str]:
    """Return `said` in at most `rows` lines; dots say that one of them was cut."""
    lines: list[str] = []
    for words in said:
        made, left = wrapped(words, width), rows - len(lines)
        if left <= 0:
            break
        if len(made) > left:
            rest = " ".join(made[left - 1 :])
            made = [*made[: left - 1], shortened(rest, width) or made[left - 1]]
        lines += made
    return lines


def _promise(top: At, face: ClockFace, width: int, *, is_small: bool) -> list[str]:
    """Return what the figure counts to, and when that is."""
    stands, at = top.stands, clock_time(top.stands, face)
    match stands.where:
        case Where.WAITING:
            long, word, before = f"{stands.word}: ends in", "ends", "at"
        case Where.DO_WITHIN:
            long, word, before = "to be done within", "until", "until"
        case Where.EARLY_LOOK:
            # An early look is possible already: the sign says so, the figure is of the opening.
            long, word, before = f"{SIGNS[stands.where]} opens in", "opens", "at"
        case _:
            long, word, before = "opens in", "opens", "at"
    return [_timed(word, at, width)] if is_small else [long, _timed(before, at, width)]


def _timed(word: str, at: str, width: int) -> str:
    """Return word and clock time; the time alone where both have no room."""
    said = f"{word} {at}" if at else ""
    return said if len(said) <= width else at


def _title(top: At) -> str:
    step = top.cartridge.next_step
    return "" if step is None else step.title

"""The stories of several cartridges as one: of a person, a lot, somebody who works here, or a day.

Made from what the board holds, once, when it is opened. However long a record is, only the
newest of it are looked at; `readbell trace` reads all of it.
"""

from __future__ import annotations

from itertools import chain, islice
from typing import TYPE_CHECKING

from readbell.core.board.layered import newest
from readbell.core.board.patients_today import OVERNIGHT
from readbell.core.board.subjects import is_behind
from readbell.core.instant import earlier
from readbell.core.keeping.events import TraceOf, TraceOpened
from readbell.phrases.cartridge_story import dated, undated

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.core.staff.events import RecordOpened
    from readbell.phrases.cartridge_story import Told
    from readbell.phrases.clock_time import ClockFace

SHOWN_AT_MOST = 200
"""Cartridges in one story on a screen (our own choice)."""
LOOKED_AT = 1_000
"""Of so many cartridges that ended last those of a lot or an operator are found."""
NOTHING = "No cartridge of that is on the board."
MORE = (
    "Runs on paper, alarms, refused acts and what befell a lot are told by readbell trace, "
    "also while a board runs."
)
FURTHER_BACK = (
    f"Looked for among the {LOOKED_AT} cartridges that ended last; readbell trace looks at all."
)


def stories_of(
    opened: TraceOpened | RecordOpened, day_began: Instant, board: Board, face: ClockFace
) -> tuple[str, ...]:
    """Return the story that was opened, line by line, in the order of time.

    Each line names its cartridge. Of an operator only what they did themselves is told.

    Args:
        opened: what was looked up, and how far back whoever looks may see.
        day_began: when the running day of the site did.
        board: the bay.
        face: how times are shown.
    """
    found = _newest_first(opened, day_began, board)
    told = (
        (each, _of_them(opened, dated(each, board, face)))
        for each in found
        if opened.since is None or each.labelled.at >= opened.since
    )
    concerned = [(cartridge, lines) for cartridge, lines in told if lines]
    shown, older = concerned[:SHOWN_AT_MOST], len(concerned[SHOWN_AT_MOST:])
    shown.reverse()
    lines = [(each.at, _headed(each.words, one)) for one, lines in shown for each in lines]
    lines.sort(key=lambda each: each[0])
    said = [words for _, words in lines] or [NOTHING]
    said += [f"{one.label}: {each}" for one, _ in shown for each in undated(one)]
    if older:
        said.append(f"Older cartridges, which readbell trace tells: {older}.")
    if _goes_further_back(opened, board):
        said.append(FURTHER_BACK)
    return (*said, MORE)


def _newest_first(
    opened: TraceOpened | RecordOpened, day_began: Instant, board: Board
) -> Iterator[Cartridge]:
    if not isinstance(opened, TraceOpened):
        known = map(board.cartridge, reversed(board.history.get(opened.person, ())))
        return (each for each in known if each is not None)
    if opened.of is TraceOf.DAY:
        return _of_day(board, day_began)
    every = chain(newest(board.running), islice(newest(board.ended), LOOKED_AT))
    if opened.of is TraceOf.LOT:
        return (each for each in every if each.labelled.lot == opened.about)
    return every


def _of_day(board: Board, day_began: Instant) -> Iterator[Cartridge]:
    yield from newest(board.running)
    for each in newest(board.ended):
        if is_behind(board, each.last_act, earlier(day_began, OVERNIGHT)):
            return  # one that was left over for days may have ended today
        if each.labelled.at >= day_began:
            yield each


def _of_them(opened: TraceOpened | RecordOpened, told: Iterable[Told]) -> list[Told]:
    if isinstance(opened, TraceOpened) and opened.of is TraceOf.OPERATOR:
        return [each for each in told if opened.about in each.by]
    return list(told)


def _goes_further_back(opened: TraceOpened | RecordOpened, board: Board) -> bool:
    is_looked_for = isinstance(opened, TraceOpened) and opened.of is not TraceOf.DAY
    return is_looked_for and len(board.ended) > LOOKED_AT


def _headed(words: str, cartridge: Cartridge) -> str:
    return words if cartridge.label in words.split() else f"{cartridge.label}: {words}"

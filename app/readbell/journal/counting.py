"""What was counted of a record, kept with each layer of its snapshot, so that years are told in seconds.

A layer holds by how much it changes what was counted of those below it: a cartridge that ended
is counted, one that is otherwise than before is taken off as it was and counted as it is. So
nothing has to be thrown away where a result of last year is withdrawn today, and what is
counted goes with the snapshot wherever that goes: it is believed by the same program
alone, and is gone with the first identifier that is erased. It names nobody itself.

The day of a case is the site's own, by the clock on its wall and the time zones that were
known when it was counted.
"""

from __future__ import annotations

import json
import zlib
from collections import Counter
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from readbell.core.board.layered import Layered
from readbell.core.board.wall_time import wall_of
from readbell.core.figures.case import Came, case_of
from readbell.core.figures.counted import Cell, Counted
from readbell.core.figures.readers import Twice
from readbell.core.figures.tally import Tally, WaitTally
from readbell.core.reading.interpretation import Outcome
from readbell.core.statistics.spread import Spread

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping

    from readbell.core.board.board import Board
    from readbell.core.instant import Instant

A_STEP = 64
"""Cartridges that are counted at one go."""
QUARTER_HOUR = 900_000
"""In milliseconds: no time zone is apart from another by less."""
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_NUMBERS = ("repeats", "faint", "early", "could_be_early", "stated", "picked")


def nothing() -> Counted:
    """Return a count of nothing, to be added to."""
    return Counted()


class SiteDays:
    """Says on which day of the site, and in which hour of it, something was."""

    def __init__(self, board: Board) -> None:
        self._board = board
        self._zone = ZoneInfo("UTC" if board.founded is None else board.founded.timezone)
        self._known: dict[int, tuple[str, int]] = {}

    def of(self, at: Instant) -> tuple[str, int]:
        """Return the day of `at` as YYYY-MM-DD, and the hour from 0 to 23."""
        quarter = wall_of(self._board, at) // QUARTER_HOUR
        found = self._known.get(quarter)
        if found is None:
            local = _EPOCH + timedelta(milliseconds=quarter * QUARTER_HOUR)
            local = local.astimezone(self._zone)
            found = self._known[quarter] = (local.date().isoformat(), local.hour)
        return found


def counting(before: Board, now: Board) -> Iterator[Counted | None]:
    """Count what ended, or came otherwise, from `before` to `now`; the last step gives it.

    Args:
        before: an earlier state of the same bay, or an empty board.
        now: the later one.
    """
    counted = Counted()
    then, today = SiteDays(before), SiteDays(now)
    keys = dict.fromkeys(_changed(before.ended, now.ended))
    keys |= dict.fromkeys(_changed(before.told, now.told))
    for place, key in enumerate(keys, 1):
        old, new = before.ended.get(key), now.ended.get(key)
        if old is not None:
            case = case_of(old, before.told.get(key, ()))
            counted.take_off(case, *then.of(case.begun))
        if new is not None:
            case = case_of(new, now.told.get(key, ()))
            counted.count(case, *today.of(case.begun))
        if place % A_STEP == 0:
            yield None
    yield counted


def _changed(before: Mapping[str, Any], now: Mapping[str, Any]) -> Collection[str]:
    """Return the keys of what may be otherwise in `now`, without a walk over years where it can be."""
    if now is before:
        return ()
    if isinstance(now, Layered) and now.below is before:
        return (*now.own, *now.gone)
    if isinstance(now, Layered) and isinstance(before, Layered) and now.below is before.below:
        # Two states of one run of the program: what lies below them was never touched.
        own = {key: None for key in now.own if before.own.get(key) is not now.own[key]}
        return (*own, *(key for key in before.own if key not in now.own), *(now.gone ^ before.gone))
    if not before:
        return tuple(now)
    return (
        *(key for key in before if key not in now),
        *(key for key in now if _is_new(key, before, now)),
    )


def _is_new(key: str, before: Mapping[str, Any], now: Mapping[str, Any]) -> bool:
    if key not in before:
        return True
    old, new = before[key], now[key]
    return old is not new and old != new


def packed(counted: Counted) -> bytes:
    """Return `counted` as bytes."""
    cells = [[*cell, *_plain(tally)] for cell, tally in counted.cells.items()]
    courses = [
        [*key, [*course], [each.value for each in course.values()]]
        for key, course in counted.courses.items()
    ]
    return zlib.compress(json.dumps([cells, courses], separators=(",", ":")).encode(), 1)


def unpacked(body: bytes | memoryview) -> Counted:
    """Return what was packed into `body`."""
    cells, courses = json.loads(zlib.decompress(body))
    called = {each.value: each for each in Came}
    return Counted(
        cells={Cell(*found[:5]): _tally(found[5:], called) for found in cells},
        courses={
            (assay, lot): dict(zip(places, map(called.__getitem__, came), strict=True))
            for assay, lot, places, came in courses
        },
    )


def _plain(tally: Tally) -> list[Any]:
    return [
        _flat({came.value: count for came, count in tally.came.items()}),
        [getattr(tally, each) for each in _NUMBERS],
        _flat(tally.hours),
        *(_flat(each.counts) for each in tally.spreads()),
        [
            [*key, wait.kept, wait.idle, _flat(wait.took.counts)]
            for key, wait in tally.waits.items()
        ],
        [[*twice, count] for twice, count in tally.twice.items()],
    ]


def _tally(found: list[Any], called: Mapping[str, Came]) -> Tally:
    came, numbers, hours, early, read, window, told, waits, twice = found
    return Tally(
        came=Counter({called[each]: count for each, count in _pairs(came)}),
        **dict(zip(_NUMBERS, numbers, strict=True)),
        hours=Counter(dict(_pairs(hours))),
        early_at=_spread(early),
        read_at=_spread(read),
        window_used=_spread(window),
        told_after=_spread(told),
        waits={
            (assay, step): WaitTally(took=_spread(took), kept=kept, idle=idle)
            for assay, step, kept, idle, took in waits
        },
        twice=Counter(
            {
                Twice(Outcome(first), Outcome(second), faint, *both): count
                for first, second, faint, *both, count in twice
            }
        ),
    )


def _flat(counts: Mapping[Any, int]) -> list[Any]:
    return [part for pair in counts.items() for part in pair]


def _pairs(flat: list[Any]) -> Iterator[tuple[Any, int]]:
    return zip(flat[::2], flat[1::2], strict=True)


def _spread(flat: list[Any]) -> Spread:
    return Spread(Counter(dict(_pairs(flat))))

"""How the board ended. Of a fault it says what kind and where, and never a value: values are people."""

from __future__ import annotations

import traceback
from enum import StrEnum
from pathlib import PurePath

from readbell.core.made_later import dataclass

_PARTS_OF_A_PATH = 3
_MOST_CAUSES = 8


class LeftBy(StrEnum):
    """What made the board end."""

    HAND = "hand"
    SIGNAL = "signal"
    """The window was closed, or the system asked."""
    INPUT_ENDED = "input-ended"
    """The terminal is gone."""


@dataclass(frozen=True, slots=True)
class Left:
    """The board ended as it should."""

    by: LeftBy


@dataclass(frozen=True, slots=True)
class Crashed:
    """The board ended by a fault in itself; the bay knows nothing of it."""

    kinds: tuple[str, ...]
    """The exception's type, then that of each one behind it."""
    places: tuple[str, ...]
    """`file:line function` from the outermost call to the fault itself."""


Ending = Left | Crashed


def crashed_by(error: BaseException) -> Crashed:
    """Return what may be told of `error`."""
    kinds: list[str] = []
    behind = error
    while len(kinds) < _MOST_CAUSES:
        kinds.append(f"{type(behind).__module__}.{type(behind).__qualname__}")
        further = behind.__cause__ or behind.__context__
        if further is None:
            break
        behind = further
    places = (
        f"{_short(frame.f_code.co_filename)}:{line} {frame.f_code.co_qualname}"
        for frame, line in traceback.walk_tb(error.__traceback__)
    )
    return Crashed(tuple(kinds), tuple(places))


def _short(path: str) -> str:
    return "/".join(PurePath(path).parts[-_PARTS_OF_A_PATH:])

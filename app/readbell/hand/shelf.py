"""The assays at hand, to be chosen from."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import cached_property
from typing import overload

from readbell.hand.scene import AtHand


class Shelf(Sequence[AtHand]):
    """Finds them when somebody first looks: no board waits for files that nobody asks about.

    Args:
        find: gives them.
    """

    def __init__(self, find: Callable[[], Iterable[AtHand]]) -> None:
        self._find = find

    @overload
    def __getitem__(self, place: int) -> AtHand: ...

    @overload
    def __getitem__(self, place: slice) -> tuple[AtHand, ...]: ...

    def __getitem__(self, place: int | slice) -> AtHand | tuple[AtHand, ...]:
        return self._found[place]

    def __len__(self) -> int:
        return len(self._found)

    @cached_property
    def _found(self) -> tuple[AtHand, ...]:
        return tuple(self._find())

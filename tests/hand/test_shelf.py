"""The assays at hand are looked for once, and only when somebody asks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.hand.scene import AtHand
from readbell.hand.shelf import Shelf

if TYPE_CHECKING:
    from collections.abc import Iterator

TWO = (AtHand(id="a", title="One"), AtHand(id="b", title="Two"))


def test_nothing_is_looked_for_until_somebody_asks_and_then_once() -> None:
    """A board opens sooner by the files that it does not read."""
    asked: list[str] = []

    def find() -> Iterator[AtHand]:
        asked.append("asked")
        return iter(TWO)

    shelf = Shelf(find)
    assert asked == []

    assert (len(shelf), shelf[1], shelf[:1], list(shelf)) == (2, TWO[1], TWO[:1], list(TWO))
    assert asked == ["asked"]

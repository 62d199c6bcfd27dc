"""How one site wants its board to look: marks, privacy, flashing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.instant import MINUTE, SECOND, Span, between
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from readbell.ui.front import Present
    from readbell.ui.glyphs import Glyphs

FLASHES_FOR = Span(5 * SECOND)
"""A new call swaps ink and ground once a second for so long, and then stays filled."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """How one site wants its board to look."""

    glyphs: Glyphs
    masks: bool = False
    masks_after: Span = Span(10 * MINUTE)
    """0: never."""
    flashes: bool = True
    readers_can: int | None = None
    calls: bool = True
    """Whether what is due is called, and shown; an examination tells what was done alone."""
    advises: bool = True
    """Whether it is said what may be done next where nothing calls, and who is to be begun."""


def is_masked(present: Present, look: Look) -> bool:
    """Say whether identifiers are hidden: always, or because nobody has touched a key for long."""
    return look.masks or is_away(present, look)


def is_away(present: Present, look: Look) -> bool:
    """Say whether nobody seems to be there: no key for long, or the station is locked."""
    is_idle = look.masks_after > 0 and present.idle >= look.masks_after
    return present.hand.locked or is_idle


def new_calls(present: Present, look: Look) -> frozenset[str]:
    """Return the cartridges whose ink and ground are swapped this second: they have just called."""
    now = present.scene.now
    if not (look.flashes and look.calls) or (now // SECOND) % 2:
        return frozenset()
    return frozenset(each for each, at in present.alerted.items() if between(at, now) < FLASHES_FOR)

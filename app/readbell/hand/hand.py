"""What one pair of hands is in the middle of: a value, replaced at each thing given to it."""

from __future__ import annotations

from dataclasses import field, replace
from typing import TYPE_CHECKING

from readbell.core.cartridge.events import How
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Callable

    from readbell.bay.news import Answer
    from readbell.core.instant import Instant
    from readbell.hand.doing import Doing
    from readbell.hand.scene import Scene
    from readbell.scenarios.line import Request


@dataclass(frozen=True, slots=True)
class Said:
    """The last answer, in one line."""

    words: str
    fine: bool | None = None
    """True: done. False: refused or not understood. None: something to know."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hand:
    """Who acts, on what, and how far they are."""

    doing: Doing
    operator: str | None = field(default=None, repr=False)
    """The operator who acts now."""
    locked: bool = False
    """Whether nobody may act, or see whose anything is, before they have signed in."""
    chosen: str | None = None
    """The opaque id of the cartridge that is chosen."""
    chosen_by: How = How.PICKED
    opened: bool = False
    """Whether the chosen cartridge's own particulars are shown."""
    said: Said | None = None
    said_at: Instant | None = None
    """When it was said; None: it stays until something else is."""
    scanned: tuple[str, Instant] | None = field(default=None, repr=False)
    """What was scanned last, and when."""
    brought_up: Instant | None = None
    """When a key, and not a scan, brought up what is in hand."""

    def now_doing(self, doing: Doing, said: Said | None = None) -> Hand:
        """Return the hand in the middle of something else."""
        return replace(self, doing=doing, said=said)

    def saying(self, words: str, *, fine: bool | None = None) -> Hand:
        """Return the hand with a last answer."""
        return replace(self, said=Said(words, fine))

    def choosing(self, cartridge: str | None, how: How) -> Hand:
        """Return the hand with another cartridge chosen."""
        return replace(self, chosen=cartridge, chosen_by=how)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """Something to be asked of the bay, and how the hand goes on from its answer."""

    request: Request
    then: Callable[[Hand, Answer, Scene], Hand]


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """What becomes of one thing given."""

    hand: Hand
    ask: Ask | None = None
    leave: bool = False
    """Whether the person wants to leave the board, and has said so twice."""
    ring: bool = False
    """Whether the alarm is to ring once, for a test."""


def only(hand: Hand) -> Turn:
    """Return the turn that asks nothing of the bay."""
    return Turn(hand=hand)

"""How soon hands can have done what is entered: no trainee's are quicker than the usual ones.

A key is pressed in no time, and a swab is not taken in none. So each operator's work counts
from the last thing they did, and from the end of the wait before it: what is entered sooner
than the usual hands-on time after that was not done yet. Whoever takes longer takes longer.
"""

from __future__ import annotations

from dataclasses import field, replace
from typing import TYPE_CHECKING

from readbell.core.board.entry import Do
from readbell.core.cartridge.at_instant import window
from readbell.core.instant import Instant, Span, later
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from readbell.core.board.board import Board
    from readbell.core.board.entry import Entry
    from readbell.core.cartridge.cartridge import Cartridge

_LOOKS = (Do.READ, Do.LOOK)
_STEPS = (Do.STEP, Do.STEPS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Busy:
    """What each operator of an attempt did last."""

    since: Instant
    """When the attempt began."""
    free: Mapping[str, Instant] = field(default_factory=dict)
    """When each was done with what they did last."""
    touched: Mapping[str, str] = field(default_factory=dict)
    """Whose specimen each touched last, by key."""

    def soonest(
        self, board: Board, entry: Entry, now: Instant, came: Instant | None = None
    ) -> Instant:
        """Return the first instant from `now` on at which `entry` can have been done.

        Args:
            board: what was done before.
            entry: what is entered.
            now: when it is.
            came: when the person came whom it begins; nobody was begun before.
        """
        took = self._took(board, entry)
        if not took or entry.done_at is not None:
            return now
        arrived = self.since if came is None or entry.do is not Do.LABEL else came
        begun = max(self.free.get(entry.by, self.since), arrived, *_ready(board, entry, now))
        return max(now, later(begun, took))

    def after(self, board: Board, entry: Entry, now: Instant) -> Busy:
        """Return what is so once `entry` was done, or tried, at `now`."""
        touched = self.touched
        cartridge = board.labelled(entry.cartridge)
        if cartridge is not None and _touches(cartridge, entry):
            touched = {**touched, entry.by: cartridge.labelled.subject}
        return replace(self, free={**self.free, entry.by: now}, touched=touched)

    def _took(self, board: Board, entry: Entry) -> Span:
        """Return how long it usually takes, fresh gloves included; 0 for what takes none."""
        if entry.do is Do.LABEL:
            lot = board.lots.get(entry.lot)
            return Span(0) if lot is None else board.assays[lot.assay].assay.steps[0].hands_on
        cartridge = board.labelled(entry.cartridge)
        if cartridge is None:
            return Span(0)
        if entry.do in _LOOKS:
            return cartridge.assay.reading.hands_on
        fresh = _touches(cartridge, entry) and self.touched.get(entry.by) not in (
            None,
            cartridge.labelled.subject,
        )
        gloves = cartridge.assay.glove_change if fresh else 0
        return Span(gloves + sum(_hands_on(cartridge, entry)))


def _hands_on(cartridge: Cartridge, entry: Entry) -> Iterator[Span]:
    for step in cartridge.assay.steps:
        if entry.do in _STEPS and step.key in (entry.step, *entry.steps):
            yield step.hands_on


def _touches(cartridge: Cartridge, entry: Entry) -> bool:
    return entry.do in _STEPS and any(
        step.touches_specimen and step.key in (entry.step, *entry.steps)
        for step in cartridge.assay.steps
    )


def _ready(board: Board, entry: Entry, now: Instant) -> Iterator[Instant]:
    """Yield the ends of waits before which nobody can have begun; those to come keep nobody."""
    cartridge = board.labelled(entry.cartridge)
    if cartridge is None:
        return
    if entry.do in _STEPS:
        yield from (each.over for each in cartridge.running_waits if each.over <= now)
    span = window(cartridge)
    if entry.do is Do.READ and span is not None and span.opens <= now:
        yield span.opens

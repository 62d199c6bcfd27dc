"""What falls due for a cartridge, and when: a function of its state alone.

Whoever restarts, wakes or is late asks this again and gets the same answer, so
no deadline lives only in somebody's memory.
"""

from __future__ import annotations

from operator import attrgetter
from typing import TYPE_CHECKING

from readbell.core.cartridge.at_instant import read_from, window
from readbell.core.cartridge.events import AlertKind
from readbell.core.made_later import dataclass
from readbell.core.making import maker_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant

_RANK = {kind: rank for rank, kind in enumerate(AlertKind)}
# By names of this file: a word of a list is looked up anew each time it is named.
_WAIT_OVER, _OVERDUE = AlertKind.WAIT_OVER, AlertKind.OVERDUE
_EARLY_LOOK, _READ_NOW = AlertKind.EARLY_LOOK, AlertKind.READ_NOW
_CLOSING, _LAPSED = AlertKind.CLOSING, AlertKind.LAPSED
_CALLS_TO_READ = frozenset({_EARLY_LOOK, _READ_NOW, _CLOSING})


@dataclass(frozen=True, slots=True, kw_only=True)
class Alert:
    """One alert that will fall unless somebody acts before it."""

    due: Instant
    cartridge: str
    kind: AlertKind
    step: str = ""

    @property
    def order(self) -> tuple[Instant, int]:
        """Sort key: by instant, and at one instant as the kinds are listed."""
        return (self.due, _RANK[self.kind])


_BY_ORDER = attrgetter("order")
_alert = maker_of(Alert)
"""A start makes those of all that runs before anything is seen."""


def alerts_to_come(cartridge: Cartridge) -> tuple[Alert, ...]:
    """Return every alert of `cartridge` that has not been announced yet, in order.

    A read or void cartridge has none. An early positive takes none away: the
    window reading is still asked for. While a clock is unsure nothing may be read,
    so nothing calls for a reading; only the lapse stays.
    """
    if cartridge.has_ended:
        return ()
    name, raised, unsure = cartridge.id, cartridge.raised, cartridge.unsure
    fresh = [
        _alert(due, name, kind, step)
        for due, kind, step in (*_of_waits(cartridge), *_of_window(cartridge))
        if (kind, step) not in raised and not (unsure and kind in _CALLS_TO_READ)
    ]
    fresh.sort(key=_BY_ORDER)
    return tuple(fresh)


def _of_waits(cartridge: Cartridge) -> Iterator[tuple[Instant, AlertKind, str]]:
    for wait in cartridge.running_waits:
        if wait.least > 0:
            yield wait.over, _WAIT_OVER, wait.step
        if wait.limit is not None:
            yield wait.limit, _OVERDUE, wait.step


def _of_window(cartridge: Cartridge) -> Iterator[tuple[Instant, AlertKind, str]]:
    span = window(cartridge)
    if span is None:
        return
    # Between two readings nobody looks early, even if the drops were stated anew since.
    early_from = span.early_from if cartridge.reading is None else None
    if early_from is not None:
        yield early_from, _EARLY_LOOK, ""
    yield read_from(cartridge, span), _READ_NOW, ""
    if span.closing_from is not None:
        yield span.closing_from, _CLOSING, ""
    if span.lapses is not None:
        yield span.lapses, _LAPSED, ""

"""What falls due for a cartridge, and when: a function of its state alone.

Whoever restarts, wakes or is late asks this again and gets the same answer, so
no deadline lives only in somebody's memory.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.cartridge.at_instant import read_from, window
from readbell.core.cartridge.events import AlertKind
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant

_RANK = {kind: rank for rank, kind in enumerate(AlertKind)}
_CALLS_TO_READ = frozenset({AlertKind.EARLY_LOOK, AlertKind.READ_NOW, AlertKind.CLOSING})


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


def alerts_to_come(cartridge: Cartridge) -> tuple[Alert, ...]:
    """Return every alert of `cartridge` that has not been announced yet, in order.

    A read or void cartridge has none. An early positive takes none away: the
    window reading is still asked for. While a clock is unsure nothing may be read,
    so nothing calls for a reading; only the lapse stays.
    """
    if cartridge.has_ended:
        return ()
    found = (*_alerts_of_waits(cartridge), *_alerts_of_window(cartridge))
    fresh = [
        alert
        for alert in found
        if (alert.kind, alert.step) not in cartridge.raised
        and not (cartridge.unsure and alert.kind in _CALLS_TO_READ)
    ]
    return tuple(sorted(fresh, key=lambda alert: alert.order))


def _alerts_of_waits(cartridge: Cartridge) -> Iterator[Alert]:
    for wait in cartridge.running_waits:
        if wait.least > 0:
            yield Alert(
                due=wait.over, cartridge=cartridge.id, kind=AlertKind.WAIT_OVER, step=wait.step
            )
        if wait.limit is not None:
            yield Alert(
                due=wait.limit, cartridge=cartridge.id, kind=AlertKind.OVERDUE, step=wait.step
            )


def _alerts_of_window(cartridge: Cartridge) -> Iterator[Alert]:
    span = window(cartridge)
    if span is None:
        return
    # Between two readings nobody looks early, even if the drops were stated anew since.
    early_from = span.early_from if cartridge.reading is None else None
    for kind, due in (
        (AlertKind.EARLY_LOOK, early_from),
        (AlertKind.READ_NOW, read_from(cartridge, span)),
        (AlertKind.CLOSING, span.closing_from),
        (AlertKind.LAPSED, span.lapses),
    ):
        if due is not None:
            yield Alert(due=due, cartridge=cartridge.id, kind=kind)

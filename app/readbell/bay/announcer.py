"""Alerts: each announced once, in order, and marked late by its own two instants."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.cartridge.due import Alert, alerts_to_come
from readbell.core.cartridge.events import AlertKind, AlertRaised
from readbell.core.cartridge.looks import lapse
from readbell.journal.errors import NotWrittenError

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from readbell.bay.recorder import Recorder
    from readbell.core.board.event import Event
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.scheduler.deadlines import Deadlines


class Announcer:
    """Keeps the deadlines in step with the board, and announces what is due."""

    def __init__(self, recorder: Recorder, deadlines: Deadlines) -> None:
        self._recorder = recorder
        self._deadlines = deadlines

    def follow(self, cartridges: Iterable[str]) -> None:
        """Work out anew when each of `cartridges` next falls due."""
        for cartridge_id in cartridges:
            cartridge = self._recorder.board.running.get(cartridge_id)
            alerts = () if cartridge is None else alerts_to_come(cartridge)
            if alerts:
                self._deadlines.set(cartridge_id, alerts[0].due)
            else:
                self._deadlines.drop(cartridge_id)

    async def announce(self, until: Instant, now: Instant) -> tuple[AlertRaised, ...]:
        """Announce at `now` every alert due at `until` or before, all in one commit.

        An alarm must ring even while nothing can be written: then the alert is
        shown without being recorded, and will be found due again after a restart.
        """
        taken = self._deadlines.take(until)
        running = self._recorder.board.running
        found = [
            (alert, running[key])
            for key in taken
            if key in running
            for alert in alerts_to_come(running[key])
            if alert.due <= until
        ]
        found.sort(key=lambda each: (each[0].due, each[1].ordinal, each[0].order))
        events = [event for alert, cartridge in found for event in _events(alert, cartridge, now)]
        if events:
            try:
                await self._recorder.record(events)
            except NotWrittenError:
                self._recorder.show(events)
        self.follow(taken)
        return tuple(event for event in events if isinstance(event, AlertRaised))


def cartridges_of(events: Sequence[Event]) -> Iterator[str]:
    """Yield the cartridge of each event that concerns one."""
    for event in events:
        cartridge_id = getattr(event, "cartridge", None)
        if isinstance(cartridge_id, str):
            yield cartridge_id


def _events(alert: Alert, cartridge: Cartridge, now: Instant) -> Iterator[Event]:
    if alert.kind is AlertKind.LAPSED:
        # The fact first: nobody had read it when its window closed.
        yield lapse(cartridge, alert.due)
    yield AlertRaised(
        at=now, cartridge=cartridge.id, alert=alert.kind, due=alert.due, step=alert.step
    )

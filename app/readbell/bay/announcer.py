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
    """Keeps the deadlines in step with the board, and announces what is due.

    What will fall for a cartridge is worked out when somebody acts on it, and not
    when it falls: then many may fall at once, and people wait.
    """

    def __init__(self, recorder: Recorder, deadlines: Deadlines) -> None:
        self._recorder = recorder
        self._deadlines = deadlines
        self._to_come: dict[str, tuple[Cartridge, tuple[Alert, ...]]] = {}
        """What is still to fall, and the cartridge of which that is true."""

    def follow(self, cartridges: Iterable[str]) -> None:
        """Work out anew when each of `cartridges` next falls due."""
        for cartridge_id in cartridges:
            cartridge = self._recorder.board.running.get(cartridge_id)
            alerts = () if cartridge is None else alerts_to_come(cartridge)
            self._await(cartridge_id, cartridge, alerts)

    async def announce(self, until: Instant, now: Instant) -> tuple[AlertRaised, ...]:
        """Announce at `now` every alert due at `until` or before, all in one commit.

        An alarm must ring even while nothing can be written: then the alert is
        shown without being recorded, and will be found due again after a restart.
        """
        taken = self._deadlines.take(until)
        if not taken:
            return ()
        running = self._recorder.board.running
        known = [(each, self._alerts_of(each)) for key in taken if (each := running.get(key))]
        found = [
            (alert, cartridge)
            for cartridge, alerts in known
            for alert in alerts
            if alert.due <= until
        ]
        # Those of one cartridge are in their order already, and stay in it.
        found.sort(key=lambda each: (each[0].due, each[1].ordinal))
        events = [event for alert, cartridge in found for event in _events(alert, cartridge, now)]
        if events:
            try:
                await self._recorder.record(events)
            except NotWrittenError:
                self._recorder.show(events)
        self._go_on(known, until)
        return tuple(event for event in events if isinstance(event, AlertRaised))

    def _alerts_of(self, cartridge: Cartridge) -> tuple[Alert, ...]:
        known = self._to_come.get(cartridge.id)
        if known is not None and known[0] is cartridge:
            return known[1]
        return alerts_to_come(cartridge)

    def _go_on(
        self, announced: Iterable[tuple[Cartridge, tuple[Alert, ...]]], until: Instant
    ) -> None:
        """Await what follows: an alert takes away itself alone, and a lapse all that there is."""
        running = self._recorder.board.running
        for before, alerts in announced:
            rest = tuple(each for each in alerts if each.due > until)
            self._await(before.id, running.get(before.id), rest)

    def _await(
        self, cartridge_id: str, cartridge: Cartridge | None, alerts: tuple[Alert, ...]
    ) -> None:
        if cartridge is None or not alerts:
            self._deadlines.drop(cartridge_id)
            self._to_come.pop(cartridge_id, None)
        else:
            self._deadlines.set(cartridge_id, alerts[0].due)
            self._to_come[cartridge_id] = (cartridge, alerts)


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

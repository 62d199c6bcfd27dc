"""Alerts: each announced once, in order, and marked late by its own two instants.

In a shared bay each is put into the record by one station: by the one that holds the
cartridge's clock, or a moment later by another if it is missing still.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.hearing import LAPSE_WAITS, may_record, patience
from readbell.core.cartridge.due import Alert, alerts_to_come
from readbell.core.cartridge.events import AlertKind, AlertRaised
from readbell.core.cartridge.looks import lapse
from readbell.core.instant import SECOND, Span, later
from readbell.core.making import maker_of
from readbell.journal.errors import NotWrittenError

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from readbell.bay.recorder import Recorder
    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.board.stations import Here
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.scheduler.deadlines import Deadlines

ASK_AGAIN = Span(SECOND)

_raised = maker_of(AlertRaised)
"""Hundreds may fall at once, and somebody waits for each."""


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
        here = self._recorder.here()
        for cartridge_id in cartridges:
            cartridge = self._recorder.board.running.get(cartridge_id)
            alerts = () if cartridge is None else alerts_to_come(cartridge)
            self._await(cartridge_id, cartridge, alerts, here)

    async def announce(self, until: Instant, now: Instant) -> tuple[AlertRaised, ...]:
        """Announce at `now` every alert due at `until` or before, all in one commit.

        An alarm must ring even while nothing can be written: then the alert is
        shown without being recorded, and will be found due again after a restart.
        """
        taken = self._deadlines.take(until)
        if not taken:
            return ()
        here, board = self._recorder.here(), self._recorder.board
        known = [(each, self._alerts_of(each)) for key in taken if (each := board.running.get(key))]
        found = [
            (alert, cartridge)
            for cartridge, alerts in known
            for alert in alerts
            if alert.due <= until and (here is None or may_record(board, alert, here, now))
        ]
        # Those of one cartridge are in their order already, and stay in it.
        found.sort(key=lambda each: (each[0].due, each[1].ordinal))
        events = [event for alert, cartridge in found for event in _events(alert, cartridge, now)]
        if events:
            try:
                await self._recorder.record(events)
            except NotWrittenError:
                self._recorder.show(events)
        self._go_on(known, frozenset(alert for alert, _ in found), here)
        return tuple(event for event in events if isinstance(event, AlertRaised))

    def _alerts_of(self, cartridge: Cartridge) -> tuple[Alert, ...]:
        known = self._to_come.get(cartridge.id)
        if known is not None and known[0] is cartridge:
            return known[1]
        return alerts_to_come(cartridge)

    def _go_on(
        self,
        announced: Iterable[tuple[Cartridge, tuple[Alert, ...]]],
        gone: frozenset[Alert],
        here: Here | None,
    ) -> None:
        """Await what follows: an alert takes away itself alone, and a lapse all that there is."""
        running = self._recorder.board.running
        for before, alerts in announced:
            rest = tuple(each for each in alerts if each not in gone)
            self._await(before.id, running.get(before.id), rest, here)

    def _await(
        self,
        cartridge_id: str,
        cartridge: Cartridge | None,
        alerts: tuple[Alert, ...],
        here: Here | None,
    ) -> None:
        if cartridge is None or not alerts:
            self._deadlines.drop(cartridge_id)
            self._to_come.pop(cartridge_id, None)
        else:
            due = alerts[0].due
            if here is not None:
                board, now = self._recorder.board, self._recorder.now()
                due = min(_when(board, each, here, now) for each in alerts)
            self._deadlines.set(cartridge_id, due)
            self._to_come[cartridge_id] = (cartridge, alerts)


def _when(board: Board, alert: Alert, here: Here, now: Instant) -> Instant:
    """Return when this station records `alert`; as long as it may not, when it asks again."""
    span = patience(board, alert.cartridge, alert.kind, here)
    if span is None:
        return later(max(alert.due, now), LAPSE_WAITS)
    when = later(alert.due, span)
    # It is time, and its holder has not said yet that it is there.
    waits_on = when <= now and not may_record(board, alert, here, now)
    return later(now, ASK_AGAIN) if waits_on else when


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
    yield _raised(now, cartridge.id, alert.kind, alert.due, alert.step)

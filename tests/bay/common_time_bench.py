"""One station that counts the time of a shared bay, and the server's clock beyond a slow network."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from bay.conftest import HandClock
from readbell.bay.around import Pulse
from readbell.bay.common_time import CommonTime, measured
from readbell.bay.presence import StationPresence

if TYPE_CHECKING:
    from pathlib import Path

    from readbell.clock.anchor import Anchor
    from readbell.clock.shared_line import ServerLook
    from readbell.core.instant import Instant, Span


@dataclass
class ServerClock:
    """The server's clock as it is seen through a network that takes its time."""

    clock: HandClock
    apart: int = 0
    """The server's clock less the wall clock of the station."""
    ways: list[int] = field(default_factory=list)
    """How long each way there and back takes, in milliseconds; after the last: 2."""

    def server_now(self) -> int:
        """Answer after half of the way, and be back after the other half."""
        way = self.ways.pop(0) if self.ways else 2
        self._pass(way // 2)
        now = self.clock.wall + self.apart
        self._pass(way - way // 2)
        return now

    def _pass(self, milliseconds: int) -> None:
        self.clock.wall += milliseconds
        self.clock.counting += milliseconds


@dataclass
class Stand:
    """One station with its clock, and the server's."""

    path: Path
    clock: HandClock = field(default_factory=HandClock)

    def __post_init__(self) -> None:
        """Put the parts together."""
        self.server = ServerClock(self.clock)
        pulse = Pulse(station="window", mark="A")
        self.presence = StationPresence(
            pulse, self.clock, lambda _: None, is_alone=lambda: False, run="1"
        )
        self.time = CommonTime(self.path, self.presence)

    def begin(
        self,
        recorded: Span | None,
        founded: Span,
        look: ServerLook | None = None,
        latest: Instant | None = None,
    ) -> Anchor:
        """Begin the line by the server."""
        found = measured(self.server, self.clock) if look is None else look
        return self.time.begin_linked(found, recorded, founded, latest, self.clock.read())

    def hear_bench(self, offset: int, line: int | None = None) -> None:
        """Hear a pulse of another station."""
        told = "null" if line is None else str(line)
        self.presence.hear(
            '{"station":"bench","mark":"B","hears":[],"lanes":[],'
            f'"offset":{offset},"line":{told}}}'
        )

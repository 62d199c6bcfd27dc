"""Who is here at a shared bay: each station says so every two seconds, and is believed for seven.

A pulse is a line of JSON on a channel of the server; it stands in no table and in no record. What
is heard of others is kept here as values, so whoever paints or rings may ask from any thread.
"""

from __future__ import annotations

import json
from contextlib import suppress
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from readbell.bay.around import Pulse
from readbell.bay.twin import Claim, claim_of
from readbell.core.errors import ReadbellError
from readbell.core.instant import SECOND, Instant, Span
from readbell.core.made_later import dataclass
from readbell.core.stations.station import StationState

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from readbell.clock.clock import Clock
    from readbell.core.board.board import Board

PULSE_EACH = Span(2 * SECOND)
AWAY_AFTER = Span(7 * SECOND)
"""Three pulses may be lost on the way before anybody is said to be away (our own choice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """What a station said of itself last, and when that was."""

    pulse: Pulse
    run: str
    """Which run of its program said it."""
    running: int
    """Our own running clock as it was heard."""
    offset: Span | None
    """Its line less the server's clock; None: it has not measured that yet."""
    ahead: Span | None
    """By how much its line was ahead of ours, the way of the pulse included."""


class StationPresence:
    """What this station says of itself, and what it heard of the others.

    Args:
        pulse: what is said of this station.
        clock: its clocks.
        say: sends a text to all stations; it never waits.
        is_alone: whether the link is lost.
        run: names this run of the program, so that a second computer of the same name is noticed.
    """

    def __init__(
        self,
        pulse: Pulse,
        clock: Clock,
        say: Callable[[str], None],
        is_alone: Callable[[], bool],
        run: str,
    ) -> None:
        self._pulse = pulse
        self._clock = clock
        self._say = say
        self._is_alone = is_alone
        self.run = run
        """Names this run of the program."""
        self.since: Instant | None = None
        """When this run of the program was linked first; None: it never was."""
        self.is_second = False
        """Whether another computer was this station first; it stays so until that one says goodbye."""
        self._twin: int | None = None
        """Our own running clock as another computer that says it is this station was heard last."""
        self._others: Mapping[str, Heard] = {}
        self.is_beside: Callable[[], bool] = lambda: False
        """Whether this station records beside the shared record, however it is linked."""
        self.is_silent: Callable[[Instant | None], bool] = lambda _: False
        """Whether nothing sounds here: it is muted, or there is no bell. Then others are to hear."""
        self.ails: Callable[[], str | None] = lambda: None
        """Why the mirror of this station takes nothing; None: it does."""
        self.now: Callable[[], Instant] | None = None
        """Where the line of this station stands; None until it is anchored."""
        self.offset: Span | None = None
        """That line less the server's clock, as far as it was measured."""
        self.wall_apart: Span | None = None
        """The wall clock of this computer less the server's, as measured last."""
        self.refused = ""
        """Why the link does not come back by itself, as it was found last; empty: it may."""
        self.is_older = False
        """Whether another station records what this program does not know."""

    @property
    def station(self) -> str:
        """The name of this station."""
        return self._pulse.station

    @property
    def mark(self) -> str:
        """Its mark."""
        return self._pulse.mark

    @property
    def has_twin(self) -> bool:
        """Whether another computer says that it is this station."""
        return self._twin is not None and self._clock.read().running - self._twin < AWAY_AFTER

    @property
    def mirror_ailment(self) -> str:
        """Why the mirror of this station takes nothing; empty: it does."""
        return self.ails() or ""

    def cannot_follow(self, why: str) -> None:
        """Take note that a newer program writes the record: this one is alone until it ends."""
        self.refused, self.is_older = why, True

    def bear(self, mark: str) -> None:
        """Say `mark` of this station from now on."""
        self._pulse = replace(self._pulse, mark=mark)

    def seen(self) -> tuple[Pulse, ...]:
        """Return the stations that are here now, this one first."""
        return (self._pulse, *(each.pulse for each in self._lately()))

    def heard(self) -> frozenset[str]:
        """Return the names of the others that were heard lately, whether or not this one is linked."""
        since = self._clock.read().running - AWAY_AFTER
        return frozenset(name for name, each in self._others.items() if each.running >= since)

    def away(self, board: Board) -> frozenset[str]:
        """Return the stations that joined, did not leave, were not given up, and say nothing."""
        here = {each.station for each in self.seen()}
        return frozenset(
            name
            for name, station in board.stations.items()
            if station.state is StationState.HERE and name not in here
        )

    def offsets(self) -> tuple[Span, ...]:
        """Return the offset that each other station that is here goes by."""
        return tuple(each.offset for each in self._lately() if each.offset is not None)

    def lines(self) -> tuple[Instant, ...]:
        """Return where the line of each other station that is here stands now."""
        running = self._clock.read().running
        return tuple(
            Instant(each.pulse.line + running - each.running)
            for each in self._lately()
            if each.pulse.line is not None
        )

    def ahead(self) -> tuple[Span, ...]:
        """Return by how much the line of each other station that is here is ahead of this one."""
        return tuple(each.ahead for each in self._lately() if each.ahead is not None)

    def pulse(self, *, asks: bool = False, leaving: bool = False) -> None:
        """Say that this station is here; with `asks` all others are to say so at once."""
        now = None if self.now is None else self.now()
        said = {
            "station": self.station,
            "mark": self.mark,
            "run": self.run,
            "hears": [] if self.is_silent(now) else sorted(self._pulse.hears),
            "lanes": sorted(self._pulse.lanes),
            "offset": self.offset,
            "line": now,
            "asks": asks,
            "leaving": leaving,
            "beside": self.is_beside(),
            "since": self.since,
            "second": self.is_second,
        }
        self._say(json.dumps(said, ensure_ascii=False, separators=(",", ":")))

    def refuse_second(self) -> None:
        """Go no further if another computer is this station.

        Raises:
            ReadbellError: it is.
        """
        if self.is_second:
            msg = (
                f"another computer is station {self.station} now: end readbell here, "
                "and join this one under a name of its own with 'readbell join'"
            )
            raise ReadbellError(msg)

    def hear(self, payload: str) -> bool:
        """Take in what a station says of itself; say whether it asks to be answered.

        What makes no sense is passed over: a newer program may say more, and no pulse is worth a fault.
        """
        with suppress(ValueError, LookupError, TypeError, AttributeError):
            said: dict[str, Any] = json.loads(payload)
            station = str(said["station"])
            if station == self.station:
                return self._hear_twin(said) and said.get("asks") is True
            known = next((each for each in self._lately() if each.pulse.station == station), None)
            if known is not None and said.get("beside") is True and said.get("run") != known.run:
                # A second computer of that name: the one that is linked is the station.
                return False
            if said.get("leaving") is True or said.get("beside") is True:
                # What one that records beside the record has read nobody else knows: it is away.
                self._others = {
                    name: each for name, each in self._others.items() if name != station
                }
                return said.get("asks") is True
            self._others = {**self._others, station: self._heard(station, said)}
            return said.get("asks") is True
        return False

    def _hear_twin(self, said: Mapping[str, Any]) -> bool:
        """Take in what is said in the name of this station; say whether another computer says it."""
        if said.get("run") == self.run:
            return False
        if said.get("leaving") is True:
            self._twin, self.is_second = None, False
            return True
        self._twin = self._clock.read().running
        own = Claim(
            run=self.run,
            since=self.since,
            is_beside=self.is_beside(),
            is_second=self.is_second,
        )
        self.is_second = self.is_second or claim_of(said).place < own.place
        return True

    def _heard(self, station: str, said: Mapping[str, Any]) -> Heard:
        line, offset = said.get("line"), said.get("offset")
        now = None if self.now is None else self.now()
        return Heard(
            pulse=Pulse(
                station=station,
                mark=str(said["mark"]),
                hears=frozenset(map(str, said["hears"])),
                lanes=frozenset(map(str, said["lanes"])),
                line=Instant(line) if isinstance(line, int) else None,
            ),
            run=str(said.get("run")),
            running=self._clock.read().running,
            offset=Span(offset) if isinstance(offset, int) else None,
            ahead=Span(line - now) if isinstance(line, int) and now is not None else None,
        )

    def _lately(self) -> tuple[Heard, ...]:
        if self._is_alone():
            return ()
        since = self._clock.read().running - AWAY_AFTER
        return tuple(each for each in self._others.values() if each.running >= since)

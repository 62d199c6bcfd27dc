"""The time of a shared bay as one station counts it: measured on the server, kept on its own disk.

The arithmetic stands in `clock/shared_line.py`. Here it is decided when to look, what the line is
begun from, and what the record is told when a clock was set.
"""

from __future__ import annotations

import json
import os
from contextlib import suppress
from statistics import median_low
from typing import TYPE_CHECKING, Protocol

from readbell.clock.anchor import Anchor, Moment, anchor
from readbell.clock.drift import TOLERANCE
from readbell.clock.shared_line import ServerLook, SharedLine, begin, look_again
from readbell.core.board.events import ClockJumped, ComputerSlept
from readbell.core.instant import SECOND, Instant, Span
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from pathlib import Path

    from readbell.bay.presence import StationPresence
    from readbell.clock.clock import Clock, Reading
    from readbell.clock.shared_line import Looked
    from readbell.core.board.board import Board

LOOKS = 4
"""Round trips of one measuring; the quickest counts (our own choice)."""
OWNER_ONLY = 0o600
NO_TIME = Span(0)


ALIKE = Span(40 * SECOND)
"""One step of the server's clock is noticed by all stations within so much, and told by one."""


class ServerClock(Protocol):
    """What tells the server's time."""

    def server_now(self) -> int:
        """Return the server's clock, in milliseconds since 1970."""


def measured(server: ServerClock, clock: Clock) -> ServerLook:
    """Measure the server's clock once, by one way there and back.

    Raises:
        LinkLostError: it cannot be reached.
    """
    before = clock.read().counting
    told = server.server_now()
    after = clock.read().counting
    return ServerLook(
        server=told, counting=(before + after) // 2, within=(after - before + 1) // 2 + 1
    )


def quickest(server: ServerClock, clock: Clock) -> ServerLook:
    """Measure the server's clock several times, and return the look that says it most narrowly.

    Raises:
        LinkLostError: it cannot be reached.
    """
    return min((measured(server, clock) for _ in range(LOOKS)), key=lambda each: each.within)


def wall_apart(look: ServerLook, reading: Reading) -> Span:
    """Return the wall clock of `reading` less the server's at that moment, which was looked at in `look`."""
    return Span(reading.wall - _server_at(look, reading))


def _server_at(look: ServerLook, reading: Reading) -> int:
    """Return where the server's clock stands at `reading`, in milliseconds since 1970."""
    return look.server + reading.counting - look.counting


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """How the clocks of a computer stood to the line of its bay."""

    moment: Moment
    offset: Span | None
    """The line less the server's clock; None: it was not measured."""
    alone: Instant | None = None
    """Since when the station was alone; None: it was linked."""


def kept_at(path: Path) -> Kept | None:
    """Return what a station keeps in the file at `path`; None: nothing that can be read."""
    with suppress(OSError, ValueError, LookupError, TypeError):
        said = json.loads(path.read_bytes())
        offset = said["offset"]
        moment = Moment(
            at=Instant(int(said["at"])),
            wall=int(said["wall"]),
            counting=int(said["counting"]),
            boot=str(said["boot"]),
        )
        alone = said.get("alone")
        return Kept(
            moment=moment,
            offset=None if offset is None else Span(int(offset)),
            alone=None if alone is None else Instant(int(alone)),
        )
    return None


class CommonTime:
    """Where the line of a shared bay stands at this station.

    Args:
        path: where it is kept from one start to the next.
        presence: what the others say of their lines.
    """

    def __init__(self, path: Path, presence: StationPresence) -> None:
        self._path = path
        self._presence = presence
        self._anchor: Anchor | None = None
        self._offset: Span | None = None
        self._trusts_own = True
        self.stepped = NO_TIME
        """How far the server's clock was set while this station was closed, if that was found at a start."""

    def kept(self) -> Moment | None:
        """Return how the clocks of this computer stood to the line when that was kept last."""
        found = kept_at(self._path)
        return None if found is None else found.moment

    def alone(self) -> Instant | None:
        """Return since when this station was alone as its clocks were kept last; None: it was not."""
        found = kept_at(self._path)
        return None if found is None else found.alone

    def keep(self, reading: Reading, alone: Instant | None = None) -> None:
        """Keep how the clocks stand to the line now; a disk that does not take it is passed over.

        Since when the station is `alone` is kept as well: until its first act nothing else says so.
        Nothing waits for the disk: what is lost with the power is two seconds of it.
        """
        if self._anchor is None:
            return
        moment = self._anchor.moment(reading)
        said = {
            "at": moment.at,
            "wall": moment.wall,
            "counting": moment.counting,
            "boot": moment.boot,
            "offset": self._offset,
            "alone": alone,
        }
        part = self._path.with_name(f"{self._path.name}.part")
        with suppress(OSError):
            handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, OWNER_ONLY)
            with os.fdopen(handle, "w", encoding="ascii") as file:
                json.dump(said, file)
            part.replace(self._path)

    def begin_linked(
        self,
        look: ServerLook,
        recorded: Span | None,
        founded: Span,
        latest: Instant | None,
        reading: Reading,
    ) -> Anchor:
        """Begin the line of this station by the server.

        The server's clock may have been set a moment ago, and no station have noticed yet, or none
        been there to notice. Then the lines that went on by counting are right.

        Args:
            look: at the server's clock.
            recorded: the offset that went with the newest event.
            founded: the one that the record began with, where nobody is here to be asked and no
                event has one.
            latest: when the newest event was recorded; the line does not begin before that.
            reading: the clocks of this computer now.
        """
        living = self._presence.offsets()
        offset = living[0] if living else founded if recorded is None else recorded
        line = begin(look, offset)
        lines = self._presence.lines()
        counted = median_low(lines) if lines else self._counted(reading)
        if counted is not None and abs(line.anchor.instant(reading) - counted) > TOLERANCE:
            line = _line_at(counted, look, reading, sure=True)
            kept = kept_at(self._path)
            if not lines and kept is not None and kept.offset is not None:
                # Nobody was here to notice it; whoever is here tells it, and we need not.
                self.stepped = Span(offset - line.offset)
        if latest is not None and line.anchor.instant(reading) < latest:
            line = _line_at(latest, look, reading, sure=False)
        self._take(line)
        self._trusts_own = True
        return self._now_anchored()

    def _counted(self, reading: Reading) -> Instant | None:
        """Return where the line stands by this computer's own counting; None: it stood still or began anew."""
        moment = self.kept()
        if moment is None or moment.boot != reading.boot:
            return None
        apart = (reading.wall - moment.wall) - (reading.counting - moment.counting)
        return anchor(moment, reading).instant(reading) if abs(apart) <= TOLERANCE else None

    def begin_alone(self, own: Moment | None, latest: Instant | None, reading: Reading) -> Anchor:
        """Begin the line without the server, by what this computer knows itself.

        Args:
            own: when the newest event of this station was recorded.
            latest: when the newest event of all was.
            reading: its clocks now.
        """
        # What was kept has this computer's own wall clock, and what was recorded the server's.
        kept = self.kept()
        counts_on = own is not None and own.boot == reading.boot
        # A program that ended before it kept anything of this boot may have recorded something in it.
        moment = own if counts_on and (kept is None or kept.boot != reading.boot) else kept or own
        found = anchor(moment, reading)
        if latest is not None and (moment is None or found.instant(reading) < latest):
            # The line is further on than this computer can know: no time is counted in between.
            found = Anchor(at=latest, counting=reading.counting, sure=False)
        self._anchor = found
        self._trusts_own = moment is not None and moment.boot == reading.boot
        self._count_on_by_the_server(found, reading)
        return found

    def _count_on_by_the_server(self, begun: Anchor, reading: Reading) -> None:
        """Tell the time of day by the server's clock as it was measured last, if it was in this boot.

        The wall clock of this computer may be an hour off: it is not to take the place of the server's.
        """
        kept = kept_at(self._path)
        if kept is None or kept.offset is None or kept.moment.boot != reading.boot:
            return
        self._presence.offset = kept.offset
        wall = begun.instant(reading) - kept.offset
        self._presence.wall_apart = Span(reading.wall - wall)

    def look(self, look: ServerLook, recorded: Span | None, latest: Instant) -> Looked:
        """Hold the line against the server's clock once more; the line may have moved then."""
        was = self._now_anchored()
        if self._offset is None:
            # Begun without the server: now it is known what the others go by.
            living = self._presence.offsets()
            own = Span(was.at + look.counting - was.counting - look.server)
            self._offset = living[0] if living else own if recorded is None else recorded
        line = SharedLine(anchor=was, offset=self._offset)
        found = look_again(line, look, latest, self._presence.ahead(), trusts_own=self._trusts_own)
        self._take(found.line)
        self._trusts_own = True
        return found

    def note_wall(self, reading: Reading, look: ServerLook) -> bool:
        """Take note of how far the wall clock of this computer is from the server's.

        Returns:
            Whether it is another distance than it was, or the first one.
        """
        was = self._presence.wall_apart
        self._presence.wall_apart = apart = wall_apart(look, reading)
        return was is None or abs(apart - was) > TOLERANCE

    @property
    def offset(self) -> Span | None:
        """The line less the server's clock; None: not measured yet."""
        return self._offset

    def _take(self, line: SharedLine) -> None:
        self._anchor, self._offset = line.anchor, line.offset
        self._presence.offset = line.offset

    def _now_anchored(self) -> Anchor:
        assert self._anchor is not None  # noqa: S101  # a bay begins its line before anything else
        return self._anchor


def told_of(
    board: Board, now: Instant, *, stepped: Span, moved: Span = NO_TIME
) -> tuple[ClockJumped | ComputerSlept, ...]:
    """Return what the record is told of a clock that was set, or that stood still."""
    running = tuple(board.running)
    if moved > 0:
        return (ComputerSlept(at=now, span=moved, cartridges=running),)
    told_already = any(
        now - at <= ALIKE and abs(by - stepped) <= SECOND for at, by in board.clock_jumps[-4:]
    )
    if told_already:
        return ()
    return (ClockJumped(at=now, by_span=stepped, cartridges=running),)


def _line_at(at: Instant, look: ServerLook, reading: Reading, *, sure: bool) -> SharedLine:
    """Return the line that stands at `at` by the clocks of `reading`."""
    found = Anchor(at=at, counting=reading.counting, sure=sure)
    return SharedLine(anchor=found, offset=Span(at - _server_at(look, reading)))

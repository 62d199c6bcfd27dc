"""The time line of a shared bay: one line for several computers, none of whose clocks is trusted.

The line is the server's clock and an offset that all stations agree on. Each station measures
the server against its own counting clock and then goes by that clock alone, so neither a cut
link nor anybody who sets a clock can move a countdown:

* What the measuring cannot tell from nothing, half a round trip, moves nothing.
* The drift of quartz is taken in a little at a time. The line goes forward by no more than
  `SLEW` at a look, and back never past `latest`, the last instant on record: what was
  recorded stays in the past, and a wait that was over stays over.
* Where server and counting clock part by more than `TOLERANCE`, somebody set the server's
  clock, or this computer stood still without counting. The lines of the other stations tell
  which; with none of them here the own counting clock is believed, as in a bay with one station.

All arithmetic, in whole milliseconds: whoever asks has looked at the clocks before.
"""

from __future__ import annotations

from dataclasses import replace
from statistics import median_low
from typing import TYPE_CHECKING

from readbell.clock.anchor import Anchor
from readbell.clock.drift import TOLERANCE
from readbell.core.instant import Instant, Span
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

SLEW = Span(250)
"""The most by which one look moves a line silently (our own choice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ServerLook:
    """One measuring of the server's clock against the own counting clock."""

    server: int
    """UTC since 1970 as the server believes it, in milliseconds."""
    counting: int
    """The own counting clock at the same time, as nearly as is known."""
    within: int
    """Half of the round trip, rounded up: the server's clock was read within so much of that."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SharedLine:
    """Where the line of a shared bay touches the own counting clock, and the server's."""

    anchor: Anchor
    offset: Span
    """The line less the server's clock."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """What a look at the server's clock came to."""

    line: SharedLine
    stepped: Span = Span(0)
    """How far the server's clock was set; negative: back. The line did not move."""
    moved: Span = Span(0)
    """How far the line was moved, as this computer had stood still; 0 for drift."""


def begin(look: ServerLook, offset: Span) -> SharedLine:
    """Return the line of a station that has just measured the server's clock."""
    anchor = Anchor(at=Instant(look.server + offset), counting=look.counting)
    return SharedLine(anchor=anchor, offset=offset)


def at_look(anchor: Anchor, look: ServerLook) -> Instant:
    """Return where the line that goes by `anchor` stood at `look`."""
    return Instant(anchor.at + look.counting - anchor.counting)


def look_again(
    line: SharedLine,
    look: ServerLook,
    latest: Instant,
    others: Sequence[Span] = (),
    *,
    trusts_own: bool = True,
) -> Looked:
    """Hold the line against the server's clock once more.

    Args:
        line: as it went until now.
        look: at the server's clock.
        latest: the last instant on record, which the line never goes back past.
        others: by how much the line of each other station that is here is ahead of this one.
        trusts_own: whether the line came by the counting clock alone; False after a start
            without the server, where the wall clock said how long the computer was off.
    """
    apart = Span(look.server + line.offset - at_look(line.anchor, look))
    if abs(apart) <= look.within:
        return Looked(line=line)
    if abs(apart) <= TOLERANCE:
        doubt = look.within if apart > 0 else -look.within
        shift = max(-SLEW, min(SLEW, apart - doubt))
        return Looked(line=_moved(line, look, shift, latest))
    agreed = median_low(others) if others else (0 if trusts_own else apart)
    if abs(agreed) <= TOLERANCE:
        return Looked(line=replace(line, offset=Span(line.offset - apart)), stepped=apart)
    if abs(agreed - apart) <= TOLERANCE:
        moved = _moved(line, look, apart, latest)
        return Looked(line=moved, moved=Span(moved.anchor.at - at_look(line.anchor, look)))
    # Server, neighbours and own clock say three things: whoever keeps still does least harm.
    return Looked(line=line)


def _moved(line: SharedLine, look: ServerLook, shift: int, latest: Instant) -> SharedLine:
    stood = at_look(line.anchor, look)
    # What is on record from before may be ahead by a hair: the line then waits, and goes no further back.
    least = min(stood, latest)
    anchor = Anchor(at=Instant(max(stood + shift, least)), counting=look.counting)
    return replace(line, anchor=anchor)

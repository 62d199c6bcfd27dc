"""Which stations of a shared bay hear a call, and which of them puts an alert into the record.

Rule 1: a call is heard where calls of its kind and of the lane of its person are heard. If no
such station is here, everybody here hears it: better one too many than none.
Rule 2: heard at one station is heard at all, as long as that one is here. Once it is away
nobody can say whether anybody is still at it, so the call sounds again.
Rule 3: an alert is recorded by the station that holds the clock; by another one a moment later
if it is still missing. A lapse is recorded by the holder. Another one may only if the holder has
left, was given up, or is here and has kept silent: what a station that is away has read of its
strip nobody knows, and a lapse would throw it away. (Who has left, or was given up, holds nothing.)
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from readbell.core.board.sound import CallKind
from readbell.core.board.subjects import is_patients
from readbell.core.cartridge.events import AlertKind
from readbell.core.instant import SECOND, Instant, Span, later

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from readbell.core.board.board import Board
    from readbell.core.board.events import AlertHeard
    from readbell.core.board.sound import Call
    from readbell.core.board.stations import Here
    from readbell.core.cartridge.due import Alert

WAITS = "waits"
"""A station that hears this hears that a wait is over, and that a limit has passed."""
WINDOWS = "windows"
"""A station that hears this hears that a strip is to be read, and that its window closes."""
ROLES = (WAITS, WINDOWS)

OTHERS_WAIT = Span(3 * SECOND // 2)
"""So long after it was due another station than the holder records an alert that is missing."""
LAPSE_WAITS = Span(10 * SECOND)
"""So long after it was due another station records the lapse that a holder who is here did not."""
ON_ITS_WAY = Span(8 * SECOND)
"""So long after it was due the holder itself has to have said that it is linked.

Believed to be here it may be alone all the same: its link was just cut, or whoever asks stood still
for a while. A reading that is neither in the record by then nor beside it there never was: a station
waits for three seconds to connect and for five more for an answer.
"""

_ROLE: Mapping[CallKind, str] = {
    CallKind.WAIT_OVER: WAITS,
    CallKind.OVERDUE: WAITS,
    CallKind.READ_NOW: WINDOWS,
    CallKind.CLOSING: WINDOWS,
}


class Listener(Protocol):
    """A station that is here, and what it hears."""

    @property
    def station(self) -> str:
        """Its name."""

    @property
    def hears(self) -> frozenset[str]:
        """Some of `ROLES`; none: it hears nothing of its own accord."""

    @property
    def lanes(self) -> frozenset[str]:
        """Lanes whose people it hears of; none: all."""


def who_hears(board: Board, call: Call, listeners: Iterable[Listener]) -> frozenset[str]:
    """Return the names of the stations at which `call` sounds, of those that are here.

    What is no call of a cartridge is each station's own, and is in nobody else's hands.
    """
    here = tuple(listeners)
    role = _ROLE.get(call.kind)
    lane = lane_of(board, call.cartridge)
    should = frozenset(
        each.station
        for each in here
        if role is None or (role in each.hears and _is_of_lane(lane, each.lanes))
    )
    return should or frozenset(each.station for each in here)


def lane_of(board: Board, cartridge_id: str) -> str | None:
    """Return the lane where the person of a cartridge waits, in the site's words; None: in none."""
    cartridge = board.cartridge(cartridge_id)
    if cartridge is None or not is_patients(cartridge):
        return None
    party = board.party_of(cartridge.labelled.subject)
    return None if party is None else party.lane


def heard_here(board: Board, here: frozenset[str]) -> Mapping[str, AlertHeard]:
    """Return what was heard of each cartridge and still rests, where the stations `here` are here."""
    if not board.stations:
        return board.heard
    return {
        key: each for key, each in board.heard.items() if not each.station or each.station in here
    }


def patience(board: Board, cartridge_id: str, kind: AlertKind, at: Here) -> Span | None:
    """Return how long after its due instant this station records an alert, if it is missing still.

    None: not at all, as things now stand. Of `AlertKind.LAPSED` it is the lapse itself.
    """
    holder = board.holders.get(cartridge_id)
    if at.holds(board, cartridge_id):
        return Span(0)
    if kind is not AlertKind.LAPSED:
        return Span(0) if holder is None else OTHERS_WAIT
    if at.is_alone:
        return None
    if holder is None:
        return Span(0)
    return None if holder in at.away else LAPSE_WAITS


def may_record(board: Board, alert: Alert, at: Here, now: Instant) -> bool:
    """Say whether this station records `alert`, or the lapse that it tells of, at `now`."""
    span = patience(board, alert.cartridge, alert.kind, at)
    if span is None or now < later(alert.due, span):
        return False
    holder = board.holders.get(alert.cartridge)
    if alert.kind is not AlertKind.LAPSED or holder is None or at.holds(board, alert.cartridge):
        return True
    said = at.said.get(holder)
    return said is not None and said >= later(alert.due, ON_ITS_WAY)


def _is_of_lane(lane: str | None, lanes: frozenset[str]) -> bool:
    if lane is None or not lanes:
        return True
    return lane.strip().casefold() in {each.strip().casefold() for each in lanes}

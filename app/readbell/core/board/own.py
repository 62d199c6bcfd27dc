"""What happens at one station of a shared bay stays there.

Who is signed in, whether the sound is muted and whether the alarm was tried is true of one
screen. The shared record keeps all of it; a station takes in its own alone. Whoever only looks
into the record (`verify`, an onlooker) takes in everything, and knows nothing of that kind.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.events import (
    AlarmTested,
    ProgramStarted,
    ProgramStopped,
    SoundMuted,
    SoundRestored,
)
from readbell.core.staff.events import OperatorUnlocked, SignedIn, SignedOut, StationLocked

if TYPE_CHECKING:
    from readbell.core.board.event import Event

STAYS = (
    ProgramStarted,
    ProgramStopped,
    SignedIn,
    SignedOut,
    StationLocked,
    SoundMuted,
    SoundRestored,
    AlarmTested,
)
"""Kinds that are true of the station alone at which they happened."""


def concerns(event: Event, *, own: bool) -> bool:
    """Say whether a station takes `event` in; `own`: whether it happened at this very one."""
    return own or not isinstance(event, STAYS)


def taken_in(event: Event, *, own: bool) -> Event | None:
    """Return what of `event` a station enters on its board; None: nothing.

    Wrong PINs are counted at all stations together, or each one would give a guesser as many
    tries again. So a right PIN elsewhere has to end the count here as it does there: it comes
    to the same as if somebody had unlocked them.
    """
    if concerns(event, own=own):
        return event
    if isinstance(event, SignedIn):
        return OperatorUnlocked(at=event.at, by=event.operator, operator=event.operator)
    return None

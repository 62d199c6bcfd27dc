"""Whether somebody may quieten the alarm, and what came of its test."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from readbell.core.board.acts import HearAlert, MuteSound, TryAlarm, Unmute
from readbell.core.board.allowed import may_hear_unsigned
from readbell.core.board.events import AlarmTested, AlertHeard, SoundMuted, SoundRestored
from readbell.core.board.sound import call_at, may_be_heard
from readbell.core.instant import MINUTE, Instant, Span, later
from readbell.core.refusal import Refusal, RefusalCode

if TYPE_CHECKING:
    from readbell.core.board.acts import SoundAct
    from readbell.core.board.board import Board
    from readbell.core.board.events import SoundEvent

LONGEST_MUTE = Span(10 * MINUTE)
"""Longer than that nobody keeps in mind that no alarm will ring."""

NOTHING_CALLS = "nothing calls"
LAST_MINUTE = "last minute"
MUTE = "mute"
NO_SOUND = "no sound"
SUBJECTS = frozenset({NOTHING_CALLS, LAST_MINUTE, MUTE, NO_SOUND})
"""What a refusal of an act on the alarm is about."""


def decide_sound(board: Board, act: SoundAct, now: Instant) -> tuple[SoundEvent] | Refusal:
    """Judge an act on the alarm: whoever is registered has ears, and may."""
    if isinstance(act, HearAlert) and act.by is None and may_hear_unsigned(board):
        return _hear(board, act, None, now)
    operator = board.operators.get(act.by or "")
    if operator is None:
        return Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=act.by or "")
    match act:
        case HearAlert():
            return _hear(board, act, operator, now)
        case MuteSound():
            return _mute(act, operator, now)
        case Unmute():
            # To end a mute twice does no harm.
            return (SoundRestored(at=now, by=operator),)
        case TryAlarm():
            return (AlarmTested(at=now, by=operator, heard=act.heard),)
        case _:
            assert_never(act)


def muted_until(board: Board, now: Instant) -> Instant | None:
    """Return until when the sound is muted at `now`; None if it is not, or no longer."""
    until = board.muted_until
    return until if until is not None and now < until else None


def nobody_hears(board: Board) -> bool:
    """Say whether the last alarm test since the program started was not heard."""
    return board.alarm_test is not None and not board.alarm_test.heard


def _hear(
    board: Board, act: HearAlert, operator: str | None, now: Instant
) -> tuple[AlertHeard] | Refusal:
    cartridge = board.labelled(act.cartridge)
    if cartridge is None:
        return Refusal(code=RefusalCode.UNKNOWN_CARTRIDGE, subject=act.cartridge)
    call = call_at(cartridge, now)
    alert = None if call is None else call.alert
    if call is None or alert is None:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=NOTHING_CALLS)
    if not may_be_heard(call, now):
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=LAST_MINUTE)
    return (AlertHeard(at=now, by=operator, cartridge=cartridge.id, alert=alert),)


def _mute(act: MuteSound, operator: str, now: Instant) -> tuple[SoundMuted] | Refusal:
    if not 0 < act.span <= LONGEST_MUTE:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=MUTE, limit=LONGEST_MUTE)
    return (SoundMuted(at=now, by=operator, reason=act.reason, until=later(now, act.span)),)

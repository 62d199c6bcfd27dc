"""What happens to the alarm, and how it is doing, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from readbell.core.board.alarm import LAST_MINUTE, MUTE, NO_SOUND, muted_until, nobody_hears
from readbell.core.board.events import (
    AlarmTested,
    AlertHeard,
    MuteReason,
    SoundEvent,
    SoundMuted,
    SoundRestored,
)
from readbell.core.span_text import write_span

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.board import Board
    from readbell.core.board.sound import Sounding
    from readbell.core.instant import Instant
    from readbell.core.refusal import Refusal
    from readbell.phrases.clock_time import ClockFace

MUTE_REASONS: dict[MuteReason, str] = {
    MuteReason.CONVERSATION: "a conversation is not to be broken into",
    MuteReason.DISTRESS: "the sound distresses somebody",
    MuteReason.ANNOUNCEMENT: "something else has to be heard",
    MuteReason.FALSE_ALARM: "it was a false alarm",
    MuteReason.OTHER: "for a reason of their own",
}

LISTEN = "The alarm sounds now. Say whether it was heard where you work."


def tell_of_sound(event: SoundEvent, board: Board, face: ClockFace) -> str:
    """Return the line for `event`; `board` is as it is after it."""
    match event:
        case AlertHeard():
            cartridge = board.cartridge(event.cartridge)
            label = "A cartridge" if cartridge is None else cartridge.label
            alert = event.alert.replace("-", " ")
            return f"{label} heard: {alert}. Its sound rests for a while, its mark stays."
        case SoundMuted():
            return f"MUTED until {face.time_from(event.until)}: {MUTE_REASONS[event.reason]}."
        case SoundRestored():
            return "The sound is back on."
        case AlarmTested():
            if event.heard:
                return "Alarm tested: heard."
            return (
                "NO SOUND: the alarm test was not heard. Turn the computer's sound and the bell of the "
                "terminal up, and test again; till then watch the board."
            )
        case _:
            assert_never(event)


def how_it_sounds(board: Board, sounding: Sounding, now: Instant, face: ClockFace) -> Iterator[str]:
    """Yield a line for each thing that keeps the alarm from being heard; none if it rings well."""
    until = muted_until(board, now)
    if until is not None:
        yield f"MUTED until {face.time_from(until)}"
    if sounding.failed is not None:
        yield _failed(sounding.failed)
    elif not sounding.can_sound:
        yield "NO SOUND: nothing here can ring; watch the board"
    elif nobody_hears(board):
        yield "NO SOUND: the alarm test was not heard; watch the board"
    if sounding.command_fault is not None:
        yield _no_command(sounding.command_fault)


def what_changed(before: Sounding, after: Sounding) -> Iterator[str]:
    """Yield a line for each thing that has changed about the alarm."""
    if after.failed != before.failed:
        yield _failed(after.failed) if after.failed else "The alarm works again."
    if after.command_fault != before.command_fault:
        fault = after.command_fault
        yield _no_command(fault) if fault else "The sound command works again."
    late = say_late_screen(after)
    if late is not None and after.late_screen != before.late_screen:
        yield late


def say_late_screen(sounding: Sounding) -> str | None:
    """Return what a screen says of itself once it is alive again, or None if it never stood."""
    late = sounding.late_screen
    return None if late is None else f"SCREEN LATE {late.span // 1000} s: trust the sound"


def refused_sound(refusal: Refusal, cartridge: str) -> str:
    """Return why the alarm was not quietened or tested."""
    if refusal.subject == LAST_MINUTE:
        return f"{cartridge} is in the last minute of its window. Its sound stays on: read it now."
    if refusal.subject == MUTE and refusal.limit is not None:
        return f"A mute lasts {write_span(refusal.limit)} at most. Mute for less, and again if need be."
    if refusal.subject == NO_SOUND:
        return "Nothing here can ring. Watch the board."
    return f"Nothing calls for {cartridge}. There is no sound to hear."


def _failed(fault: str) -> str:
    return f"NO SOUND: the alarm failed ({fault}); watch the board, and start readbell again"


def _no_command(fault: str) -> str:
    return f"NO SOUND COMMAND: {fault}"

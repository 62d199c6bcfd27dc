"""What may be hushed in a plain bay, and for how long."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from machine.plain_parts import MINUTE
from machine.plain_time import TimeLine

if TYPE_CHECKING:
    from machine.plain_parts import Code


@dataclass
class Sounds(TimeLine):
    """What was heard, what is muted, and whether the alarm was tried."""

    def hear(self, by: str, label: str) -> Code:
        """Say that a sound was heard."""
        if by not in self.operators:
            return "unknown-operator"
        if label not in self.cartridges:
            return "unknown-cartridge"
        call = self.cartridges[label].call(self.now)
        if call is None or (call[1] is not None and self.now >= call[1]):
            return "not-allowed"
        self.heard[label] = call[0]
        return None

    def mute(self, by: str, span: int) -> Code:
        """Let nothing sound for a while."""
        if by not in self.operators:
            return "unknown-operator"
        if not 0 < span <= 10 * MINUTE:
            return "not-allowed"
        self.muted_until = self.now + span
        return None

    def unmute(self, by: str) -> Code:
        """Give the sound back."""
        if by not in self.operators:
            return "unknown-operator"
        self.muted_until = None
        return None

    def try_alarm(self, by: str, *, heard: bool) -> Code:
        """Say whether the alarm was heard."""
        if by not in self.operators:
            return "unknown-operator"
        self.alarm_heard = heard
        return None

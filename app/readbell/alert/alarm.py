"""Everything here that can make a sound, as one."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from readbell.alert.bell import TerminalBell
    from readbell.alert.command import SoundCommand
    from readbell.core.board.sound import Sound


class Alarm:
    """Rings the bell and runs the command, as far as the site has them."""

    def __init__(self, bell: TerminalBell | None, command: SoundCommand | None) -> None:
        self._bell = bell
        self._command = command

    @property
    def can_sound(self) -> bool:
        """Whether there is anything that could be heard."""
        return self._command is not None or self.has_bell

    @property
    def has_bell(self) -> bool:
        """Whether there is a terminal to ring, and leave to ring it."""
        return self._bell is not None and self._bell.is_there

    @property
    def fault(self) -> str | None:
        """Why the command last failed; None if it did not, or there is none."""
        return None if self._command is None else self._command.fault

    def ring(self, sound: Sound) -> None:
        """Make `sound`, without waiting for it."""
        if self._bell is not None:
            self._bell.ring()
        if self._command is not None:
            self._command.run(sound)

    def close(self) -> None:
        """Fall silent, and let go of the terminal."""
        if self._bell is not None:
            self._bell.close()
        if self._command is not None:
            self._command.close()

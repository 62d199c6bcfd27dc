"""The board's own way to a terminal: reads keys, writes pictures, waits for neither.

The library's own would stop the whole program while a terminal does not read,
read the keyboard twice after a stop, and end at a wrong byte.
"""

from __future__ import annotations

import os
import select
import signal
import sys
import termios
import threading
from contextlib import suppress
from typing import TYPE_CHECKING, Any

from textual import events
from textual.driver import Driver
from textual.geometry import Size

from readbell.ui.decoder import Decoder
from readbell.ui.writer import Writer

if TYPE_CHECKING:
    from collections.abc import Iterable

    from textual.message import Message

    from readbell.ui.app import BoardApp

ENTER = (
    "\x1b[?1049h"  # the other screen, so that what stood there comes back
    "\x1b[?25l"  # no cursor
    "\x1b[?7l"  # no line goes on in the next
    "\x1b[?2004h"  # pastes are told from keys
)
LEAVE = "\x1b[?7h\x1b[?2004l\x1b[?1000l\x1b[?1006l\x1b[<9u\x1b[0m\x1b[?1049l\x1b[?25h"
CLICKS = "\x1b[?1000h\x1b[?1006h"
EXTENDED_KEYS = "\x1b[>25u"
ASK_FOR_SYNC = "\x1b[?2026$p"

_READ_BYTES = 4096
_NOTICE = 0.02
"""Seconds between looks while something is half said."""
_PASTE_ENDS = 0.5
"""Seconds of silence after which a paste is over, whatever the terminal says."""
_LOCAL = termios.ECHO | termios.ICANON | termios.IEXTEN | termios.ISIG
_INPUT = (
    termios.IXON | termios.IXOFF | termios.ICRNL | termios.INLCR | termios.IGNCR | termios.ISTRIP
)


class BoardDriver(Driver):
    """One terminal, from the start of the board to its end."""

    _app: BoardApp

    def __init__(
        self,
        app: BoardApp,
        *,
        debug: bool = False,  # noqa: ARG002  # would write keys into a file
        mouse: bool = True,
        size: tuple[int, int] | None = None,
    ) -> None:
        super().__init__(app, debug=False, mouse=mouse, size=size)
        self._keyboard = sys.__stdin__.fileno() if sys.__stdin__ else 0
        self._screen = sys.__stdout__.fileno() if sys.__stdout__ else 1
        self._writer = Writer(self._screen, app.fail)
        self._found: list[Any] | None = None
        self._enough, self._tell_enough = os.pipe()
        self._reader: threading.Thread | None = None
        self._over = threading.Event()

    @property
    def behind(self) -> bool:
        """Whether the terminal has yet to take what was written."""
        return self._writer.behind

    def write(self, data: str) -> None:
        """Hand `data` on; never waits."""
        self._writer.write(data)

    def start_application_mode(self) -> None:
        """Take the terminal over."""
        self._writer.start()
        with suppress(termios.error):
            self._found = termios.tcgetattr(self._keyboard)
        self._take_over()
        self._loop.add_signal_handler(signal.SIGWINCH, self._resized)
        self._loop.add_signal_handler(signal.SIGCONT, self._come_back)
        # The board is never put to sleep by its terminal: timers run on.
        self._loop.add_signal_handler(signal.SIGTSTP, lambda: None)
        self._reader = threading.Thread(target=self._listen, name="readbell-keys", daemon=True)
        self._reader.start()
        self._tell_size()

    def disable_input(self) -> None:
        """Listen no longer."""
        if self._over.is_set():
            return
        self._over.set()
        for number in (signal.SIGWINCH, signal.SIGCONT, signal.SIGTSTP):
            self._loop.remove_signal_handler(number)
        os.write(self._tell_enough, b".")
        if self._reader is not None:
            self._reader.join()
        with suppress(termios.error):
            termios.tcflush(self._keyboard, termios.TCIFLUSH)

    def stop_application_mode(self) -> None:
        """Give the terminal back as it was found."""
        self.disable_input()
        self.write(LEAVE)
        if self._found is not None:
            with suppress(termios.error):
                termios.tcsetattr(self._keyboard, termios.TCSANOW, self._found)

    def close(self) -> None:
        """Let the last bytes out, if anybody takes them."""
        self.disable_input()
        self._writer.stop()
        with suppress(OSError):
            os.close(self._enough)
            os.close(self._tell_enough)

    def _take_over(self) -> None:
        if self._found is not None:
            raw = list(self._found)
            raw[0] &= ~_INPUT
            raw[3] &= ~_LOCAL
            # A list of its own: what was found must stay as it was found.
            raw[6] = list(raw[6])
            raw[6][termios.VMIN], raw[6][termios.VTIME] = 1, 0
            with suppress(termios.error):
                termios.tcsetattr(self._keyboard, termios.TCSANOW, raw)
        self.write(ENTER)
        if self._mouse:
            self.write(CLICKS)
        if os.environ.get("TEXTUAL_DISABLE_KITTY_KEY") != "1":
            self.write(EXTENDED_KEYS)
        if os.environ.get("TERM_PROGRAM") != "Apple_Terminal":  # would print a letter of it
            self.write(ASK_FOR_SYNC)

    def _come_back(self) -> None:
        """Set up the terminal once more: whoever had it meanwhile left it otherwise."""
        self._take_over()
        self._resized()

    def _resized(self) -> None:
        """Paint all of it: what stood there may be torn, even where the size is as it was before."""
        self._app.torn()
        self._tell_size()

    def look_again(self) -> None:
        """Tell of another size of the window, though no word of it came, or came too soon."""
        with suppress(OSError):
            size = Size(*os.get_terminal_size(self._screen))
            if size.area and size != self._size:
                self._resized()

    def _tell_size(self) -> None:
        try:
            size = Size(*os.get_terminal_size(self._screen))
        except OSError:
            return
        if size.area:
            self._size = size
            self.send_message(events.Resize(size, size))

    def _listen(self) -> None:
        try:
            self._read_until_told()
        except Exception as error:  # noqa: BLE001  # ends the board, with a record of it
            self._app.fail(error)

    def _read_until_told(self) -> None:
        decoder, silence = Decoder(), 0.0
        while not self._over.is_set():
            patience = _NOTICE if decoder.expects_more else None
            ready, _, _ = select.select([self._keyboard, self._enough], [], [], patience)
            if self._keyboard not in ready:
                silence += _NOTICE
                self._hand_on(decoder.tick())
                if decoder.in_paste and silence >= _PASTE_ENDS:
                    self._hand_on(decoder.end_paste())
                continue
            silence = 0.0
            data = self._read()
            if not data:
                self._app.input_ended()
                return
            self._hand_on(decoder.feed(data))

    def _read(self) -> bytes:
        try:
            return os.read(self._keyboard, _READ_BYTES)
        except OSError:
            return b""  # the terminal is gone

    def _hand_on(self, found: Iterable[Message]) -> None:
        """Hand on what was read at once: it came in one instant, however long it takes to tell it apart.

        Else a busy computer would take a scan for the letters of a hand, or for two texts.
        """
        came_at: float | None = None
        for message in found:
            came_at = message.time if came_at is None else came_at
            message.time = came_at
            message.set_sender(self._app)
            with suppress(RuntimeError):  # the loop has ended meanwhile
                self.send_message(message)

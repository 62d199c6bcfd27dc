"""Turns the bytes of a terminal into keys, and outlives any byte.

The library's own reading ends the program at a byte that is no UTF-8 and at a
few malformed sequences, drops ESC out of a text or makes it a "^", and waits
for ever for the end of a paste. All of that can stand in a barcode.
"""

from __future__ import annotations

import codecs
from typing import TYPE_CHECKING

from textual import events, messages
from textual._xterm_parser import BRACKETED_PASTE_END, BRACKETED_PASTE_START, XTermParser

from readbell.ui.keyboard import LOST_KEY, LOST_SIGN

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from textual.message import Message

ESCAPE = "\x1b"
_CONTROL = "\x1b["
WANTED = (events.Key, events.Paste, events.MouseDown, messages.TerminalSupportsSynchronizedOutput)
"""All that the board listens to. Nothing else comes in: a code must not set the size of the screen."""


class _Keys(XTermParser):
    """Hands on each sign that cannot be made out as a lost one, where the library is silent."""

    def _sequence_to_key_events(self, sequence: str, alt: bool = False) -> Iterable[events.Key]:
        if sequence == ESCAPE:
            # Out of a sequence that nobody knows; the key itself does not come this way.
            return [_lost()]
        try:
            keys = list(super()._sequence_to_key_events(sequence, alt))
        except (ValueError, OverflowError):
            return [_lost()]
        # ESC and a hyphen are a long dash to some terminals; in a code they are what they are.
        twisted = sequence[0] == ESCAPE and sequence[:2] != _CONTROL and any(map(_types, keys))
        return [_lost(), *keys] if alt or twisted else keys


class Decoder:
    """Takes bytes in, gives keys, pastes and clicks out."""

    def __init__(self) -> None:
        self._bytes = codecs.getincrementaldecoder("utf-8")(errors="replace")
        self._keys = _Keys()
        self._tail = ""
        self.in_paste = False
        """Whether the end of a paste is still to come."""

    @property
    def expects_more(self) -> bool:
        """Whether something is half said, so that `tick` matters."""
        return self.in_paste or self._keys._timeout_time is not None  # noqa: SLF001

    def feed(self, data: bytes) -> Iterator[Message]:
        """Yield what `data` says, together with what came before."""
        text = self._bytes.decode(data)
        if text:
            self._note_paste(text)
            yield from self._feed(text)
        yield from self.tick()

    def tick(self) -> Iterator[Message]:
        """Yield what has waited long enough, as an Escape that nothing followed."""
        yield from filter(_is_wanted, self._keys.tick())

    def end_paste(self) -> Iterator[Message]:
        """Yield the paste so far: its end will not come."""
        self.in_paste = False
        # The first may be taken for the end of an unfinished sequence.
        yield from self._feed(f"{BRACKETED_PASTE_END} {BRACKETED_PASTE_END}")

    def _feed(self, text: str) -> Iterator[Message]:
        try:
            yield from filter(_is_wanted, self._keys.feed(text))
        except Exception:  # noqa: BLE001  # whatever it was, the next scan must find a reader
            self._keys = _Keys()
            yield _lost()

    def _note_paste(self, text: str) -> None:
        recent = self._tail + text
        begun, ended = recent.rfind(BRACKETED_PASTE_START), recent.rfind(BRACKETED_PASTE_END)
        if begun != ended:
            self.in_paste = begun > ended
        self._tail = recent[-(len(BRACKETED_PASTE_END) - 1) :]


def _lost() -> events.Key:
    return events.Key(LOST_KEY, LOST_SIGN)


def _types(key: events.Key) -> bool:
    return key.character is not None and key.character.isprintable()


def _is_wanted(message: Message) -> bool:
    return isinstance(message, WANTED)

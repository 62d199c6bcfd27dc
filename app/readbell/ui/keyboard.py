"""Turns keys into what a person gave: a text with its end, or a key pressed on purpose.

A scanner is a keyboard that types very fast, and any sign may stand in a
barcode. So this looks at the time between keys:

* A text is scanned if it has at least four letters and no gap in it, its end
  included, is longer than `BURST`. All else is typed, also what is pasted:
  in doubt the weaker claim.
* A text with a scan in it and a `PAUSE` as well is refused: it may be two texts.
* A key amid letters that come so fast was not pressed by anybody: it is a sign
  that got lost. As it may also come first, a key waits for `BURST` before it
  counts, and a key that repeats while held down counts once.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from readbell.core.cartridge.events import How
from readbell.core.made_later import dataclass
from readbell.hand.given import Faulty, Key, Pressed, Scanned, Steer, Steered

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readbell.hand.given import Given

BURST = 0.05
"""Seconds; keys nearer than this were not pressed one by one."""
PAUSE = 0.3
"""Seconds; a busy computer or a slow line may hold up a letter of a scan for less than this."""
LEAST_SCANNED = 4
"""Letters; two or three may roll off a quick hand as fast."""
SURELY_SCANNED = 6
"""Letters in a burst that no hand types, so a scanner did, whatever else stands beside them."""
LONGEST = 120
LOST_SIGN = "\ufffd"
LOST_KEY = "lost-sign"
"""The name under which a decoder hands on a sign that it could not make out."""
GROUP_SEPARATOR = "\x1d"
"""Ends a field of unknown length inside a code; without it two fields are one."""
PREFIXES = ("]d2", "]C1", "]Q3", "]e0")
"""Tell which kind of code was scanned; no part of what it says."""

LOST = "Signs in it were lost or cannot be shown. Nothing was taken. Scan again, or type it."
MIXED = (
    "Letters stood there before the scan, so it may be two in one. Nothing was taken. Scan again."
)
TOO_LONG = f"It has more than {LONGEST} letters. Nothing was taken. Scan again, one at a time."
PASTED_INTO = (
    "Text was pasted behind letters that stood there. Nothing was taken. Type or scan one again."
)
AMID = "A key came in the same instant as a scan and did nothing. If you meant it, press it again."

_PRESSED = {
    "f1": Key.HELP,
    "f2": Key.START,
    "f3": Key.DONE,
    "f4": Key.LOOK,
    "f5": Key.READ,
    "f6": Key.SECOND,
    "f8": Key.HEARD,
    "f9": Key.ROOMS,
    "f12": Key.VOID,
    "ctrl+q": Key.LEAVE,
    "up": Key.UP,
    "down": Key.DOWN,
    "left": Key.LEFT,
    "right": Key.RIGHT,
    "pageup": Key.PAGE_UP,
    "pagedown": Key.PAGE_DOWN,
    "home": Key.HOME,
    "escape": Key.BACK,
}
STEERING: Mapping[str, Steer] = {"f7": Steer.SPEED, "f10": Steer.ANSWER, "f11": Steer.ONWARD}
"""What a rehearsal has beside those; on a live board they do nothing."""
_REPEATING = {Key.UP, Key.DOWN, Key.LEFT, Key.RIGHT, Key.PAGE_UP, Key.PAGE_DOWN}
"""Held down, these go on; each counts by itself."""
_TAKES_TEXT = {Key.START, Key.DONE, Key.LOOK, Key.READ, Key.SECOND, Key.VOID}
"""Whoever types `2` and presses F3 means both; the other keys leave the scan line as it is."""
_ENDS = {"enter", "ctrl+j", "ctrl+m", "tab"}
_SILENT = re.compile(
    r"(left|right)_(shift|control|alt|super|hyper|meta)|iso_level\d_shift|\w+_lock"
)
"""Keys that some terminals report though nothing is typed by them; capitals in a scan need them."""
_LINE_END = re.compile(r"\r\n|[\r\n]")
_FIRST_NOT_ASCII = 0x80


@dataclass(frozen=True, slots=True)
class _Held:
    """A key that waits to see whether letters follow too fast."""

    name: str
    key: Key | Steer | None
    at: float


class Keyboard:
    """The letters that stand in the scan line, and the keys that wait to count.

    Instants are seconds on any one clock that never goes back.

    Args:
        steering: what keys do beside those of every board.
    """

    def __init__(self, steering: Mapping[str, Steer] | None = None) -> None:
        self._steering = steering or {}
        self._text = ""
        self._runs: list[int] = []
        """How many letters came in each burst; a letter by itself is a run of one."""
        self._by_hand = self._too_long = self._paused = False
        self._held: list[_Held] = []
        self._last_sign = self._last_key = float("-inf")

    @property
    def text(self) -> str:
        """What stands in the scan line."""
        return self._text

    @property
    def holds(self) -> bool:
        """Whether a key waits; then `settle` is to be called after `BURST`."""
        return bool(self._held)

    def in_burst(self, at: float) -> bool:
        """Say whether letters are coming too fast at `at` for anything else to count."""
        return at - self._last_sign < BURST

    def press(self, name: str, character: str | None, at: float) -> tuple[Given, ...]:
        """Take in the key called `name`, which types `character`; return what was given by it."""
        if _SILENT.fullmatch(name):
            return ()
        settled = self.settle(at)
        if name in _ENDS:
            given = self._end(at)
        elif (sign := _sign(name, character)) is not None:
            given = self._add(sign, at)
        else:
            given = self._act(name, at)
        self._last_key = at
        return settled + given

    def settle(self, at: float) -> tuple[Given, ...]:
        """Return what keys gave that have waited long enough at `at`."""
        given: list[Given] = []
        while self._held:
            first = self._held[0]
            since = first.at if first.key in _REPEATING else self._last_key
            if at - since < BURST:
                break
            del self._held[0]
            if first.key is Key.BACK and self._text:
                self._clear()
            elif first.key is not None:
                given.append(self._pressed(first.key))
        return tuple(given)

    def _pressed(self, key: Key | Steer) -> Given:
        """Return the key with what stands in the scan line, if it is a key that takes that."""
        takes_text = isinstance(key, Steer) or key in _TAKES_TEXT
        if not takes_text or not self._text.strip(" "):
            return _with(key, "")
        text, too_long = self._text.strip(" "), self._too_long
        self._clear()
        if too_long:
            return Faulty(TOO_LONG)
        found = _text(text, How.TYPED)
        return _with(key, found.text) if isinstance(found, Scanned) else found

    def pasted(self, text: str, at: float) -> tuple[Given, ...]:
        """Take in a text that came at once, end included."""
        settled = self.settle(at)
        lines = [line.strip(" ") for line in _LINE_END.split(text)]
        lines = [line for line in lines if line]
        stood = bool(self._text or self._held)
        self._clear()
        self._held.clear()
        if not lines:
            return settled
        if len(lines) > 1:
            why = f"{len(lines)} lines were pasted at once. Nothing was taken. Scan one at a time."
            return (*settled, Faulty(why))
        return (*settled, Faulty(PASTED_INTO) if stood else _text(lines[0], How.TYPED))

    def _add(self, sign: str, at: float) -> tuple[Given, ...]:
        signs = LOST_SIGN * len(self._held) + sign
        self._held.clear()
        if self._text and self.in_burst(at):
            self._runs[-1] += len(signs)
        else:
            self._runs.append(len(signs))
        self._paused = self._paused or (bool(self._text) and at - self._last_sign >= PAUSE)
        self._too_long = self._too_long or len(self._text) + len(signs) > LONGEST
        self._text = (self._text + signs)[:LONGEST]
        self._last_sign = at
        return ()

    def _end(self, at: float) -> tuple[Given, ...]:
        in_burst, too_long, paused = self.in_burst(at), self._too_long, self._paused
        runs = self._runs
        text = self._text.strip(" ") + LOST_SIGN * len(self._held)
        by_hand = self._by_hand or len(runs) > 1 or not in_burst
        self._held.clear()
        self._clear()
        self._last_sign = at
        if text == "":
            return ()
        if text == "?":
            return (Pressed(Key.HELP),)
        if too_long:
            return (Faulty(TOO_LONG),)
        if LOST_SIGN not in text and paused and max(runs, default=0) >= SURELY_SCANNED:
            return (Faulty(MIXED),)
        scanned = not by_hand and runs[0] >= LEAST_SCANNED
        return (_text(text, How.SCANNED if scanned else How.TYPED),)

    def _act(self, name: str, at: float) -> tuple[Given, ...]:
        key = _PRESSED.get(name) or self._steering.get(name)
        if self.in_burst(at):
            if self._text:
                return self._add(LOST_SIGN, at)
            # Behind the end of a scan, so perhaps out of the same code.
            self._last_sign = at
            return () if key in (None, Key.HEARD) else (Faulty(AMID),)
        if name == "backspace" and self._text:
            self._take_back()
        elif key in _REPEATING or name not in {held.name for held in self._held}:
            self._held.append(_Held(name, key, at))
        return ()

    def _take_back(self) -> None:
        self._text, self._by_hand = self._text[:-1], True
        self._runs[-1] -= 1
        self._runs = [run for run in self._runs if run > 0]
        if not self._text:
            self._clear()

    def _clear(self) -> None:
        self._text, self._runs = "", []
        self._by_hand = self._too_long = self._paused = False


def _with(key: Key | Steer, typed: str) -> Given:
    return Steered(key, typed) if isinstance(key, Steer) else Pressed(key, typed)


def _sign(name: str, character: str | None) -> str | None:
    """Return the letter that a key types, None if it types none."""
    if name == "ctrl+right_square_bracket":
        return GROUP_SEPARATOR
    if character is None or len(character) != 1:
        return None
    if character.isprintable():
        return character
    # A control sign of the old set is a key of the keyboard; of the new ones none is.
    return LOST_SIGN if ord(character) >= _FIRST_NOT_ASCII else None


def _text(text: str, how: How) -> Given:
    for prefix in PREFIXES:
        text = text.removeprefix(prefix) if text.startswith(prefix) else text
    if len(text) > LONGEST:
        return Faulty(TOO_LONG)
    whole = all(sign.isprintable() or sign == GROUP_SEPARATOR for sign in text)
    if not text or not whole or LOST_SIGN in text:
        return Faulty(LOST)
    return Scanned(text, how)

"""A board that shows what it was given, run as a program on a terminal by the tests.

What it was given goes into the file that its first word names, a JSON list a
line, so that a test sees more than fits on a screen. The other words change it.
"""

from __future__ import annotations

import json
import os
import signal
import sys
import time
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any

from readbell.hand.given import Faulty, Key, Pressed, Scanned
from readbell.ui.app import run_board
from readbell.ui.crash import Crashed
from readbell.ui.decoder import Decoder
from readbell.ui.ink import Line, Piece, Token, line
from readbell.ui.keyboard import BURST
from readbell.ui.palette import Depth

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from textual.message import Message

    from readbell.hand.given import Given
    from readbell.ui.app import Shell

SECRET = "P-Quillfeather"  # noqa: S105  # a person, not a password


class Notebook:
    """Writes down what was given, and shows it."""

    def __init__(self, shell: Shell, notes: Path, words: list[str]) -> None:
        self._shell, self._words = shell, words
        self._notes = notes.open("a", buffering=1, encoding="utf-8")
        self._given: list[str] = []
        self._text = ""
        self._paints = self._beats = 0

    def lines(self, width: int, height: int) -> tuple[Line, ...]:
        """Paint a head, what was given, and the scan line."""
        self._paints += 1
        if "slow" in self._words:
            end = time.monotonic() + 0.2  # noqa: TID251
            while time.monotonic() < end:  # noqa: TID251
                pass
        if "rows" in self._words:
            return tuple(
                Line(
                    (
                        Piece(f"C{row:02} {SECRET}  opens in "),
                        Piece(f"{self._paints + row:4}", Token.EYES),
                    )
                )
                for row in range(height)
            )
        if "colours" in self._words:
            return tuple(
                Line((Piece(f"{token:<12}", token, bold), Piece(" beside")), chosen=bold)
                for token in Token
                for bold in (False, True)
            )[:height]
        head = line(f"{width}x{height} beats {self._beats}")
        given = [line(each) for each in self._given[-(height - 2) :]]
        blank = [line()] * (height - 2 - len(given))
        return (head, *given, *blank, line(f"> {self._text}"))

    def take(self, given: Given) -> None:
        """Write it down."""
        match given:
            case Scanned(text, how):
                note = ["scan", text, str(how)]
                if text == "RAISE":
                    person = SECRET
                    raise ValueError(person)
            case Pressed(key):
                note = ["key", str(key)]
            case Faulty(why):
                note = ["fault", why]
        self._note(note)
        if given == Pressed(Key.LEAVE):
            self._shell.leave()

    def click(self, column: int, row: int) -> None:
        """Write it down."""
        self._note(["click", str(column), str(row)])

    def typed(self, text: str) -> None:
        """Show it."""
        self._text = text

    def beat(self) -> None:
        """Count it."""
        self._beats += 1
        if "beats" in self._words:
            self._notes.write(json.dumps(["beat", time.time()]) + "\n")  # noqa: TID251

    def until_next_tick(self) -> float:
        """Tick fast where a test would have to wait."""
        if "ticks" in self._words:
            self._notes.write(json.dumps(["tick"]) + "\n")
        return 0.05 if "fast" in self._words else 1 - time.time() % 1  # noqa: TID251

    def _note(self, note: list[str]) -> None:
        self._notes.write(json.dumps(note) + "\n")
        self._given.append(" ".join(note))


def halting(feed: Callable[[Decoder, bytes], Iterator[Message]]) -> Any:
    """Return what makes keys of bytes with halts in between, as on a computer that is held up."""

    def fed(decoder: Decoder, data: bytes) -> Iterator[Message]:
        for each in feed(decoder, data):
            yield each
            time.sleep(2 * BURST)

    return fed


def main() -> int:
    """Show the board, and print how it ended."""
    notes, *words = sys.argv[1:]
    if "halting" in words:
        Decoder.feed = halting(Decoder.feed)  # type: ignore[method-assign]
    if "deaf" in words:  # no word comes of another size of the window
        signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGWINCH})
    depth = next((Depth(word) for word in words if word in set(Depth)), Depth.FULL)
    ending = run_board(lambda shell: Notebook(shell, Path(notes), words), depth=depth)
    with Path(notes).open("a", encoding="utf-8") as book:
        book.write(json.dumps(["ended", str(ending)]) + "\n")
        book.write(json.dumps(["cpu", sum(os.times()[:2])]) + "\n")
    with suppress(OSError):  # the terminal may be gone
        os.write(1, f"ended {ending}\r\n".encode())
    return 3 if isinstance(ending, Crashed) else 0


if __name__ == "__main__":
    sys.exit(main())

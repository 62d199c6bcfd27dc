"""The board on a terminal, with a scanner, a hand on its keyboard and an ear for its bell."""

from __future__ import annotations

from contextlib import suppress

import pytest

from patience import PATIENCE_SECONDS
from ui.terminal_for_tests import Terminal, now

A_STROKE_OF_ITS_OWN = 0.8
"""Seconds between two strokes of one key that are both meant."""
A_SLOW_MOMENT = 10.0
"""Seconds after which a stroke that did nothing was not taken: even a busy machine is quicker."""


class Bench(Terminal):
    """The board on a terminal, with a scanner and a hand on its keyboard."""

    def until_seen(self, *words: str, patience: float = PATIENCE_SECONDS) -> None:
        """Read on until each of `words` stands on the screen; not longer than the program lives."""

        def is_so() -> bool:
            return all(word in self.picture for word in words)

        self.until(lambda: is_so() or self.process.poll() is not None, patience)
        while not is_so() and self.read():
            pass
        assert is_so(), f"it has ended; on the screen:\n{self.picture}"

    def scan(self, *texts: str) -> None:
        """Scan each as a scanner does: letters and Enter in one burst, however slow this machine is."""
        for each in texts:
            self.until_a_hand_may_go_on()
            self.give(f"{each}\r")

    def pause(self, seconds: float) -> None:
        """Let a hand take its time, and read on meanwhile."""
        end = now() + seconds
        while (left := end - now()) > 0:
            self.read(left)

    def scan_for(self, text: str, *words: str) -> None:
        """Scan and wait until `words` are seen."""
        self.scan(text)
        self.until_seen(*words)

    def press_for(self, key: str, *words: str) -> None:
        """Press a key and wait until `words` are seen."""
        self.press(key)
        self.until_seen(*words)

    def leave(self) -> None:
        """Leave the board as a person does: asked, and said once more."""
        self.press_for("ctrl+q", "Leave the board")
        self.pause(A_STROKE_OF_ITS_OWN)
        self.press("ctrl+q")
        assert self.wait() == 0

    def until_it_has_settled(self) -> None:
        """Wait until the board has painted three seconds: all that came before is taken in.

        A board that was held up paints one as soon as it goes on, and the next in any moment.
        """
        self.until(lambda: not self.has_untaken())
        for _ in range(3):
            before = self.rows[0]
            self.until(lambda before=before: self.rows[0] != before)  # type: ignore[misc]

    def go(self, room: str) -> None:
        """Walk round the rooms until `room` is visited, and stay there.

        One stroke at a time, each once the last was taken: on a slow machine strokes would
        pile up, and lead past it.
        """
        while True:
            while f"[{room}]" not in self.picture:
                before = self.picture.partition("[")[2].partition("]")[0]
                self.press("right")
                with suppress(pytest.fail.Exception):  # too soon after the last one: it was deaf
                    self.until(
                        lambda before=before: f"[{before}]" not in self.picture,  # type: ignore[misc]
                        patience=A_SLOW_MOMENT,
                    )
                self.pause(A_STROKE_OF_ITS_OWN)
            self.until_it_has_settled()
            if f"[{room}]" in self.picture:
                return

    def type_line(self, text: str) -> None:
        """Type as a person does on a plain terminal, and end with Enter."""
        self.give(f"{text}\r")

    @property
    def answer(self) -> str:
        """What the program last answered: the rows above the scan line."""
        rows = self.rows
        place = next((n for n, row in enumerate(rows) if row.startswith(" Scan ")), None)
        if place is None:
            return ""  # a part of the picture has yet to come
        return " ".join(each.strip() for each in rows[place - 2 : place]).strip()

    @property
    def bells(self) -> int:
        """How often the terminal rang: an end of a title or link is no bell."""
        return bells_in(bytes(self.output))

    def row_of(self, label: str) -> str:
        """The row of one cartridge in the list."""
        found = [row for row in self.rows if row[3:10].strip(" []").split(" ")[0] == label]
        return found[0] if found else ""


def bells_in(output: bytes) -> int:
    """Count BEL, apart from those that only end a sequence of the system kind."""
    count, inside = 0, False
    at = 0
    while at < len(output):
        if output[at : at + 2] == b"\x1b]":
            inside = True
        elif inside and output[at : at + 2] == b"\x1b\\":
            inside = False
        elif output[at] == 7:
            count += not inside
            inside = False
        at += 1
    return count

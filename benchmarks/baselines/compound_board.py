"""The baseline of T2: a board as one would first write it, a compound widget for each cartridge.

Written with care all the same: each second only what changed is updated, and
without a new layout.
"""

from __future__ import annotations

import sys
import time

from textual.app import App, ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.widgets import Static

MINUTES = 10
COLUMNS = 40


class Row(Horizontal):
    """One cartridge: tag, patient, state, time left and a bar."""

    def __init__(self, number: int, ends: float) -> None:
        super().__init__()
        self._number, self._ends = number, ends
        self._left = Static("", classes="left")
        self._bar = Static("", classes="bar")
        self._shown = ("", "")

    def compose(self) -> ComposeResult:
        """Yield the parts."""
        yield Static(f"{self._number:04}", classes="tag")
        yield Static(f"P-{self._number:04}", classes="patient")
        yield Static("opens in", classes="state")
        yield self._left
        yield self._bar

    def show(self, now: float) -> None:
        """Show what is left."""
        seconds = max(0, int(self._ends - now))
        filled = COLUMNS - COLUMNS * seconds // (MINUTES * 60)
        shown = (f"{seconds // 60}:{seconds % 60:02}", "#" * filled + "-" * (COLUMNS - filled))
        for widget, before, after in zip((self._left, self._bar), self._shown, shown, strict=True):
            if before != after:
                widget.update(after, layout=False)
        self._shown = shown


class CompoundBoard(App[None]):
    """So many rows and a line to scan into."""

    CSS = """
    Row { height: 1; }
    .tag, .left { width: 8; } .patient, .state { width: 12; } .bar { width: 44; }
    """

    def __init__(self, cartridges: int) -> None:
        super().__init__()
        now = time.monotonic()
        self._rows = [Row(each, now + MINUTES * 60 + each / 10) for each in range(cartridges)]

    def compose(self) -> ComposeResult:
        """Yield the rows."""
        with VerticalScroll():
            yield from self._rows
        yield Static(" Scan ")

    def on_mount(self) -> None:
        """Begin to count."""
        self._tick()
        self.set_interval(1.0, self._tick)

    def _tick(self) -> None:
        now = time.monotonic()
        for each in self._rows:
            each.show(now)


if __name__ == "__main__":
    CompoundBoard(int(sys.argv[1])).run(mouse=False)

"""A rehearsal as the terminal's shell wants it: the board as it is, and the bench under it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.instant import SECOND
from readbell.ui.bench_band import Band, band, band_rows
from readbell.ui.page import Page, compose

if TYPE_CHECKING:
    from readbell.hand.given import Given
    from readbell.ui.ink import Line
    from readbell.ui.look import Look
    from readbell.ui.rehearsal_front import RehearsalFront

SHORTEST_TICK = 0.05
"""Seconds; however fast the clock goes, nobody sees more pictures than this."""
LONGEST_TICK = 1.0


class RehearsalScreen:
    """One rehearsal on one terminal."""

    def __init__(self, front: RehearsalFront, look: Look) -> None:
        self._front = front
        self._look = look
        self._typed = ""
        self._page = Page(lines=())
        self._band = Band(lines=())

    def lines(self, width: int, height: int) -> tuple[Line, ...]:
        """Return the present picture."""
        present = self._front.present()
        lent = band_rows(height)
        self._page = compose(
            present,
            self._look,
            width,
            height - lent,
            typed=self._typed,
            top=self._page.top,
            lent=lent,
        )
        self._front.page = self._page.list_rows
        stand, bench = self._front.on_bench(present)
        self._band = band(stand, bench, self._look.glyphs, width, height)
        return (*self._page.lines, *self._band.lines)

    def take(self, given: Given) -> None:
        """Hand on a scan or a key."""
        self._front.take(given)

    def click(self, column: int, row: int) -> None:
        """Hand on what stands where somebody clicked."""
        top = len(self._page.lines)
        given: Given | None = (
            self._page.given_at(column, row)
            if row < top
            else self._band.given_at(column, row - top)
        )
        if given is not None:
            self._front.take(given)

    def typed(self, text: str) -> None:
        """Keep what stands in the scan line, to be shown."""
        self._typed = text

    def beat(self) -> None:
        """Say nothing: at twenty times the speed of life every screen would seem late."""

    def until_next_tick(self) -> float:
        """Return the real seconds to the next whole one of the rehearsal's clock."""
        speed = self._front.speed
        if not speed:
            return LONGEST_TICK
        left = (SECOND - self._front.wall() % SECOND) / SECOND / speed
        return max(SHORTEST_TICK, left)

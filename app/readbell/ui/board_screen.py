"""The board as the terminal's shell wants it: lines when asked, and whatever is given handed on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.instant import SECOND
from readbell.ui.page import Page, compose

if TYPE_CHECKING:
    from readbell.hand.given import Given
    from readbell.ui.front import Front
    from readbell.ui.ink import Line
    from readbell.ui.look import Look


class BoardScreen:
    """One board on one terminal."""

    def __init__(self, front: Front, look: Look) -> None:
        self._front = front
        self._look = look
        self._typed = ""
        self._page = Page(lines=())

    def lines(self, width: int, height: int) -> tuple[Line, ...]:
        """Return the present picture."""
        self._page = compose(
            self._front.present(),
            self._look,
            width,
            height,
            typed=self._typed,
            top=self._page.top,
        )
        self._front.page = self._page.list_rows
        return self._page.lines

    def take(self, given: Given) -> None:
        """Hand on a scan or a key."""
        self._front.take(given)

    def click(self, column: int, row: int) -> None:
        """Hand on what stands where somebody clicked."""
        given = self._page.given_at(column, row)
        if given is not None:
            self._front.take(given)

    def typed(self, text: str) -> None:
        """Keep what stands in the scan line, to be shown."""
        self._typed = text

    def beat(self) -> None:
        """Say that the screen lives."""
        self._front.beat()

    def until_next_tick(self) -> float:
        """Return the seconds to the next whole one of the wall clock, by which people compare."""
        return (SECOND - self._front.wall() % SECOND) / SECOND

"""The rows painted last, kept: of most only the figure is made anew each second.

A row is what its cartridge, its place on the screen and the instant make of it.
Which part of it may change next, and when, is known as it is made; until then
the rest is taken as it stands. What is kept is never anything else than what
would be painted afresh.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.instant import SECOND, Instant
from readbell.ui.row import Shared, held_elsewhere, parts_of, patient_shown, tag_shown

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.phrases.board_words import Standing
    from readbell.phrases.clock_time import ClockFace
    from readbell.ui.ink import Line
    from readbell.ui.listing import Pointed
    from readbell.ui.row import Parts


class _Kept:
    """One row as it was painted last."""

    __slots__ = (
        "_begins",
        "_cartridge",
        "_chosen",
        "_figure",
        "_flash",
        "_line",
        "_names",
        "_parts",
        "_second",
    )

    def __init__(
        self, cartridge: Cartridge, now: Instant, shared: Shared, *, chosen: bool, flash: bool
    ) -> None:
        self._cartridge, self._chosen, self._flash = cartridge, chosen, flash
        self._begins = now
        self._names = _names(cartridge, shared)
        self._parts: Parts = parts_of(cartridge, now, shared, chosen=chosen, flash=flash)
        self._second = _clock_second(self._parts.stands, shared.face)
        self._figure = self._parts.stands.figure(now)
        self._line = self._parts.with_figure(self._figure, shared.columns)

    def holds(
        self, cartridge: Cartridge, now: Instant, face: ClockFace, *, chosen: bool, flash: bool
    ) -> bool:
        """Say whether all but the figure is still so, on the board for which it was made."""
        return (
            self._cartridge is cartridge
            and self._begins <= now < self._parts.ends
            and self._chosen == chosen
            and self._flash == flash
            and self._second == _clock_second(self._parts.stands, face)
        )

    def is_named_as(self, shared: Shared) -> bool:
        """Say whether everything is called the same on another board."""
        return self._names == _names(self._cartridge, shared)

    def line(self, now: Instant, shared: Shared) -> Line:
        """Return the row; the very same one where its figure is the same too."""
        figure = self._parts.stands.figure(now)
        if figure != self._figure:
            self._figure = figure
            self._line = self._parts.with_figure(figure, shared.columns)
        return self._line


class _Rows:
    """The rows in sight."""

    __slots__ = ("_board", "_frame", "_kept")

    def __init__(self) -> None:
        self._board: Board | None = None
        self._frame: object = None
        self._kept: dict[str, _Kept] = {}

    def of(
        self, every: Sequence[Cartridge], now: Instant, shared: Shared, pointed: Pointed
    ) -> list[Line]:
        frame = _frame(shared)
        if frame != self._frame:
            self._frame, self._kept = frame, {}
        is_same_board = shared.board is self._board
        before, self._kept, self._board = self._kept, {}, shared.board
        lines = []
        for each in every:
            chosen, flash = each.id == pointed.chosen, each.id in pointed.flashing
            kept = before.get(each.id)
            if (
                kept is None
                or not kept.holds(each, now, shared.face, chosen=chosen, flash=flash)
                or not (is_same_board or kept.is_named_as(shared))
            ):
                kept = _Kept(each, now, shared, chosen=chosen, flash=flash)
            self._kept[each.id] = kept
            lines.append(kept.line(now, shared))
        return lines


_ROWS = _Rows()


def rows_of(
    every: Sequence[Cartridge], now: Instant, shared: Shared, pointed: Pointed
) -> list[Line]:
    """Return the row of each of `every`."""
    return _ROWS.of(every, now, shared, pointed)


def _frame(shared: Shared) -> object:
    """Return what all kept rows were made for, names apart."""
    return (
        shared.columns,
        shared.glyphs,
        shared.face.zone,
        shared.masked,
        shared.placed,
        shared.several,
        shared.calls,
        shared.here,
    )


def _names(cartridge: Cartridge, shared: Shared) -> tuple[str | None, ...]:
    """Return whatever a row takes from the board."""
    party = shared.board.party_of(cartridge.labelled.subject)
    return (
        tag_shown(cartridge, shared),
        patient_shown(cartridge, shared.board, shared.glyphs),
        None if party is None else shared.board.name(party.key),
        None if party is None else party.key,
        held_elsewhere(cartridge, shared),
    )


def _clock_second(stands: Standing, face: ClockFace) -> int:
    """Return the second of the clock time that may stand in the row.

    The wall clock and the line of time are read one after the other, so how far
    they are apart differs by a millisecond from look to look, and mostly no second changes.
    """
    if stands.due is None:
        return 0
    at = face.wall(stands.due)
    return at // SECOND if stands.is_last else -(-at // SECOND)

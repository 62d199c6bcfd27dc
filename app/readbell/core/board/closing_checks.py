"""What a shift would end with undone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.controls_due import controls_due
from readbell.core.board.reconcile import reconcile
from readbell.core.board.review import awaiting_review
from readbell.core.board.temperature import next_due, places_out_of_range
from readbell.core.climate.events import Where
from readbell.core.shift.checks import Left, LeftKind

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from readbell.core.board.board import Board
    from readbell.core.instant import Instant


def left_undone(board: Board, since: Instant, now: Instant, today: date) -> tuple[Left, ...]:
    """Return what is undone at `now` of a shift that began at `since`; none: it ends clean."""
    found = (
        (LeftKind.UNFINISHED, _unfinished(board)),
        (LeftKind.HELD, tuple(each.label for each in awaiting_review(board))),
        (LeftKind.UNTOLD, still_to_tell(board)),
        (LeftKind.UNSENT, still_to_send(board)),
        (LeftKind.NOT_COUNTED, tuple(_not_counted(board, since))),
        (LeftKind.TEMPERATURE, tuple(_temperature(board, now))),
        (LeftKind.CONTROLS, tuple(dict.fromkeys(_controls(board, now, today)))),
    )
    return tuple(Left(kind=kind, about=about) for kind, about in found if about)


def still_to_tell(board: Board) -> tuple[str, ...]:  # noqa: ARG001  # nothing is told from here yet
    """Return the labels of positives, and of corrections, that somebody has yet to be told."""
    return ()


def still_to_send(board: Board) -> tuple[str, ...]:  # noqa: ARG001  # nothing is sent from here yet
    """Return the labels of what a report has yet to be sent of."""
    return ()


def _unfinished(board: Board) -> tuple[str, ...]:
    running = sorted(board.running.values(), key=lambda each: each.ordinal)
    return tuple(each.label for each in running)


def _not_counted(board: Board, since: Instant) -> Iterator[str]:
    for each in reconcile(board, since):
        if each.left is not None and (each.used or each.lost) and not each.was_counted:
            yield each.lot


def _temperature(board: Board, now: Instant) -> Iterator[str]:
    out = {each.where for key in board.assays for each in places_out_of_range(board, key)}
    for where in Where:
        due = next_due(board, where)
        if where in out or (due is not None and due <= now):
            yield str(where)


def _controls(board: Board, now: Instant, today: date) -> Iterator[str]:
    for each in controls_due(board, now, today):
        if each.is_overdue(now):
            yield f"{each.lot} {each.kind}"

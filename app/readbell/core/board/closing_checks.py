"""What a shift would end with undone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.controls_due import controls_due
from readbell.core.board.reconcile import reconcile
from readbell.core.board.review import awaiting_review
from readbell.core.board.sending import unsent
from readbell.core.board.temperature import next_due, places_out_of_range
from readbell.core.board.worklist import pressing
from readbell.core.climate.events import Where
from readbell.core.results.to_tell import Urgency
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
        (LeftKind.UNTOLD, still_to_tell(board, now)),
        (LeftKind.NOT_NOTIFIED, still_to_notify(board, now)),
        (LeftKind.UNSENT, still_to_send(board)),
        (LeftKind.NOT_COUNTED, tuple(_not_counted(board, since))),
        (LeftKind.TEMPERATURE, tuple(_temperature(board, now))),
        (LeftKind.CONTROLS, tuple(dict.fromkeys(_controls(board, since, now, today)))),
    )
    return tuple(Left(kind=kind, about=about) for kind, about in found if about)


def still_to_tell(board: Board, now: Instant) -> tuple[str, ...]:
    """Return the labels of positives nobody was told of, and of what misled somebody."""
    first = (Urgency.PUT_RIGHT, Urgency.POSITIVE)
    return tuple(each.result.label for each in pressing(board, now) if each.urgency in first)


def still_to_notify(board: Board, now: Instant) -> tuple[str, ...]:
    """Return the labels of what the site's offices have yet to be notified of."""
    notices = (each for each in pressing(board, now) if each.urgency is Urgency.NOTICE)
    return tuple(each.result.label for each in notices)


def still_to_send(board: Board) -> tuple[str, ...]:
    """Return the labels of what has yet to leave in a form that the site expects."""
    return tuple(result.label for result, forms in unsent(board) if forms)


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


def _controls(board: Board, since: Instant, now: Instant, today: date) -> Iterator[str]:
    # What only lies in the store is proven when it is opened: no shift ends the worse for it.
    at_work = {each.lot for each in reconcile(board, since) if each.used}
    at_work.update(board.open_boxes.values())
    for each in controls_due(board, now, today):
        if each.is_overdue(now) and each.lot in at_work:
            yield f"{each.lot} {each.kind}"

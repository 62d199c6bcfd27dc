"""The opening checks of a shift: a list made from what is due, so that none is ticked by habit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.controls_due import controls_due
from readbell.core.board.reconcile import is_low
from readbell.core.board.temperature import next_due, places_out_of_range
from readbell.core.climate.events import Where
from readbell.core.instant import DAY, between
from readbell.core.shift.checks import Check, CheckState, Facts, Item
from readbell.core.stock.lot import refuse_lot

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from readbell.core.board.board import Board
    from readbell.core.instant import Instant

LEAST_FREE = 200_000_000
"""With fewer bytes left the disk is told of: months of records, or one big update (our choice)."""

_PLACES = {Where.BAY: Item.BAY_TEMPERATURE, Where.STORE: Item.STORE_TEMPERATURE}


def opening_checks(
    board: Board, facts: Facts, now: Instant, today: date, *, light: bool = False
) -> tuple[Check, ...]:
    """Return every line with what is found at `now`; a place that nobody measures has none.

    Args:
        board: the bay.
        facts: what the computer says of itself.
        now: when it is looked.
        today: the site's date.
        light: whether a person has said that strips are well lit.
    """
    return (
        _alarm(board),
        Check(item=Item.LIGHT, state=CheckState.FINE if light else CheckState.DUE),
        *_temperatures(board, now),
        _controls(board, now, today),
        _lots(board, now, today),
        _open_box(board, today),
        *_of_computer(facts),
        *_keeping(board, facts, now),
    )


def _alarm(board: Board) -> Check:
    tested, last = board.alarm_test, board.shift_book.last
    border = None if last is None or last.closed is None else last.closed.at
    if tested is None or (border is not None and tested.at < border):
        return Check(item=Item.ALARM, state=CheckState.DUE)
    return Check(item=Item.ALARM, state=CheckState.FINE if tested.heard else CheckState.FAULT)


def _temperatures(board: Board, now: Instant) -> Iterator[Check]:
    for where, item in _PLACES.items():
        out = any(
            noted.where is where
            for key in board.assays
            for noted in places_out_of_range(board, key)
        )
        due = next_due(board, where)
        if due is not None and due <= now:
            yield Check(item=item, state=CheckState.DUE)
        elif out or where in board.climate.failed:
            yield Check(item=item, state=CheckState.FAULT)
        elif due is not None:
            yield Check(item=item, state=CheckState.FINE)


def _controls(board: Board, now: Instant, today: date) -> Check:
    overdue = [each for each in controls_due(board, now, today) if each.is_overdue(now)]
    about = tuple(dict.fromkeys(f"{each.lot} {each.kind}" for each in overdue))
    return Check(
        item=Item.CONTROLS, state=CheckState.DUE if overdue else CheckState.FINE, about=about
    )


def _lots(board: Board, now: Instant, today: date) -> Check:
    """Name the lots with something left that is not in order, and the assays that run short."""
    shelved = [each for each in board.lots.values() if not each.is_used_up]
    bad = [each.number for each in shelved if refuse_lot(each, today) is not None]
    warn = board.policy.warn_expiry_days
    soon = [
        each.number
        for each in shelved
        if each.number not in bad and (each.good_until - today).days <= warn
    ]
    assays = dict.fromkeys(each.assay.id for each in board.assays.values())
    low = [each for each in assays if is_low(board, each, now)]
    about = (*bad, *soon, *low)
    return Check(item=Item.LOTS, state=CheckState.FAULT if about else CheckState.FINE, about=about)


def _open_box(board: Board, today: date) -> Check:
    """Name every box that stands open; one of them that is not good any more is a fault."""
    lots = [board.lots[each] for each in board.open_boxes.values()]
    if not lots:
        return Check(item=Item.OPEN_BOX, state=CheckState.DUE)
    refused = any(refuse_lot(each, today) is not None for each in lots)
    state = CheckState.FAULT if refused else CheckState.FINE
    return Check(item=Item.OPEN_BOX, state=state, about=tuple(each.number for each in lots))


def _of_computer(facts: Facts) -> Iterator[Check]:
    changed = facts.changed_assays
    yield Check(
        item=Item.ASSAYS, state=_said(None if changed is None else not changed), about=changed or ()
    )
    free = facts.disk_free
    yield Check(item=Item.DISK, state=_said(None if free is None else free >= LEAST_FREE))
    yield Check(item=Item.RECORD, state=_said(facts.record_is_whole))
    yield Check(item=Item.CLOCK, state=_said(facts.clock_is_set))
    yield Check(item=Item.SETTINGS, state=_said(facts.settings_are_fine))


def _keeping(board: Board, facts: Facts, now: Instant) -> Iterator[Check]:
    """Yield whether an erasing is due, where the site says how long names are kept."""
    if facts.keep_days:
        since = board.names_since
        is_due = since is not None and between(since, now) > facts.keep_days * DAY
        yield Check(item=Item.KEEPING, state=CheckState.DUE if is_due else CheckState.FINE)


def _said(fine: bool | None) -> CheckState:
    if fine is None:
        return CheckState.UNKNOWN
    return CheckState.FINE if fine else CheckState.FAULT

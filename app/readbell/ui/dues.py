"""What the bay itself is owed, as short marks behind its name; the rooms say the rest."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.controls_due import controls_due
from readbell.core.board.reconcile import is_low
from readbell.core.board.temperature import next_due, places_out_of_range
from readbell.core.board.worklist import is_notice_overdue
from readbell.core.climate.events import Where
from readbell.core.policy.shifts import Shifts
from readbell.phrases.around_words import clock_in_the_header, in_the_header
from readbell.phrases.of_climate import PLACES, write_celsius

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.hand.scene import Scene

TEMPERATURE_DUE = "temperature due"
OUT_OF_RANGE = "OUT OF RANGE"
SHIFT_CLOSED = "no shift open"
SAMPLES_DUE = "samples due"
STOCK_LOW = "stock low"
PUT_RIGHT = "tell: put right"
NOTICE_OVERDUE = "notice overdue"
TO_SEND = "to send"


def station_of(scene: Scene) -> tuple[str, ...]:
    """Return which station of a shared bay this is, in fewer and fewer words; of another, none."""
    around = scene.around
    if around is None:
        return ()
    return in_the_header(
        around.station,
        len(around.seen),
        len(around.away),
        len(scene.board.apart),
        is_alone=around.alone is not None,
    )


def dues_of(scene: Scene) -> Iterator[str]:
    """Yield a mark for each thing that is due, then when the shift began."""
    board, now, around = scene.board, scene.now, scene.around
    if around is not None:
        wrong_clock = clock_in_the_header(around.wall_apart)
        if wrong_clock:
            yield wrong_clock
    today = scene.face.local(now).date()
    since = board.shift_book.since
    if since is None and board.policy.shifts is Shifts.ON:
        yield SHIFT_CLOSED
    # The same figure may be out of the range of several assays.
    out = dict.fromkeys(each for key in board.assays for each in places_out_of_range(board, key))
    for each in out:
        yield f"{OUT_OF_RANGE} {PLACES[each.where]} {write_celsius(each.celsius)}"
    if board.to_put_right:
        yield PUT_RIGHT
    if is_notice_overdue(board, now):
        yield NOTICE_OVERDUE
    if any(each.is_overdue(now) for each in controls_due(board, now, today)):
        yield SAMPLES_DUE
    policy = board.policy
    measured = (next_due(board, where) for where in Where)
    if any(each is not None and each <= now for each in measured):
        yield TEMPERATURE_DUE
    if policy.low_stock_units or policy.low_stock_hours:
        assays = {each.assay.id for each in board.assays.values()}
        if any(is_low(board, each, now) for each in assays):
            yield STOCK_LOW
    if board.policy.reports_expected and board.unsent:
        yield f"{len(board.unsent)} {TO_SEND}"
    if since is not None:
        yield f"shift since {scene.face.minute(since)}"

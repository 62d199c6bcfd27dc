"""What the bay itself is owed, as short marks behind its name; the rooms say the rest."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.controls_due import controls_due
from readbell.core.board.reconcile import is_low
from readbell.core.board.temperature import next_due
from readbell.core.climate.events import Where
from readbell.core.policy.shifts import Shifts

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.hand.scene import Scene

TEMPERATURE_DUE = "temperature due"
SHIFT_CLOSED = "no shift open"
SAMPLES_DUE = "samples due"
STOCK_LOW = "stock low"


def dues_of(scene: Scene) -> Iterator[str]:
    """Yield a mark for each thing that is due now, then since when the shift is open."""
    board, now = scene.board, scene.now
    today = scene.face.local(now).date()
    since = board.shift_book.since
    if since is None and board.policy.shifts is Shifts.ON:
        yield SHIFT_CLOSED
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
    if since is not None:
        yield f"shift since {scene.face.local(since):%H:%M}"

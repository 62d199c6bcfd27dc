"""The layout of a board on which something is in hand, or something was just answered."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from readbell.ui.measures import Measures

TASK_ROWS = 10
"""A task below the list has so many rows before the list has any."""

LIST_ROWS = 8
"""So many rows the list keeps before the row of the next start gives way to an answer."""


def making_room(m: Measures, said: int, *, is_task: bool) -> Measures:
    """Return the layout in which a task has rows enough, and an answer covers nothing."""
    rows, region = m.rows, m.detail
    under = region is not None and region.column == 0
    if region is not None and under and is_task:
        every = rows.list_rows + region.height
        kept = min(rows.list_rows, max(0, every - TASK_ROWS))
        rows = replace(rows, list_rows=kept)
        region = replace(region, row=rows.list_top + kept, height=every - kept)
    end = rows.scan - said
    if region is not None:
        over = max(0, region.row + region.height - end)
        left = max(1, region.height - over)
        # In the end the panel moves up: what is in hand is worth more than the last rows.
        over -= region.height - left
        region = replace(region, row=region.row - over, height=left)
        rows = replace(rows, list_rows=max(0, rows.list_rows - (over if under else 0)))
    if not under:
        slot = rows.slot
        if slot is not None and slot >= end and end - 1 - rows.list_top >= LIST_ROWS:
            # An answer stands until the next one: who may be begun, and when, is not hidden by it.
            slot = end = end - 1
        list_rows = max(0, min(rows.list_rows, end - rows.list_top))
        rows = replace(rows, slot=slot, list_rows=list_rows)
    return replace(m, rows=rows, detail=region)

"""A line about telling, turned into an act; a slip that is handed over is made first."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.bay.staff_desk import begin_of_day
from readbell.core.board.decide import decide
from readbell.core.results.telling import Channel, ResultTold, TellResult

if TYPE_CHECKING:
    from collections.abc import Callable

    from readbell.bay.bay import Bay
    from readbell.bay.desk import HandOver
    from readbell.bay.news import Answer
    from readbell.core.private import Private
    from readbell.scenarios.telling_lines import TellLine


async def serve_telling(
    bay: Bay, line: TellLine, keep_apart: Callable[[str], Private], hand_over: HandOver
) -> Answer:
    """Do what `line` asks on the day that it is at the bay.

    Raises:
        ReadbellError: a slip was to be made, and cannot be; nothing was noted.
    """
    act = TellResult(
        by=line.by,
        cartridge=line.cartridge,
        to=line.to,
        how=line.how,
        since=begin_of_day(bay),
        person=line.person,
        made_sure=line.person_by,
        version=line.version,
        words=None if line.words is None else keep_apart(line.words),
    )
    if line.how is Channel.SLIP and not line.made:
        board = bay.board
        decided = decide(board, act, bay.now())
        if isinstance(decided, tuple):
            for event in decided:
                if isinstance(event, ResultTold):
                    # First the paper: a record of one that does not exist would mislead. It is
                    # made beside the bay's own turns, as an alarm must not wait for it.
                    await asyncio.to_thread(hand_over, board, event)
                    # What is noted is what stands on the paper, or nothing if it changed meanwhile.
                    act = replace(act, version=event.version)
    return await bay.do(act)

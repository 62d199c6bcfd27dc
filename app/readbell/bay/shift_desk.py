"""What is said to a bay about the shift, turned into acts; the computer is looked at here."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.bay.site_time import site_date, time_zone
from readbell.core.board.record_check import RecordState
from readbell.core.made_later import dataclass
from readbell.core.shift.acts import CloseShift, OpenShift
from readbell.scenarios.shift_lines import CloseShiftLine, OpenShiftLine

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import date

    from readbell.bay.bay import Bay
    from readbell.bay.news import Answer, News
    from readbell.core.board.board import Board
    from readbell.core.private import Private
    from readbell.core.shift.checks import Facts
    from readbell.scenarios.shift_lines import ShiftLine

_WHOLE = {RecordState.WHOLE: True, RecordState.BROKEN: False}


@dataclass(frozen=True, slots=True, kw_only=True)
class ShiftDesk:
    """Turns lines about the shift into acts."""

    look_about: Callable[[Board], Facts]
    """Says what the computer says of itself: disk, clock, files."""
    private: Callable[[str], Private]
    """Keeps free text apart, so that it can be erased."""

    async def serve(self, bay: Bay, line: ShiftLine) -> Answer:
        """Do what `line` asks."""
        present = bay.present()
        match line:
            case OpenShiftLine():
                facts = replace(
                    self.look_about(present.board),
                    record_is_whole=_WHOLE.get(present.record_check.state),
                )
                return await bay.do(
                    OpenShift(by=line.by, facts=facts, today=today(present), light=line.light)
                )
            case CloseShiftLine():
                words = None if line.why is None else self.private(line.why)
                return await bay.do(CloseShift(by=line.by, today=today(present), words=words))
            case _:
                return await bay.sign_day_sheet(line.by, line.shift)


def today(news: News) -> date:
    """Return the site's date."""
    founded = news.board.founded
    return site_date(news.wall, time_zone("UTC" if founded is None else founded.timezone))

"""The line that enters a run from paper, turned into an act: clock times become instants."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.bay.site_time import EPOCH, day_began, site_date, time_zone
from readbell.core.instant import Instant
from readbell.core.paper.acts import EnterPaperRun

if TYPE_CHECKING:
    from datetime import datetime

    from readbell.bay.bay import Bay
    from readbell.scenarios.paper_lines import PaperRunLine


def act_of_paper(bay: Bay, line: PaperRunLine, new_id: str) -> EnterPaperRun:
    """Return what `line` asks of `bay`; times without an offset are those of the site."""
    news, board = bay.present(), bay.board
    founded = board.founded
    zone = time_zone("UTC" if founded is None else founded.timezone)

    def instant(said: datetime) -> Instant:
        aware = said if said.tzinfo is not None else said.replace(tzinfo=zone)
        wall = round((aware - EPOCH).total_seconds() * 1_000)
        return Instant(news.at - (news.wall - wall))

    lot = board.lots.get(line.lot)
    assay = None if lot is None else board.assays[lot.assay].assay
    order = () if assay is None else tuple(step.key for step in assay.steps)
    # In the assay's own order, however they were written down; what it has not comes last.
    keys = sorted(line.steps, key=lambda key: order.index(key) if key in order else len(order))
    return EnterPaperRun(
        by=line.by,
        new_id=new_id,
        operator=line.operator,
        witness=line.witness,
        label=line.cartridge,
        person=line.person,
        lot=line.lot,
        steps=tuple((key, instant(line.steps[key])) for key in keys),
        read=instant(line.read),
        give_or_take=line.doubt(),
        bands=line.bands(assay),
        today=site_date(news.wall, zone),
        day_began=day_began(news.at, news.wall, zone),
    )

"""Adds up what a record says of its cartridges, its control samples and its near misses."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.bay.site_time import site_time, time_zone
from readbell.core.board.wall_time import wall_of
from readbell.core.figures.counted import Counted
from readbell.core.figures.figures import Figures, SampleRun
from readbell.core.figures.near_misses import NearMisses
from readbell.core.figures.table import Table
from readbell.journal.all_counted import all_counted
from readbell.journal.counting import SiteDays
from readbell.journal.verify import no_collection
from readbell.phrases.clock_time import time_of_day

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from readbell.core.board.board import Board
    from readbell.core.figures.table import Chosen
    from readbell.core.figures.view import By
    from readbell.journal.snapshot import Base

    Tell = Callable[[str, int, int], None]


def figures_of(
    board: Board,
    base: Base,
    chosen: Chosen,
    by: tuple[By, ...],
    tell: Tell,
) -> Figures:
    """Return the figures of a record.

    Args:
        board: what it adds up to.
        base: the snapshot that this was made from.
        chosen: which cases are asked about.
        by: in which ways they are to be told apart.
        tell: is told what is done, how many of it, and of how many.
    """
    table, counted = Table(chosen, by), Counted()
    with no_collection():
        for part in all_counted(board, base, lambda at, of: tell("counting cartridges", at, of)):
            table.take(part)
            counted.join(part.outcomes())
    return Figures(
        table=table,
        counted=counted,
        samples=tuple(_samples(board, chosen)),
        near_misses=_near_misses(board, chosen),
        on_paper=sum(1 for _ in _on_paper(board, chosen)),
    )


def _samples(board: Board, chosen: Chosen) -> Iterator[SampleRun]:
    zone = time_zone("UTC" if board.founded is None else board.founded.timezone)
    room = board.samples
    for each in sorted(room.judged.values(), key=lambda judged: judged.at):
        material = room.materials.get(each.material)
        assay = None if material is None else material.assay
        when = site_time(wall_of(board, each.at), zone)
        day = when.date().isoformat()
        if _is_asked(chosen, day, assay, each.lot):
            yield SampleRun(
                day=day,
                time=time_of_day(when, "minutes"),
                material=each.material,
                kind=None if material is None else material.kind,
                lot=each.lot,
                assay=assay,
                verdict=each.verdict,
                by=each.by,
            )


def _near_misses(board: Board, chosen: Chosen) -> NearMisses:
    found, days = NearMisses(), SiteDays(board)
    for miss in board.near_misses.values():
        day, hour = days.of(miss.at)
        if _is_asked(chosen, day, miss.assay, miss.lot):
            found.add(miss, hour)
    return found


def _on_paper(board: Board, chosen: Chosen) -> Iterator[str]:
    days = SiteDays(board)
    for key, run in board.paper_runs.items():
        day, _ = days.of(run.read)
        adopted = board.assays.get(run.assay)
        if _is_asked(chosen, day, None if adopted is None else adopted.assay.id, run.lot):
            yield key


def _is_asked(chosen: Chosen, day: str, assay: str | None, lot: str | None) -> bool:
    return (
        chosen.holds_day(day)
        and (not chosen.assays or assay in chosen.assays)
        and (not chosen.lots or lot in chosen.lots)
    )

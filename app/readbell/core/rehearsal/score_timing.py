"""Which times of the assay an attempt kept, and on which gloves there was no time to change."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from readbell.core.cartridge.at_instant import window
from readbell.core.cartridge.stage import Stage
from readbell.core.instant import between
from readbell.core.rehearsal.score_marks import Area, Kept, Lane, Mistake, Slip, Timed
from readbell.core.rehearsal.score_right import in_its_time, of_wait

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from readbell.core.assay.step import Wait
    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge, StepMark
    from readbell.core.instant import Instant, Span


def times_of(cartridge: Cartridge) -> Iterator[Timed]:
    """Yield each wait of `cartridge` that was ended, and its read window once it was read or lost."""
    for mark in cartridge.marks:
        step = cartridge.assay.step(mark.step)
        wait = None if step is None else step.wait
        until = None if wait is None else cartridge.mark_of(wait.until)
        if wait is not None and until is not None:
            yield _wait(cartridge, mark, wait, until)
    applied, rules, reading = cartridge.applied, cartridge.assay.reading, cartridge.reading
    lost = cartridge.stage is Stage.LAPSED
    if applied is None or (reading is None and not lost):
        return
    # Where two have to read it, a window in which only one came is lost as well.
    lasted = None if lost or reading is None else between(applied.said, reading.at)
    yield Timed(
        cartridge=cartridge.label,
        since=cartridge.assay.last_step.key,
        reads=True,
        lasted=lasted,
        least=rules.opens,
        most=rules.closes,
        kept=_kept_window(lasted, stated=applied.stated),
    )


def _kept_window(lasted: Span | None, *, stated: bool) -> Kept:
    # A reading outside its window is refused: one that is on record was inside.
    if lasted is None:
        return Kept.LOST
    return Kept.STATED if stated else Kept.KEPT


def _wait(cartridge: Cartridge, since: StepMark, wait: Wait, until: StepMark) -> Timed:
    lasted = between(since.done.said, until.done.said)
    kept = Kept.KEPT
    if since.done.stated or until.done.stated:
        kept = Kept.STATED
    elif lasted < wait.least:
        kept = Kept.SHORT
    elif wait.most is not None and lasted > wait.most:
        kept = Kept.LONG
    return Timed(
        cartridge=cartridge.label,
        since=since.step,
        reads=False,
        lasted=lasted,
        least=wait.least,
        most=wait.most,
        kept=kept,
        called=wait.name,
    )


def late_and_lost(
    cartridges: Iterable[Cartridge],
    board: Board,
    asleep: Sequence[tuple[Instant, Instant]] = (),
) -> Iterator[Mistake]:
    """Yield each wait that was not kept though the work went on, and each window that was lost.

    Args:
        cartridges: all of them.
        board: as it is at the end.
        asleep: from when to when the lid was shut; what opened and closed meanwhile is nobody's.
    """
    for cartridge in cartridges:
        for each in times_of(cartridge):
            if each.kept is Kept.LOST:
                yield _lost(cartridge, asleep)
            elif each.kept in (Kept.SHORT, Kept.LONG):
                yield _not_kept(cartridge, each, board)


def _lost(cartridge: Cartridge, asleep: Sequence[tuple[Instant, Instant]]) -> Mistake:
    span = window(cartridge)
    closes = None if span is None else span.closes
    at = cartridge.labelled.at if closes is None else closes
    slept = closes is not None and any(
        shut <= span.opens and closes <= opened for shut, opened in asleep if span is not None
    )
    return Mistake(
        at=at,
        area=Area.TIMING,
        code=Slip.SLEPT_THROUGH if slept else Slip.WINDOW_LOST,
        refused=False,
        cartridge=cartridge.label,
        right=in_its_time(cartridge, at),
    )


def _not_kept(cartridge: Cartridge, each: Timed, board: Board) -> Mistake:
    step, since = cartridge.assay.step(each.since), cartridge.mark_of(each.since)
    wait = None if step is None else step.wait
    until = None if wait is None else cartridge.mark_of(wait.until)
    short = each.kept is Kept.SHORT
    at = cartridge.labelled.at if until is None else until.done.said
    return Mistake(
        at=at,
        area=Area.TIMING,
        code=Slip.WAIT_SHORT if short else Slip.WAIT_LONG,
        refused=False,
        by=None if until is None else board.name(until.by),
        cartridge=cartridge.label,
        span=each.lasted,
        limit=each.least if short else each.most,
        right=None if since is None or wait is None else of_wait(cartridge, since, wait, at),
    )


def gloves(cartridges: Iterable[Cartridge], board: Board) -> Iterator[Mistake]:
    """Yield where one pair of hands went from one person's specimen to another's too fast.

    A step is recorded as it ends, so the time from one to the next is never less than what was
    there for a change of gloves: whoever is named here had no time for it. Times that were stated
    say nothing.
    """
    touched: dict[str, list[tuple[Instant, Cartridge]]] = {}
    for cartridge in cartridges:
        for mark in cartridge.marks:
            step = cartridge.assay.step(mark.step)
            if step is not None and step.touches_specimen and not mark.done.stated:
                touched.setdefault(mark.by, []).append((mark.done.said, cartridge))
    for by, all_of in touched.items():
        all_of.sort(key=lambda each: (each[0], each[1].ordinal))
        for (before, one), (after, other) in pairwise(all_of):
            took, change = between(before, after), other.assay.glove_change
            if one.labelled.subject != other.labelled.subject and took < change:
                yield Mistake(
                    at=after,
                    area=Area.SAFETY,
                    code=Slip.NO_TIME_FOR_GLOVES,
                    refused=False,
                    by=board.name(by),
                    cartridge=other.label,
                    span=took,
                    limit=change,
                )


def lane_of(cartridge: Cartridge, board: Board, lapsed: Instant | None) -> Lane:
    """Return `cartridge` on the time line.

    Args:
        cartridge: as it ended.
        board: as it is at the end.
        lapsed: when it was recorded as lapsed, if it was.
    """
    span, reading, voided = window(cartridge), cartridge.reading, cartridge.voided
    return Lane(
        cartridge=cartridge.label,
        person=board.name(cartridge.labelled.subject),
        marks=tuple((mark.step, mark.done.said) for mark in cartridge.marks),
        opens=None if span is None else span.opens,
        closes=None if span is None else span.closes,
        looks=tuple(each.at for each in cartridge.early_looks),
        read=None if reading is None else reading.at,
        lapsed=lapsed,
        voided=None if voided is None else voided.at,
        read_by=None if reading is None else board.name(reading.by),
    )

"""What would have been right in place of a mistake: the times of the assay, and what the strip showed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.cartridge.at_instant import window
from readbell.core.instant import between, later
from readbell.core.refusal import RefusalCode
from readbell.core.rehearsal.score_marks import Right
from readbell.core.rehearsal.truth import drawn_at, shows_of
from readbell.core.rehearsal.virtual_cartridge import came_after

if TYPE_CHECKING:
    from readbell.core.assay.step import Wait
    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge, StepMark
    from readbell.core.instant import Instant
    from readbell.core.rehearsal.scenario import Scenario

_OUT_OF_TIME = frozenset(
    {
        RefusalCode.TOO_EARLY,
        RefusalCode.EARLY_NEGATIVE,
        RefusalCode.EARLY_NO_CONTROL,
        RefusalCode.WINDOW_CLOSED,
        RefusalCode.NOT_ALLOWED,
    }
)
"""Refusals of a look or a reading that its own time would have let pass."""


def instead_of_refused(
    code: RefusalCode, cartridge: Cartridge, at: Instant, *, look: bool
) -> Right | None:
    """Return what would have been right in place of what was refused; None: its sentence says so.

    Args:
        code: why it was refused.
        cartridge: as it stands at the end of the attempt.
        at: when it was tried.
        look: whether it was an early look.
    """
    if code is RefusalCode.WAIT_NOT_OVER:
        return _wait_kept(cartridge, at)
    if code is RefusalCode.OUT_OF_ORDER:
        return _next_step(cartridge, at)
    if code in _OUT_OF_TIME and (look or code is not RefusalCode.NOT_ALLOWED):
        return in_its_time(cartridge, at, early=look and code is RefusalCode.TOO_EARLY)
    return None


def in_its_time(cartridge: Cartridge, at: Instant, *, early: bool = False) -> Right | None:
    """Return when a reading of `cartridge` counts, or an early look; None before the drops."""
    applied, span = cartridge.applied, window(cartridge)
    if applied is None or span is None or at < applied.said:
        return None
    looks = early and span.early_from is not None and at < span.opens
    return Right(
        after=cartridge.assay.last_step.title,
        passed=between(applied.said, at),
        since=span.early_from if looks else span.opens,
        until=None if looks else span.closes,
        may_look=looks,
        stated=applied.stated,
    )


def of_wait(cartridge: Cartridge, since: StepMark, wait: Wait, at: Instant) -> Right:
    """Return when the step that ends `wait`, begun by `since`, would have been right."""
    begun, ends = since.done.said, cartridge.assay.step(wait.until)
    return Right(
        step="" if ends is None else ends.title,
        after=_title(cartridge, since.step),
        passed=between(begun, at),
        least=wait.least,
        since=later(begun, wait.least),
        until=None if wait.most is None else later(begun, wait.most),
    )


def of_strip(
    scenario: Scenario, board: Board, cartridge: Cartridge, key: str, at: Instant
) -> Right:
    """Return what the line `key` of a strip showed at `at`, and what goes with it."""
    drawn = drawn_at(scenario, board, cartridge, at)
    shows = shows_of(scenario, board, cartridge, at)
    line = next(each for each in cartridge.assay.reading.lines if each.key == key)
    only = len(cartridge.assay.reading.lines) == 1
    timed = in_its_time(cartridge, at) or Right()
    return Right(
        after=timed.after,
        passed=timed.passed,
        since=timed.since,
        until=timed.until,
        line=f"{line.mark} ({line.name})",
        shade=dict(drawn.lines)[key],
        control=drawn.control,
        control_mark=cartridge.assay.reading.control_mark,
        spoilt=drawn.spoilt,
        came=came_after(shows, (line.key, line.mark), only=only),
    )


def _wait_kept(cartridge: Cartridge, at: Instant) -> Right | None:
    """Return the wait that ran at `at` and had to be over, by its end."""
    found = [
        of_wait(cartridge, mark, step.wait, at)
        for mark in _done_by(cartridge, at)
        if (step := cartridge.assay.step(mark.step)) is not None and step.wait is not None
    ]
    running = [each for each in found if each.since is not None and each.since > at]
    return running[-1] if running else None


def _next_step(cartridge: Cartridge, at: Instant) -> Right | None:
    """Return which step was due at `at`; None once the drops had fallen."""
    done = _done_by(cartridge, at)
    step = cartridge.assay.step_after(done[-1].step) if done else None
    return None if step is None else Right(step=step.title)


def _done_by(cartridge: Cartridge, at: Instant) -> list[StepMark]:
    return [each for each in cartridge.marks if each.done.said <= at]


def _title(cartridge: Cartridge, key: str) -> str:
    step = cartridge.assay.step(key)
    return key if step is None else step.title

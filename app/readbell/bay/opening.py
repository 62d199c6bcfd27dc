"""Taking a bay up: for the first time, or after it was left in whatever way."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readbell.bay.news import Return
from readbell.bay.site_time import time_zone
from readbell.clock.anchor import Moment, anchor
from readbell.clock.drift import TOLERANCE
from readbell.core.board.events import BayFounded, ClockJumped, ClockUnsure, Mode, ProgramStarted
from readbell.core.cartridge.correction import correctable_until
from readbell.core.errors import ReadbellError
from readbell.core.instant import Span, between
from readbell.core.policy.events import PolicySet

if TYPE_CHECKING:
    from readbell.bay.recorder import Recorder
    from readbell.clock.clock import Clock, Reading
    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.instant import Instant
    from readbell.core.policy.policy import SitePolicy
    from readbell.journal.envelope import Stamp
    from readbell.journal.keeper import Keeper


LONGEST_NAME = 120
"""Letters of what a bay is called (our own choice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Founding:
    """What a new bay is called; an old one keeps what its journal says."""

    bay: str
    timezone: str
    mode: Mode
    policy: SitePolicy | None = None
    """The decisions of the site as its settings have them now; None: as the journal has them."""


async def take_up(recorder: Recorder, keeper: Keeper, clock: Clock, founding: Founding) -> Return:
    """Load the record, join the time line to the clocks, and note that work goes on.

    Raises:
        ReadbellError: the journal is of the other mode, its time zone is unknown, or the name
            of a new bay is none.
    """
    branches = await keeper.join_left_over()
    await recorder.load()
    founded = recorder.board.founded
    if founded is not None and founded.mode is not founding.mode:
        msg = (
            f"this journal is of a {founded.mode} bay and stays so for ever: "
            f"name another file for a {founding.mode} one"
        )
        raise ReadbellError(msg)
    if founded is None and not _is_a_name(founding.bay):
        msg = f"a new bay wants a name of 1 to {LONGEST_NAME} letters that can all be seen"
        raise ReadbellError(msg)
    time_zone(founding.timezone if founded is None else founded.timezone)
    last = recorder.last
    joined = anchor(None if last is None else moment_of(last), clock.read())
    recorder.anchor(joined)
    board, now = recorder.board, recorder.now()
    away = Span(0) if last is None else between(last.at, now)
    events: list[Event] = []
    if founded is None:
        events.append(
            BayFounded(at=now, bay=founding.bay, timezone=founding.timezone, mode=founding.mode)
        )
    if founding.policy is not None and founding.policy != board.policy:
        events.append(PolicySet(at=now, policy=founding.policy))
    clean = founded is None or board.stopped_cleanly
    events.append(ProgramStarted(at=now, clean=clean, away=away, running=len(board.running)))
    moved = _moved_meanwhile(last, clock.read())
    if moved:
        events.append(ClockJumped(at=now, by_span=moved, cartridges=tuple(board.running)))
    unsure = () if joined.sure or last is None else _in_time(board, last.at)
    if unsure:
        events.append(ClockUnsure(at=now, cartridges=unsure))
    await recorder.record(events)
    return Return(
        is_new=founded is None,
        clean=clean,
        away=away,
        fell_due=(),
        unsure=unsure,
        branches=tuple(branches),
    )


def _moved_meanwhile(last: Stamp | None, reading: Reading) -> Span:
    """Return how far the wall clock was moved while nobody watched, within one boot."""
    if last is None or last.boot != reading.boot:
        return Span(0)
    apart = (reading.wall - last.wall) - (reading.counting - last.counting)
    return Span(apart if abs(apart) > TOLERANCE else 0)


def moment_of(stamp: Stamp) -> Moment:
    """Return when the event with `stamp` was recorded."""
    return Moment(at=stamp.at, wall=stamp.wall, counting=stamp.counting, boot=stamp.boot)


def _in_time(board: Board, last: Instant) -> tuple[str, ...]:
    """Return the cartridges that may have run out of time since `last`.

    They develop, or are in a wait, or were read and might still have been corrected.
    """
    running = (
        each.id
        for each in board.running.values()
        if each.applied is not None or any(wait.limit is not None for wait in each.running_waits)
    )
    read = (
        each.id
        for each in board.ended.values()
        if (until := correctable_until(each)) is not None and until >= last
    )
    return (*running, *read)


def _is_a_name(text: str) -> bool:
    """Say whether a bay may be called `text`: it stands at the top of every screen."""
    return 0 < len(text.strip()) <= len(text) <= LONGEST_NAME and text.isprintable()

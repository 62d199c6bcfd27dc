"""Taking a bay up: for the first time, or after it was left in whatever way."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.bay.news import Return
from readbell.bay.site_time import time_zone
from readbell.clock.anchor import Moment, anchor
from readbell.clock.drift import TOLERANCE
from readbell.core.board.events import BayFounded, ClockJumped, ClockUnsure, Mode, ProgramStarted
from readbell.core.board.layered import newest
from readbell.core.board.stations import take_unheld
from readbell.core.board.subjects import is_behind
from readbell.core.board.wall_time import wall_of
from readbell.core.cartridge.correction import WITHOUT_CLOSE, correctable_until
from readbell.core.errors import ReadbellError
from readbell.core.instant import Span, between, later
from readbell.core.made_later import dataclass
from readbell.core.policy.events import PolicySet
from readbell.core.stations.events import StationJoined
from readbell.core.stations.station import StationState, mark_for
from readbell.journal.errors import ConflictError, LinkLostError

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.bay.following import Following
    from readbell.bay.recorder import Recorder
    from readbell.clock.anchor import Anchor
    from readbell.clock.clock import Clock, Reading
    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.instant import Instant
    from readbell.core.policy.policy import SitePolicy
    from readbell.journal.envelope import Stamp
    from readbell.journal.keeper import Keeper


LONGEST_NAME = 120
"""Letters of what a bay is called (our own choice)."""
UNNAMED = "Bay"
"""What a new bay is called where nobody says."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Founding:
    """What a new bay is called; an old one keeps what its journal says."""

    bay: str | None = None
    """None: nobody says; a shared bay bears its name on the server, any other is `UNNAMED`."""
    timezone: str
    mode: Mode
    policy: SitePolicy | None = None
    """The decisions of the site as its settings have them now; None: as the journal has them."""


async def take_up(
    recorder: Recorder,
    keeper: Keeper,
    clock: Clock,
    founding: Founding,
    following: Following | None = None,
) -> Return:
    """Load the record, join the time line to the clocks, and note that work goes on.

    Raises:
        ReadbellError: the journal is of the other mode, its time zone is unknown, the name
            of a new bay is none, or another computer is this station of a shared bay.
    """
    branches = await keeper.join_left_over()
    await recorder.load()
    joined: Anchor | None = None
    while True:
        _check_founded(recorder.board, founding)
        last = recorder.last
        if following is not None:
            joined = joined or await following.begin()
        else:
            joined = anchor(None if last is None else moment_of(last), clock.read())
        recorder.anchor(joined)
        found, events = _taking_up(recorder, clock.read(), founding, following, joined)
        try:
            await recorder.record(events, goes_beside=following is None)
        except LinkLostError:
            if following is not None:
                following.presence.refuse_second()  # it may have been cut for that
            continue  # and begin as one that is alone
        except ConflictError:
            # Of a shared bay another station may begin at the same time.
            if following is None:
                raise
            await recorder.load()
        else:
            return replace(found, branches=tuple(branches))


def _check_founded(board: Board, founding: Founding) -> None:
    """Check that the bay is of the mode that is asked for, and can be founded where it is new.

    Raises:
        ReadbellError: it is not, or cannot.
    """
    founded = board.founded
    if founded is not None and founded.mode is not founding.mode:
        msg = (
            f"this journal is of a {founded.mode} bay and stays so for ever: "
            f"name another file for a {founding.mode} one"
        )
        raise ReadbellError(msg)
    if founded is None and founding.bay is not None and not _is_a_name(founding.bay):
        msg = f"a new bay wants a name of 1 to {LONGEST_NAME} letters that can all be seen"
        raise ReadbellError(msg)
    time_zone(founding.timezone if founded is None else founded.timezone)


def _taking_up(
    recorder: Recorder,
    reading: Reading,
    founding: Founding,
    following: Following | None,
    joined: Anchor,
) -> tuple[Return, list[Event]]:
    """Return what is told first, and the events with which work goes on."""
    board, now, last = recorder.board, recorder.now(), recorder.last
    founded = board.founded
    left = (None if last is None else last.at) if following is None else following.last_here()
    away = Span(0) if left is None else between(left, now)
    events: list[Event] = []
    if founded is None:
        bay = UNNAMED if founding.bay is None else founding.bay
        events.append(BayFounded(at=now, bay=bay, timezone=founding.timezone, mode=founding.mode))
    sets_policy = following is None or following.sets_policy or founded is None
    if sets_policy and founding.policy is not None and founding.policy != board.policy:
        events.append(PolicySet(at=now, policy=founding.policy))
    clean = founded is None or _ended_cleanly(board, following)
    events.append(ProgramStarted(at=now, clean=clean, away=away, running=len(board.running)))
    if following is not None:
        events += _joining(board, now, following)
    # What was done to the clock of one computer moves no line that a server keeps.
    moved = Span(0) if following is not None else _moved_meanwhile(board, last, reading, joined)
    if moved:
        events.append(ClockJumped(at=now, by_span=moved, cartridges=tuple(board.running)))
    unsure = () if joined.sure or last is None else in_time(board, last.at)
    if unsure:
        events.append(ClockUnsure(at=now, cartridges=unsure))
    station = "" if following is None else following.presence.station
    found = Return(
        is_new=founded is None,
        clean=clean,
        away=away,
        fell_due=(),
        unsure=unsure,
        branches=(),
        new_station="" if station in board.stations else station,
    )
    return found, events


def _ended_cleanly(board: Board, following: Following | None) -> bool:
    """Say whether what was open here before was laid down; of a station the others went on."""
    if following is None:
        return board.stopped_cleanly
    # One that was laid down while it was alone said goodbye to nobody, and holds what it held.
    station = board.stations.get(following.presence.station)
    went = station is None or station.state is not StationState.HERE
    return went or board.stopped_cleanly


def _joining(board: Board, now: Instant, following: Following) -> Iterator[Event]:
    """Yield that this station is here, and that it holds the clocks that nobody holds.

    Raises:
        ReadbellError: the bay has no letter left to mark its labels with.
    """
    station = following.presence.station
    known = board.stations.get(station)
    mark = mark_for(board.stations, station)
    if mark is None:
        msg = f"{len(board.stations)} stations joined this bay, and no letter is left for one more"
        raise ReadbellError(msg)
    following.bear(mark)
    if known is None or known.state is not StationState.HERE:
        yield StationJoined(at=now, station=station, mark=mark)
    if following.is_linked:
        yield from take_unheld(board, station, now)


def _moved_meanwhile(board: Board, last: Stamp | None, reading: Reading, joined: Anchor) -> Span:
    """Return how far the wall clock was moved against the bay's line while nobody watched.

    After a restart of unknown length the line stood still and the wall clock did not: unless
    that is on record, all that is done from now on would leave with times of before it. What
    earlier restarts left out, before this was recorded, is made good with it.
    """
    if last is None or (last.boot != reading.boot and joined.sure):
        return Span(0)  # across a boot the line itself goes on by the wall clock
    if last.boot != reading.boot:
        apart = reading.wall - wall_of(board, last.at)
    else:
        apart = (reading.wall - last.wall) - (reading.counting - last.counting)
    return Span(apart if abs(apart) > TOLERANCE else 0)


def moment_of(stamp: Stamp) -> Moment:
    """Return when the event with `stamp` was recorded."""
    return Moment(at=stamp.at, wall=stamp.wall, counting=stamp.counting, boot=stamp.boot)


def in_time(board: Board, last: Instant) -> tuple[str, ...]:
    """Return the cartridges that may have run out of time since `last`.

    They develop, or are in a wait, or were read and might still have been corrected.
    """
    running = (
        each.id
        for each in board.running.values()
        if each.applied is not None or any(wait.limit is not None for wait in each.running_waits)
    )
    return (*running, *reversed([*_read_lately(board, last)]))


def _read_lately(board: Board, last: Instant) -> Iterator[str]:
    """Yield the cartridges that might still have been corrected at `last`, read last first.

    None is correctable for longer than the longest window after its reading, nor ends later
    after it, where a second one was asked for: what was read before that is not looked at,
    and after years that is nearly all.
    """
    windows = (each.assay.reading.closes for each in board.assays.values())
    longest = max((each for each in windows if each is not None), default=WITHOUT_CLOSE)
    for each in newest(board.ended):
        if each.reading is None:
            continue
        if is_behind(board, later(each.reading.at, Span(2 * max(longest, WITHOUT_CLOSE))), last):
            return
        until = correctable_until(each)
        if until is not None and until >= last:
            yield each.id


def _is_a_name(text: str) -> bool:
    """Say whether a bay may be called `text`: it stands at the top of every screen."""
    return 0 < len(text.strip()) <= len(text) <= LONGEST_NAME and text.isprintable()

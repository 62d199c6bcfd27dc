"""The task that sounds: beside the scheduler, in the bay's thread, never in its turns.

It looks at the board and rings; it decides nothing and records nothing, so it needs
no lock and nothing that waits for a disk holds it up. Whether the screen still lives
it knows from its heartbeat alone.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from operator import attrgetter
from typing import TYPE_CHECKING, Protocol

from readbell.core.board.alarm import muted_until
from readbell.core.board.events import AlertHeard
from readbell.core.board.hearing import heard_here, who_hears
from readbell.core.board.sound import (
    ALONE,
    HEARD,
    NOT_SAVED,
    SCREEN_LATE,
    URGENT_EACH,
    Call,
    CallKind,
    LateScreen,
    Quiet,
    Rung,
    Sound,
    Sounding,
    calls_of,
    sound_at,
)
from readbell.core.cartridge.events import AlertRaised, CartridgeLapsed
from readbell.core.instant import SECOND, Instant, Span, between, later

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readbell.bay.around import Around
    from readbell.bay.news import News
    from readbell.bay.recorder import Recorder
    from readbell.clock.clock import Clock, Sleeper
    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.journal.keeper import Keeper

LOOK_EACH = Span(250)
SCREEN_MAY_BE_LATE = Span(2 * SECOND)
NO_ACTS = (AlertRaised, CartridgeLapsed, AlertHeard)
"""What names a cartridge without anybody's hand on it."""


class Bell(Protocol):
    """What makes a sound; it never waits."""

    @property
    def can_sound(self) -> bool:
        """Whether there is anything that could be heard."""

    @property
    def fault(self) -> str | None:
        """Why the site's sound command last failed."""

    def ring(self, sound: Sound) -> None:
        """Make `sound`."""


class Calling:
    """Knows what calls, without looking at what has no deadline behind it."""

    def __init__(self) -> None:
        self._running: Mapping[str, Cartridge] = {}
        self._calls: dict[str, tuple[Call, ...]] = {}
        self._in_order: list[Call] = []

    def at(self, running: Mapping[str, Cartridge], now: Instant) -> list[Call]:
        """Return what calls at `now`; `running` is as the board has it."""
        if running is not self._running:
            self._follow(running)
        found = []
        for call in self._in_order:
            if call.begins > now:
                break
            if call.calls_at(now):
                found.append(call)
        return found

    def _follow(self, running: Mapping[str, Cartridge]) -> None:
        before = self._running
        self._calls = {
            key: self._calls[key] if before.get(key) is each else calls_of(each)
            for key, each in running.items()
        }
        self._running = running
        self._in_order = [call for calls in self._calls.values() for call in calls]
        self._in_order.sort(key=attrgetter("begins"))


def calls_here(calls: list[Call], board: Board, around: Around | None) -> list[Call]:
    """Return those of `calls` that sound at this station: all, where nobody shares the bay."""
    if around is None:
        return calls
    # Should nobody at all be known to be here, they sound at this one.
    heard = ((call, who_hears(board, call, around.seen)) for call in calls)
    return [call for call, stations in heard if not stations or around.station in stations]


def heard_by(board: Board, around: Around | None) -> Mapping[str, AlertHeard]:
    """Return what was heard and rests; of a station that is away nobody knows who is still at it."""
    if around is None:
        return board.heard
    return heard_here(board, frozenset(each.station for each in around.seen))


def is_silent(recorder: Recorder, now: Instant | None) -> bool:
    """Say whether nothing sounds at this station at `now`; None: its line is not begun yet."""
    sounding = recorder.sounding
    if not sounding.can_sound or sounding.failed is not None:
        return True
    return now is not None and muted_until(recorder.board, now) is not None


class Heartbeat:
    """Says whether the screen lives. It counts only what this task lived through itself."""

    def __init__(self) -> None:
        self._beats = self._seen = 0
        self._silent = Span(0)

    def beat(self) -> None:
        """Say that the screen lives; from whatever thread, and at no cost."""
        self._beats += 1

    @property
    def is_late(self) -> bool:
        """Whether a screen that once lived has been still for too long."""
        return self._seen > 0 and self._silent > SCREEN_MAY_BE_LATE

    def look(self, gone: Span) -> Span | None:
        """Count `gone` more; return for how long the screen stood still, if it is just back."""
        beats, was_late, silent = self._beats, self.is_late, Span(self._silent + gone)
        if beats == self._seen:
            self._silent = silent
            return None
        self._seen, self._silent = beats, Span(0)
        return silent if was_late else None


class Sounder:
    """Rings for one bay until it is stopped.

    Args:
        bell: what makes the sound.
        clock: the bay's clock.
        sleeper: waits on it.
        recorder: has the board, and tells people how the alarm is doing.
        keeper: knows whether the journal is saved.
        rest: for how long a cartridge is silent after it was heard.
    """

    def __init__(
        self,
        *,
        bell: Bell,
        clock: Clock,
        sleeper: Sleeper,
        recorder: Recorder,
        keeper: Keeper,
        rest: Span = HEARD,
    ) -> None:
        self._bell = bell
        self._clock = clock
        self._sleeper = sleeper
        self._recorder = recorder
        self._keeper = keeper
        self._rest = rest
        self._calling = Calling()
        self._rung = Rung()
        self._hands: dict[str, Instant] = {}
        self._held: tuple[str, Instant] | None = None
        self._looked = clock.read().running
        self._stopping = False
        self._failed: str | None = None
        self.heartbeat = Heartbeat()
        recorder.sounding = Sounding(can_sound=bell.can_sound)
        recorder.subscribe(self._note)

    async def run(self) -> None:
        """Look, ring where it is time to, and wait; a fault of one look is told, and no end."""
        while not self._stopping:
            try:
                self._look()
            except Exception as error:  # noqa: BLE001  # the bay goes on, and people must know
                self._failed = type(error).__name__
                with suppress(Exception):
                    self._tell(replace(self._recorder.sounding, failed=self._failed))
            await self._sleeper.sleep(self._until_next())
        self._sleeper.retire()

    def stop(self) -> None:
        """Fall silent, and let `run` end."""
        self._stopping = True
        self._sleeper.wake()

    def test(self) -> bool:
        """Ring so that somebody can say whether they hear it; say whether anything could."""
        if not self._bell.can_sound:
            return False
        self._rung = replace(self._rung, at=self._recorder.now())
        self._bell.ring(Sound(kind=CallKind.TEST))
        return True

    def in_hand(self, cartridge: str | None) -> None:
        """Take note of which cartridge is acted on now; it is said again with each key."""
        self._held = None if cartridge is None else (cartridge, self._recorder.now())
        self._sleeper.wake()

    def _note(self, news: News) -> None:
        """Take note of whose hand is on which cartridge; and look, as something has happened."""
        running = news.board.running
        for event in news.events:
            cartridge = getattr(event, "cartridge", None)
            if isinstance(cartridge, str) and not isinstance(event, NO_ACTS):
                # What others did may be heard of late: their hand is not on it any more.
                self._hands[cartridge] = min(news.at, event.at)
        self._hands = {key: at for key, at in self._hands.items() if key in running}
        self._sleeper.wake()

    def _look(self) -> None:
        recorder = self._recorder
        now, board = recorder.now(), recorder.board
        back = self._heartbeat(now)
        around = recorder.around()
        calls = calls_here(self._calling.at(board.running, now), board, around)
        if calls and self.heartbeat.is_late:
            calls.append(SCREEN_LATE)
        if self._keeper.not_saved is not None:
            calls.append(NOT_SAVED)
        # Two computers that are one station are told by the same sound: at both somebody has to act.
        if around is not None and (around.alone is not None or around.has_twin):
            calls.append(ALONE)
        hands = self._hands if self._held is None else self._hands | dict((self._held,))
        quiet = Quiet(
            heard=heard_by(board, around),
            hands=hands,
            muted_until=board.muted_until,
            rest=self._rest,
        )
        sound, rung = sound_at(calls, now, self._rung, quiet)
        if sound is not None:
            # Should it fail, it is tried again with the next sound, and not four times a second.
            self._rung = replace(self._rung, at=now)
            self._bell.ring(sound)
            self._failed = None
        self._rung = rung
        self._tell(
            Sounding(
                can_sound=self._bell.can_sound,
                command_fault=self._bell.fault,
                failed=self._failed,
                late_screen=recorder.sounding.late_screen if back is None else back,
            )
        )

    def _heartbeat(self, now: Instant) -> LateScreen | None:
        running = self._clock.read().running
        # While the whole program stood still the screen could not have beaten either.
        gone = Span(min(running - self._looked, 2 * LOOK_EACH))
        self._looked = running
        late = self.heartbeat.look(gone)
        return None if late is None else LateScreen(back_at=now, span=late)

    def _tell(self, sounding: Sounding) -> None:
        if sounding != self._recorder.sounding:
            self._recorder.sounding = sounding
            self._recorder.tell()

    def _until_next(self) -> Span:
        """Return how long to wait: never past the instant at which the next sound may be due."""
        if self._rung.at is None:
            return LOOK_EACH
        left = between(self._recorder.now(), later(self._rung.at, URGENT_EACH))
        return min(LOOK_EACH, left) if left > 0 else LOOK_EACH

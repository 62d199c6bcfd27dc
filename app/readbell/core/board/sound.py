"""What sounds, and when: by need alone, or somebody will mute it for good.

Rule 1: a wait that is over, an advisory limit passed and READ NOW sound once, then
each minute; closing, a firm limit passed, NOT SAVED and a screen that stands still
sound each five seconds. A station that is alone says so once, then each five
minutes. An early look and a lapse are silent.
Rule 2: however many call, there is one sound, and five seconds between two.
Rule 3: a cartridge is silent while somebody acts on it, and for a while after it
was heard; what was heard of one alert says nothing of the next, and in the last
minute of a window nothing is heard away.
Rule 4: muted is muted, until it times out. Only NOT SAVED, ALONE and a screen that stands
still sound all the same: whoever muted counted on the board being there to look at.
"""

from __future__ import annotations

from dataclasses import field
from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.assay.step import Limit
from readbell.core.cartridge.at_instant import read_from, window
from readbell.core.cartridge.events import AlertKind
from readbell.core.cartridge.stage import Stage
from readbell.core.instant import MINUTE, SECOND, Instant, Span, between, earlier, later
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping

    from readbell.core.board.board import Board
    from readbell.core.board.events import AlertHeard
    from readbell.core.cartridge.cartridge import Cartridge, RunningWait

URGENT_EACH = Span(5 * SECOND)
"""Between two sounds of what is lost in minutes, and between any two sounds at all."""
REMIND_EACH = MINUTE
ALONE_EACH = Span(5 * MINUTE)
"""How often a station says that its link is still lost."""
IN_HAND = Span(10 * SECOND)
"""How long a cartridge is silent after the last act on it."""
HEARD = Span(30 * SECOND)
"""How long it is silent after it was heard, where the site says nothing else."""
LAST_OF_WINDOW = MINUTE
"""So long before the close nothing is heard away any more."""


class CallKind(StrEnum):
    """What a sound calls for, the most urgent first."""

    NOT_SAVED = "not-saved"
    SCREEN_LATE = "screen-late"
    CLOSING = "closing"
    OVERDUE = "overdue"
    ALONE = "alone"
    READ_NOW = "read-now"
    WAIT_OVER = "wait-over"
    TEST = "test"
    """The alarm test; it calls for nobody."""


_RANK = {kind: rank for rank, kind in enumerate(CallKind)}
_NEVER_MUTED = frozenset({CallKind.NOT_SAVED, CallKind.SCREEN_LATE, CallKind.ALONE})


@dataclass(frozen=True, slots=True, kw_only=True)
class Call:
    """One thing that wants somebody from `begins` on, until `ends` or an act."""

    kind: CallKind
    each: Span
    """How long after one sound the next is due."""
    cartridge: str = ""
    """Empty where it is about the whole bay."""
    begins: Instant = Instant(0)
    ends: Instant | None = None
    """The first instant at which it calls no more by itself."""
    insists_from: Instant | None = None
    """From here on it cannot be heard away."""

    @property
    def alert(self) -> AlertKind | None:
        """The alert it is the sound of; None where it is about the whole bay."""
        return AlertKind(self.kind.value) if self.cartridge else None

    def calls_at(self, now: Instant) -> bool:
        """Say whether it calls at `now`, heard or not."""
        return self.begins <= now and (self.ends is None or now < self.ends)


NOT_SAVED = Call(kind=CallKind.NOT_SAVED, each=URGENT_EACH)
SCREEN_LATE = Call(kind=CallKind.SCREEN_LATE, each=URGENT_EACH)
ALONE = Call(kind=CallKind.ALONE, each=ALONE_EACH)


@dataclass(frozen=True, slots=True, kw_only=True)
class Quiet:
    """What keeps calls silent."""

    heard: Mapping[str, AlertHeard] = field(default_factory=dict)
    """By the opaque id of the cartridge."""
    hands: Mapping[str, Instant] = field(default_factory=dict)
    """When somebody last acted on a cartridge, or said that it is in their hand."""
    muted_until: Instant | None = None
    rest: Span = HEARD


@dataclass(frozen=True, slots=True, kw_only=True)
class Rung:
    """What has sounded, and when."""

    at: Instant | None = None
    """When anything last sounded."""
    calls: Mapping[Call, Instant] = field(default_factory=dict)
    """When each thing that still calls last had a sound."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sound:
    """One sound, for everything that calls together."""

    kind: CallKind
    """The most urgent of what is due."""
    count: int = 1
    """How many of that kind call."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LateScreen:
    """A screen stood still, and came back."""

    back_at: Instant
    span: Span
    """How long it had shown nothing new."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sounding:
    """How the alarm is doing. It is true of this computer now, and in no journal."""

    can_sound: bool = False
    """Whether there is anything here that could make a sound."""
    command_fault: str | None = None
    """Why the site's sound command last failed."""
    failed: str | None = None
    """Which fault of the program keeps the alarm from its work."""
    late_screen: LateScreen | None = None


def calls_of(cartridge: Cartridge) -> tuple[Call, ...]:
    """Return everything for which `cartridge` will call as it now stands, in order.

    It depends on the cartridge alone, so it is worked out once for each state of it.
    """
    if cartridge.has_ended:
        return ()
    found = (
        *(call for wait in cartridge.running_waits for call in _calls_of_wait(cartridge, wait)),
        *_calls_of_window(cartridge),
    )
    lasting = (call for call in found if call.ends is None or call.begins < call.ends)
    return tuple(sorted(lasting, key=lambda call: call.begins))


def call_at(cartridge: Cartridge, now: Instant) -> Call | None:
    """Return the most urgent thing for which `cartridge` calls at `now`, or None."""
    calling = [call for call in calls_of(cartridge) if call.calls_at(now)]
    return min(calling, key=_rank, default=None)


def loudest(
    board: Board,
    now: Instant,
    among: Iterable[Cartridge] | None = None,
    *,
    heard: Mapping[str, AlertHeard] | None = None,
    sounds: Callable[[Call], bool] = lambda _: True,
) -> str | None:
    """Return the cartridge to be heard next at `now`: of those that call the most urgent.

    One whose sound already rests, or can no longer be heard away, is passed over.

    Args:
        board: the bay.
        now: the instant asked about.
        among: what `may_call` says of this board, where it is known already.
        heard: what was heard and rests; None: as the board has it.
        sounds: whether a call sounds at this station at all.
    """
    cartridges = may_call(board) if among is None else among
    quiet = Quiet(heard=board.heard if heard is None else heard)
    calling = [
        call
        for each in cartridges
        if (call := call_at(each, now)) is not None
        and sounds(call)
        and may_be_heard(call, now)
        and _is_audible(call, now, quiet)
    ]
    found = min(calling, key=lambda call: (_rank(call), call.begins), default=None)
    return None if found is None else found.cartridge


def may_call(board: Board) -> tuple[Cartridge, ...]:
    """Return the cartridges with an alert behind them: without one none calls, whatever the time."""
    return tuple(each for each in board.running.values() if _may_call(each))


def may_be_heard(call: Call, now: Instant) -> bool:
    """Say whether hearing `call` at `now` would stop its sound."""
    return call.insists_from is None or now < call.insists_from


def sound_at(
    calls: Iterable[Call], now: Instant, rung: Rung, quiet: Quiet
) -> tuple[Sound | None, Rung]:
    """Return what sounds at `now`, and what has sounded then.

    Args:
        calls: everything that calls at `now`.
        now: the instant asked about.
        rung: what has sounded before.
        quiet: what keeps some of it silent.
    """
    calling = tuple(calls)
    before = {call: rung.calls[call] for call in calling if call in rung.calls}
    audible = [call for call in calling if _is_audible(call, now, quiet)]
    due = [
        call for call in audible if call not in before or between(before[call], now) >= call.each
    ]
    if not due or (rung.at is not None and between(rung.at, now) < URGENT_EACH):
        return None, Rung(at=rung.at, calls=before)
    kind = min(due, key=_rank).kind
    sound = Sound(kind=kind, count=sum(call.kind is kind for call in audible))
    # One sound speaks for all that call, so reminders fall together and not one by one.
    return sound, Rung(at=now, calls=before | dict.fromkeys(audible, now))


def _may_call(cartridge: Cartridge) -> bool:
    """Say at little cost whether `cartridge` has an alert behind it: without one none calls."""
    if cartridge.stage in (Stage.DEVELOPING, Stage.SECOND_READING_DUE):
        return (AlertKind.READ_NOW, "") in cartridge.raised
    return bool(cartridge.raised)


def _rank(call: Call) -> int:
    return _RANK[call.kind]


def _is_audible(call: Call, now: Instant, quiet: Quiet) -> bool:
    if call.kind in _NEVER_MUTED:
        return True
    if quiet.muted_until is not None and now < quiet.muted_until:
        return False
    acted = quiet.hands.get(call.cartridge)
    if acted is not None and now < later(acted, IN_HAND):
        return False
    heard = quiet.heard.get(call.cartridge)
    return (
        heard is None
        or heard.alert is not call.alert
        or heard.at < call.begins
        or now >= later(heard.at, quiet.rest)
        or not may_be_heard(call, now)
    )


def _calls_of_wait(cartridge: Cartridge, wait: RunningWait) -> Iterator[Call]:
    if wait.least > 0:
        yield Call(
            kind=CallKind.WAIT_OVER,
            each=REMIND_EACH,
            cartridge=cartridge.id,
            begins=wait.over,
            ends=wait.limit,
        )
    if wait.limit is not None:
        yield Call(
            kind=CallKind.OVERDUE,
            each=URGENT_EACH if _is_firm(cartridge, wait) else REMIND_EACH,
            cartridge=cartridge.id,
            begins=wait.limit,
        )


def _is_firm(cartridge: Cartridge, wait: RunningWait) -> bool:
    step = cartridge.assay.step(wait.step)
    return step is not None and step.wait is not None and step.wait.most_is is Limit.FIRM


def _calls_of_window(cartridge: Cartridge) -> Iterator[Call]:
    span = window(cartridge)
    if span is None or cartridge.unsure:
        return
    insists_from = None if span.closes is None else earlier(span.closes, LAST_OF_WINDOW)
    yield Call(
        kind=CallKind.READ_NOW,
        each=REMIND_EACH,
        cartridge=cartridge.id,
        begins=read_from(cartridge, span),
        ends=span.lapses if span.closing_from is None else span.closing_from,
        insists_from=insists_from,
    )
    if span.closing_from is not None:
        yield Call(
            kind=CallKind.CLOSING,
            each=URGENT_EACH,
            cartridge=cartridge.id,
            begins=span.closing_from,
            ends=span.lapses,
            insists_from=insists_from,
        )

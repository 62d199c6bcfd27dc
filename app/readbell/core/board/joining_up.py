"""What was done alone goes into the shared record: nothing is lost, nothing twice, nothing decided.

Rule 1: whatever can stand as it is, stands, at the instant at which it was done. What the record
says already is not said again. All else is kept apart: whole, named, and counting for nothing.
Rule 2: of one strip that was looked at on both sides nothing comes by itself. The look that the
record has stays, ours is kept apart, and the outcome is withheld until a supervisor says what
there was. It is so for good: neither a correction nor a second reader gives it an outcome.
Rule 3: what lapsed or was given up elsewhere stays so, and is owed its repeat. What was carried
on elsewhere goes on there; of ours everything from the first act that does not fit is apart.
Rule 4: nobody's word is set aside silently. Something noted otherwise of the same person, a
consent after a refusal, a correction after somebody was told: apart, and asked about. A refusal
stands. A person who was entered on both sides is one person, under the key that the record knows.
Rule 5: what the others could not know is made up for: a look on a lot that was called back or
held meanwhile is held, so is one by somebody who worked here no more, what stood too cold or
too warm as only the other side knew, and what a control sample of ours throws a doubt on. Of one
person who was tested on both sides at once, positive here and negative there, both are held.
Rule 6: what has happened outside the record stands: that somebody was told, or looked.
Rule 7: whoever joins up is here again, whatever was said of them meanwhile.
Rule 8: joining up never fails. What the record has no place for is kept apart.

`docs/stations.md` has each rule with the test that holds it.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.board.fold import fold, replay
from readbell.core.board.joining_climate import out_of_range
from readbell.core.board.joining_holds import Holds
from readbell.core.board.joining_rules import (
    ACTS,
    ASKS_NOBODY,
    OF_COMPUTER,
    Beside,
    Parted,
    judge,
)
from readbell.core.board.meanwhile import Meanwhile, Recorded
from readbell.core.board.own import taken_in
from readbell.core.cartridge.events import CartridgeLabelled, SubjectKind
from readbell.core.errors import BrokenRecordError
from readbell.core.instant import Span, later
from readbell.core.made_later import dataclass
from readbell.core.people.events import PartyRegistered, PersonRegistered
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import HoldReason
from readbell.core.stations.apart import ApartReason
from readbell.core.stations.events import ActKeptApart, JoinedUp, StationJoined
from readbell.core.stations.station import StationState

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.instant import Instant
    from readbell.core.private import Private


@dataclass(frozen=True, slots=True, kw_only=True)
class Stands:
    """It goes into the record."""

    event: Event
    """As it goes in: a person who was entered on both sides has the key that the record knows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Same:
    """The record says it already, or keeps it apart already."""

    event: Event


@dataclass(frozen=True, slots=True, kw_only=True)
class Apart:
    """It cannot stand as it is."""

    event: Event
    reason: ApartReason
    by: str | None
    cartridge: str | None
    label: str
    person: str | None
    asks: bool


Fate = Stands | Same | Apart
Follow = ReadingHeld | StationJoined


@dataclass(frozen=True, slots=True, kw_only=True)
class JoiningUp:
    """What becomes of everything that was done alone."""

    fates: tuple[Fate, ...]
    """One for each event of ours, in order."""
    follow: tuple[Follow, ...]
    """What is to be recorded after them."""
    board: Board
    """The shared board with all that stands, and what follows."""

    @property
    def apart(self) -> tuple[Apart, ...]:
        """What is kept apart, in order."""
        return tuple(each for each in self.fates if isinstance(each, Apart))

    @property
    def asks_somebody(self) -> bool:
        """Whether a person has to look at something of it."""
        return any(each.asks for each in self.apart)


def join_up(
    base: Board, theirs: Sequence[Event], ours: Sequence[Event], station: str, now: Instant
) -> JoiningUp:
    """Judge everything that `station` did alone against what the others recorded meanwhile.

    Args:
        base: the board when the link was lost; both sides start from it.
        theirs: what stands in the shared record after it, in its order.
        ours: what this station did alone, in its order.
        station: its name.
        now: when they are joined up.
    """
    return _Joining(base, theirs, ours, station, now).result()


def kept_apart(
    apart: Apart,
    at: Instant,
    station: str,
    kind: str,
    version: int,
    body: str,
    entered: Private | None,
) -> ActKeptApart:
    """Return the event that keeps `apart`.

    Args:
        apart: what is kept.
        at: when it was joined up.
        station: where it was done.
        kind: the stable name of its kind.
        version: of the shape of `body`.
        body: all that it said, in the form of the record, identifiers and free texts by key.
        entered: those, by key, as one value that can be erased; None: there are none.
    """
    return ActKeptApart(
        at=at,
        station=station,
        done=apart.event.at,
        by=apart.by,
        kind=kind,
        version=version,
        reason=apart.reason,
        cartridge=apart.cartridge,
        label=apart.label,
        person=apart.person,
        body=body,
        entered=entered,
        asks=apart.asks,
    )


def joined_up(joining: JoiningUp, at: Instant, station: str, since: Instant) -> JoinedUp:
    """Return the event that tells of it.

    Args:
        joining: what came of it.
        at: when that was.
        station: its name.
        since: when the station became alone, as far as it knows; what it did alone before then,
            under a program that has ended since, counts as well.
    """
    since = min([since, *(each.event.at for each in joining.fates)])
    kinds = [type(each) for each in joining.fates]
    return JoinedUp(
        at=at,
        station=station,
        since=since,
        joined=kinds.count(Stands),
        same=kinds.count(Same),
        apart=kinds.count(Apart),
    )


class _Joining:
    """One joining up, event by event."""

    def __init__(
        self,
        base: Board,
        theirs: Sequence[Event],
        ours: Sequence[Event],
        station: str,
        now: Instant,
    ) -> None:
        before = Recorded(ours)
        self._there = Meanwhile(each for each in theirs if not before.take(each))
        self._recorded = Recorded(theirs)
        self._kept = _kept_already(theirs, station)
        found = (taken_in(each, own=False) for each in theirs)
        self._board = replay((each for each in found if each is not None), base)
        self._theirs, self._ours, self._station = theirs, ours, station
        self._started = {
            each.cartridge: each for each in ours if isinstance(each, CartridgeLabelled)
        }
        self._keys: dict[str, str] = {}
        """Key of a person who was entered on both sides, to the one that the record knows."""
        self._parted = Parted()
        self._holds = Holds(self._there)
        # At one instant a release comes after a hold: what is held here has to be later than all.
        latest = max((each.at for each in (*theirs, *ours)), default=now)
        self._now = max(now, later(latest, Span(1)))

    def result(self) -> JoiningUp:
        fates = tuple(map(self._fate, self._ours))
        if any(isinstance(each, Stands) for each in fates):
            for each in out_of_range(self._board, self._theirs, self._ours):
                self._holds.add(each.id, HoldReason.TEMPERATURE)
        held = self._holds.follow(self._board, self._now)
        follow: tuple[Follow, ...] = (*self._here_again(), *held)
        return JoiningUp(fates=fates, follow=follow, board=replay(follow, self._board))

    def _fate(self, done: Event) -> Fate:
        event = self._as_known(done)
        if self._recorded.take(event):
            return Same(event=event)
        verdict = judge(self._board, self._there, self._parted, event)
        if verdict is Beside.SAME:
            self._note_key(event)
            return Same(event=event)
        about = self._about(event)
        if about in self._kept:
            self._kept.remove(about)
            self._part(event)
            return Same(event=event)
        reason = self._enter(event) if verdict is Beside.STANDS else verdict
        if reason is None:
            self._holds.note_standing(self._board, event)
            return Stands(event=event)
        self._part(event)
        self._holds.note_parted(self._board, event, reason)
        _, by, cartridge, label, person = about
        asks = not isinstance(event, ASKS_NOBODY)
        return Apart(
            event=event,
            reason=reason,
            by=by,
            cartridge=cartridge,
            label=label,
            person=person,
            asks=asks,
        )

    def _enter(self, event: Event) -> ApartReason | None:
        """Enter `event` on the board; return that there is no place for it, or None."""
        try:
            self._board = fold(self._board, event)
        except BrokenRecordError:
            return ApartReason.DOES_NOT_FIT
        return None

    def _as_known(self, event: Event) -> Event:
        """Return `event` with each person under the key that the record knows.

        What befell a computer names only cartridges that the record has: the others are apart.
        """
        changed: dict[str, object] = {}
        if isinstance(event, OF_COMPUTER):
            known = tuple(each for each in event.cartridges if self._board.cartridge(each))
            changed["cartridges"] = known
        for name in ("person", "subject"):
            key = getattr(event, name, None)
            if isinstance(key, str) and key in self._keys:
                changed[name] = self._keys[key]
        if isinstance(event, PartyRegistered):
            keys = (self._keys.get(each, each) for each in event.persons)
            changed["persons"] = tuple(dict.fromkeys(keys))
        return replace(event, **changed) if changed else event  # type: ignore[arg-type]  # fields of its own

    def _note_key(self, event: Event) -> None:
        if isinstance(event, PersonRegistered) and event.person.value is not None:
            self._keys[event.person.key] = self._board.persons[event.person.value]

    def _about(self, event: Event) -> _About:
        """Return when `event` was, whose act it is, and which cartridge and person it is about."""
        by = getattr(event, "by", None) or getattr(event, "operator", None)
        cartridge = getattr(event, "cartridge", None)
        label, person = getattr(event, "label", ""), getattr(event, "person", None)
        started = None if cartridge is None else self._labelled(cartridge)
        if started is not None:
            label = started.label
            if started.subject_kind is SubjectKind.PATIENT:
                person = self._keys.get(started.subject, started.subject)
        if isinstance(event, PersonRegistered):
            person = event.person.key
        return (
            event.at,
            by if isinstance(by, str) else None,
            cartridge,
            label,
            person if isinstance(person, str) else None,
        )

    def _labelled(self, cartridge_id: str) -> CartridgeLabelled | None:
        found = self._board.cartridge(cartridge_id)
        return self._started.get(cartridge_id) if found is None else found.labelled

    def _part(self, event: Event) -> None:
        """Note that `event` is apart, for what rests on it."""
        match event:
            case CartridgeLabelled():
                self._parted.devices.add(event.cartridge)
            case _ if isinstance(event, ACTS):
                self._parted.acted.add(event.cartridge)
                self._parted.acts.add((event.cartridge, event.at))
            case _:
                pass

    def _here_again(self) -> Iterator[StationJoined]:
        known = self._board.stations.get(self._station)
        if known is not None and known.state is not StationState.HERE:
            yield StationJoined(at=self._now, station=self._station, mark=known.mark)


_About = tuple["Instant", "str | None", "str | None", str, "str | None"]


def _kept_already(theirs: Iterable[Event], station: str) -> list[_About]:
    return [
        (each.done, each.by, each.cartridge, each.label, each.person)
        for each in theirs
        if isinstance(each, ActKeptApart) and each.station == station
    ]

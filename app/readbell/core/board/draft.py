"""A board while events are being entered into it.

A mapping is copied when it is first written to, so one event copies only what
it touches and a long replay copies nothing twice.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Generic, TypeVar

from readbell.core.board.board import Board
from readbell.core.board.layered import writable
from readbell.core.board.owing import last_visit, owed_in
from readbell.core.board.repeats import asks_for_repeat
from readbell.core.board.sending import note_change
from readbell.core.board.telling_fold import let_repeat_go, note_to_tell
from readbell.core.errors import BrokenRecordError
from readbell.core.making import changer_of

if TYPE_CHECKING:
    from collections.abc import Mapping, MutableMapping

    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.core.private import Private

Value = TypeVar("Value")
_changed = changer_of(Board)


class Ledger(Generic[Value]):
    """A mapping that leaves the one it was made from as it is."""

    __slots__ = ("_base", "_own")

    def __init__(self, base: Mapping[str, Value]) -> None:
        self._base = base
        self._own: MutableMapping[str, Value] | None = None

    @property
    def mapping(self) -> Mapping[str, Value]:
        """What the ledger now says."""
        return self._base if self._own is None else self._own

    def get(self, key: str) -> Value | None:
        """Return the entry `key`, or None."""
        return self.mapping.get(key)

    def want(self, key: str, what: str) -> Value:
        """Return the entry `key`.

        Raises:
            BrokenRecordError: there is none, though an event speaks of it.
        """
        found = self.mapping.get(key)
        if found is None:
            msg = f"the record speaks of {what} {key!r}, which it never introduced"
            raise BrokenRecordError(msg)
        return found

    def put(self, key: str, value: Value) -> None:
        """Write the entry `key`."""
        if self._own is None:
            self._own = writable(self._base)
        self._own[key] = value

    def drop(self, key: str) -> None:
        """Take the entry `key` out, if it is there."""
        if key in self.mapping:
            if self._own is None:
                self._own = writable(self._base)
            del self._own[key]


class Draft:
    """Every part of a board, open for writing."""

    __slots__ = (
        "_base",
        "ahead",
        "alarm_test",
        "apart",
        "apart_count",
        "archives",
        "assays",
        "came_with",
        "climate",
        "clock_jumps",
        "ended",
        "exports",
        "founded",
        "gone",
        "heard",
        "held",
        "history",
        "holders",
        "labels",
        "longest_alone",
        "lots",
        "muted_until",
        "names",
        "names_since",
        "near_misses",
        "new_specimen",
        "on_paper",
        "open_boxes",
        "open_lot",
        "operators",
        "order",
        "owed",
        "own_acts",
        "paper_runs",
        "paper_withdrawn",
        "parties",
        "person_files",
        "persons",
        "plan",
        "policy",
        "practice",
        "readings",
        "roster",
        "running",
        "samples",
        "sent",
        "shift_book",
        "stations",
        "stock_room",
        "stopped_cleanly",
        "to_notify",
        "to_put_right",
        "to_tell",
        "to_tell_first",
        "told",
        "unsent",
        "waiting",
    )

    def __init__(self, base: Board) -> None:
        self._base = base
        self.founded = base.founded
        self.policy = base.policy
        self.stock_room = base.stock_room
        self.samples = base.samples
        self.shift_book = base.shift_book
        self.roster = base.roster
        self.climate = base.climate
        self.stopped_cleanly = base.stopped_cleanly
        self.muted_until = base.muted_until
        self.alarm_test = base.alarm_test
        self.plan = base.plan
        self.clock_jumps = base.clock_jumps
        self.sent = Ledger(base.sent)
        self.unsent = Ledger(base.unsent)
        self.exports = Ledger(base.exports)
        self.near_misses = Ledger(base.near_misses)
        self.practice = base.practice
        self.heard = Ledger(base.heard)
        self.open_lot = base.open_lot
        self.open_boxes = base.open_boxes
        self.assays = Ledger(base.assays)
        self.operators = Ledger(base.operators)
        self.persons = Ledger(base.persons)
        self.names = Ledger(base.names)
        self.names_since = base.names_since
        self.archives = base.archives
        self.person_files = Ledger(base.person_files)
        self.paper_runs = Ledger(base.paper_runs)
        self.on_paper = Ledger(base.on_paper)
        self.paper_withdrawn = Ledger(base.paper_withdrawn)
        self.ahead = Ledger(base.ahead)
        self.parties = Ledger(base.parties)
        self.came_with = Ledger(base.came_with)
        self.lots = Ledger(base.lots)
        self.running = Ledger(base.running)
        self.ended = Ledger(base.ended)
        self.labels = Ledger(base.labels)
        self.order = Ledger(base.order)
        self.history = Ledger(base.history)
        self.owed = Ledger(base.owed)
        self.held = Ledger(base.held)
        self.own_acts = Ledger(base.own_acts)
        self.readings = Ledger(base.readings)
        self.new_specimen = Ledger(base.new_specimen)
        self.told = Ledger(base.told)
        self.to_put_right = Ledger(base.to_put_right)
        self.to_tell_first = Ledger(base.to_tell_first)
        self.to_tell = Ledger(base.to_tell)
        self.to_notify = Ledger(base.to_notify)
        self.waiting = Ledger(base.waiting)
        self.gone = Ledger(base.gone)
        self.stations = Ledger(base.stations)
        self.holders = Ledger(base.holders)
        self.apart = Ledger(base.apart)
        self.apart_count = base.apart_count
        self.longest_alone = base.longest_alone

    def board(self) -> Board:
        """Return the board as it stands now."""
        return _changed(
            self._base,
            founded=self.founded,
            policy=self.policy,
            stock_room=self.stock_room,
            samples=self.samples,
            shift_book=self.shift_book,
            roster=self.roster,
            climate=self.climate,
            plan=self.plan,
            clock_jumps=self.clock_jumps,
            sent=self.sent.mapping,
            unsent=self.unsent.mapping,
            exports=self.exports.mapping,
            near_misses=self.near_misses.mapping,
            practice=self.practice,
            stopped_cleanly=self.stopped_cleanly,
            muted_until=self.muted_until,
            alarm_test=self.alarm_test,
            heard=self.heard.mapping,
            **self._of_boxes(),
            assays=self.assays.mapping,
            operators=self.operators.mapping,
            persons=self.persons.mapping,
            names=self.names.mapping,
            names_since=self.names_since,
            archives=self.archives,
            person_files=self.person_files.mapping,
            paper_runs=self.paper_runs.mapping,
            on_paper=self.on_paper.mapping,
            paper_withdrawn=self.paper_withdrawn.mapping,
            ahead=self.ahead.mapping,
            parties=self.parties.mapping,
            came_with=self.came_with.mapping,
            lots=self.lots.mapping,
            running=self.running.mapping,
            ended=self.ended.mapping,
            labels=self.labels.mapping,
            order=self.order.mapping,
            history=self.history.mapping,
            owed=self.owed.mapping,
            held=self.held.mapping,
            own_acts=self.own_acts.mapping,
            readings=self.readings.mapping,
            new_specimen=self.new_specimen.mapping,
            told=self.told.mapping,
            to_put_right=self.to_put_right.mapping,
            to_tell_first=self.to_tell_first.mapping,
            to_tell=self.to_tell.mapping,
            to_notify=self.to_notify.mapping,
            waiting=self.waiting.mapping,
            gone=self.gone.mapping,
            stations=self.stations.mapping,
            holders=self.holders.mapping,
            apart=self.apart.mapping,
            apart_count=self.apart_count,
            longest_alone=self.longest_alone,
        )

    def _of_boxes(self) -> dict[str, Any]:
        """Return what stands open of the stock."""
        return {"open_lot": self.open_lot, "open_boxes": self.open_boxes}

    def know(self, register: Ledger[str], identity: Private) -> None:
        """Enter an operator or a person; an erased id can no longer be looked up."""
        self.names.put(identity.key, identity.value)
        if identity.value is not None:
            register.put(identity.value, identity.key)

    def meet(self, person: Private, at: Instant) -> None:
        """Enter a person; the first one says since when anybody is known by name here."""
        self.know(self.persons, person)
        if self.names_since is None:
            self.names_since = at

    def cartridge(self, cartridge_id: str) -> Cartridge:
        """Return a cartridge the record has introduced.

        Raises:
            BrokenRecordError: it never did.
        """
        found = self.running.get(cartridge_id)
        return self.ended.want(cartridge_id, "cartridge") if found is None else found

    def keep(self, cartridge: Cartridge) -> None:
        """Put a cartridge where it belongs: among the running or the ended."""
        if cartridge.early_looks or cartridge.has_ended:
            note_to_tell(self, cartridge)  # of the others there is nothing to tell
        if cartridge.has_ended:
            self.running.drop(cartridge.id)
            self.heard.drop(cartridge.id)
            self.holders.drop(cartridge.id)
            self.ended.put(cartridge.id, cartridge)
            self.owe(cartridge.labelled.subject, cartridge.assay.id)
            if asks_for_repeat(cartridge) and self.owed.get(cartridge.id) is None:
                let_repeat_go(self, cartridge.id)
            if cartridge.held:
                self.held.put(cartridge.id, cartridge.labelled.subject)
            else:
                self.held.drop(cartridge.id)
        else:
            self.running.put(cartridge.id, cartridge)
        note_change(self, cartridge)

    def begun(self, cartridge: Cartridge) -> None:
        """Note that the person of `cartridge` has a fresh one: no older one of it is owed.

        One that was begun alone may come after others that were begun later.
        """
        subject, at = cartridge.labelled.subject, cartridge.labelled.at
        known = self.history.get(subject) or ()
        place = len(known)
        while place and self.stations.mapping and self.cartridge(known[place - 1]).labelled.at > at:
            place -= 1
        self.history.put(subject, (*known[:place], cartridge.id, *known[place:]))
        self.owe(subject, cartridge.assay.id)
        for label in [each.label for each in self.ahead.mapping.values() if each.person == subject]:
            self.ahead.drop(label)  # their turn has come
        self.waiting.drop(subject)
        self.gone.drop(subject)
        mixed_up = self.new_specimen.get(subject)
        if mixed_up is None or mixed_up.at <= at:
            self.new_specimen.drop(subject)

    def owe(self, subject: str, assay: str) -> None:
        """Note anew which of a person's cartridges by one assay is owed a repeat: one, or none."""
        owed = owed_in(self, last_visit(self, subject, assay))
        key = None if owed is None or self.names.get(subject) is None else owed.id
        for each in self.history.get(subject) or ():
            if each != key and self.owed.get(each) is not None:
                found = self.cartridge(each)
                if found.assay.id == assay:
                    self.owed.drop(each)
                    if asks_for_repeat(found):
                        let_repeat_go(self, each)
        if owed is not None and key is not None and self.owed.get(key) is None:
            self.owed.put(key, subject)
            note_to_tell(self, owed)

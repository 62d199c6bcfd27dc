"""A board while events are being entered into it.

A mapping is copied when it is first written to, so one event copies only what
it touches and a long replay copies nothing twice.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Generic, TypeVar

from readbell.core.board.board import Board
from readbell.core.board.label import asks_for_repeat
from readbell.core.board.layered import writable
from readbell.core.errors import BrokenRecordError
from readbell.core.making import changer_of

if TYPE_CHECKING:
    from collections.abc import Mapping, MutableMapping

    from readbell.core.cartridge.cartridge import Cartridge
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
        "assays",
        "came_with",
        "climate",
        "ended",
        "founded",
        "heard",
        "held",
        "history",
        "labels",
        "lots",
        "muted_until",
        "names",
        "open_lot",
        "operators",
        "order",
        "owed",
        "paper_runs",
        "parties",
        "person_files",
        "persons",
        "plan",
        "policy",
        "roster",
        "running",
        "samples",
        "shift_book",
        "stock_room",
        "stopped_cleanly",
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
        self.heard = Ledger(base.heard)
        self.open_lot = base.open_lot
        self.assays = Ledger(base.assays)
        self.operators = Ledger(base.operators)
        self.persons = Ledger(base.persons)
        self.names = Ledger(base.names)
        self.person_files = Ledger(base.person_files)
        self.paper_runs = Ledger(base.paper_runs)
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
        self.waiting = Ledger(base.waiting)

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
            stopped_cleanly=self.stopped_cleanly,
            muted_until=self.muted_until,
            alarm_test=self.alarm_test,
            heard=self.heard.mapping,
            open_lot=self.open_lot,
            assays=self.assays.mapping,
            operators=self.operators.mapping,
            persons=self.persons.mapping,
            names=self.names.mapping,
            person_files=self.person_files.mapping,
            paper_runs=self.paper_runs.mapping,
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
            waiting=self.waiting.mapping,
        )

    def know(self, register: Ledger[str], identity: Private) -> None:
        """Enter an operator or a person; an erased id can no longer be looked up."""
        self.names.put(identity.key, identity.value)
        if identity.value is not None:
            register.put(identity.value, identity.key)

    def cartridge(self, cartridge_id: str) -> Cartridge:
        """Return a cartridge the record has introduced.

        Raises:
            BrokenRecordError: it never did.
        """
        found = self.running.get(cartridge_id)
        return self.ended.want(cartridge_id, "cartridge") if found is None else found

    def keep(self, cartridge: Cartridge) -> None:
        """Put a cartridge where it belongs: among the running or the ended."""
        if cartridge.has_ended:
            self.running.drop(cartridge.id)
            self.heard.drop(cartridge.id)
            self.ended.put(cartridge.id, cartridge)
            self._owe(cartridge)
            if cartridge.held:
                self.held.put(cartridge.id, cartridge.labelled.subject)
            else:
                self.held.drop(cartridge.id)
        else:
            self.running.put(cartridge.id, cartridge)

    def begun(self, cartridge: Cartridge) -> None:
        """Note that the person of `cartridge` has a fresh one: no older one of it is owed."""
        subject = cartridge.labelled.subject
        earlier = self.history.get(subject) or ()
        for cartridge_id in earlier:
            if self.owed.get(cartridge_id) is not None:
                found = self.cartridge(cartridge_id)
                if found.assay.id == cartridge.assay.id:
                    self.owed.drop(cartridge_id)
        self.history.put(subject, (*earlier, cartridge.id))
        for label in [each.label for each in self.ahead.mapping.values() if each.person == subject]:
            self.ahead.drop(label)  # their turn has come
        self.waiting.drop(subject)

    def _owe(self, ended: Cartridge) -> None:
        """Note whether `ended` is owed a repeat: nothing came of it, and it is the latest."""
        subject, assay_id = ended.labelled.subject, ended.assay.id
        known = map(self.cartridge, reversed(self.history.get(subject) or ()))
        latest = next((each.id for each in known if each.assay.id == assay_id), None)
        if latest == ended.id and asks_for_repeat(ended):
            self.owed.put(ended.id, subject)
        else:
            self.owed.drop(ended.id)

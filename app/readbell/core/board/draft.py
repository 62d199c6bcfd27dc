"""A board while events are being entered into it.

A mapping is copied when it is first written to, so one event copies only what
it touches and a long replay copies nothing twice.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Generic, TypeVar

from readbell.core.errors import BrokenRecordError

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.private import Private

Value = TypeVar("Value")


class Ledger(Generic[Value]):
    """A mapping that leaves the one it was made from as it is."""

    __slots__ = ("_base", "_own")

    def __init__(self, base: Mapping[str, Value]) -> None:
        self._base = base
        self._own: dict[str, Value] | None = None

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
            self._own = dict(self._base)
        self._own[key] = value

    def drop(self, key: str) -> None:
        """Take the entry `key` out, if it is there."""
        if key in self.mapping:
            if self._own is None:
                self._own = dict(self._base)
            del self._own[key]


class Draft:
    """Every part of a board, open for writing."""

    __slots__ = (
        "_base",
        "alarm_test",
        "assays",
        "came_with",
        "ended",
        "founded",
        "heard",
        "history",
        "labels",
        "lots",
        "muted_until",
        "names",
        "open_lot",
        "operators",
        "parties",
        "persons",
        "policy",
        "running",
        "stopped_cleanly",
    )

    def __init__(self, base: Board) -> None:
        self._base = base
        self.founded = base.founded
        self.policy = base.policy
        self.stopped_cleanly = base.stopped_cleanly
        self.muted_until = base.muted_until
        self.alarm_test = base.alarm_test
        self.heard = Ledger(base.heard)
        self.open_lot = base.open_lot
        self.assays = Ledger(base.assays)
        self.operators = Ledger(base.operators)
        self.persons = Ledger(base.persons)
        self.names = Ledger(base.names)
        self.parties = Ledger(base.parties)
        self.came_with = Ledger(base.came_with)
        self.lots = Ledger(base.lots)
        self.running = Ledger(base.running)
        self.ended = Ledger(base.ended)
        self.labels = Ledger(base.labels)
        self.history = Ledger(base.history)

    def board(self) -> Board:
        """Return the board as it stands now."""
        return replace(
            self._base,
            founded=self.founded,
            policy=self.policy,
            stopped_cleanly=self.stopped_cleanly,
            muted_until=self.muted_until,
            alarm_test=self.alarm_test,
            heard=self.heard.mapping,
            open_lot=self.open_lot,
            assays=self.assays.mapping,
            operators=self.operators.mapping,
            persons=self.persons.mapping,
            names=self.names.mapping,
            parties=self.parties.mapping,
            came_with=self.came_with.mapping,
            lots=self.lots.mapping,
            running=self.running.mapping,
            ended=self.ended.mapping,
            labels=self.labels.mapping,
            history=self.history.mapping,
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
        else:
            self.running.put(cartridge.id, cartridge)

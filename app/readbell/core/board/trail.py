"""Which events belong to the story of a person, a cartridge, a lot, or somebody who works here."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.concerns import LOTS, Links, actors_in, entered_in
from readbell.core.board.events import ActRefused
from readbell.core.controls.events import SampleJudged
from readbell.core.keeping.events import RecordErased
from readbell.core.stock.events import LotCorrected, LotHeld, LotRecalled, LotReleased

if TYPE_CHECKING:
    from collections.abc import Collection

    from readbell.core.board.event import Event

OF_THEIR_LOT = (LotHeld, LotRecalled, LotReleased, LotCorrected, SampleJudged)
"""What happened to a whole lot, and may change what a result of it is worth."""


class Trail:
    """Follows one thread through a record, from its first event on.

    Several may be named: then an event has to belong to each of them.

    Args:
        person: key of somebody who is tested.
        called: their ID, to be looked for in acts that were refused.
        cartridges: opaque ids.
        lot: its number.
        operator: key of somebody who works here.
    """

    def __init__(
        self,
        *,
        person: str | None = None,
        called: str | None = None,
        cartridges: Collection[str] = (),
        lot: str | None = None,
        operator: str | None = None,
    ) -> None:
        self._links = Links()
        self._person = person
        self._called = called
        self._cartridges = frozenset(cartridges)
        self._lot = lot
        self._operator = operator
        self._their_lots: set[str] = set()

    def follows(self, event: Event) -> bool:
        """Take `event` in, the next of the record, and say whether it belongs to the story."""
        links = self._links
        links.note(event)
        return (
            (self._person is None or self._is_of_person(event, self._person))
            and (not self._cartridges or self._is_of_cartridges(event))
            and (self._lot is None or self._is_of_lot(event, self._lot))
            and (self._operator is None or self._operator in actors_in(event))
        )

    def _is_of_person(self, event: Event, person: str) -> bool:
        if person in self._links.persons_in(event):
            if self._links.person_of(event) == person:
                self._note_lot(event)
            return True
        match event:
            case ActRefused():
                return self._called is not None and entered_in(event, "person") == self._called
            case RecordErased():
                return person in event.keys
            case _:
                return self._is_of_their_lot(event)

    def _is_of_cartridges(self, event: Event) -> bool:
        if isinstance(event, RecordErased):
            owners = map(self._links.owner_of, self._cartridges)
            return not set(event.keys).isdisjoint(owners)
        if self._cartridges.isdisjoint(self._links.cartridges_in(event)):
            return self._is_of_their_lot(event)
        if self._links.cartridge_of(event) in self._cartridges:
            self._note_lot(event)
        return True

    def _is_of_lot(self, event: Event, lot: str) -> bool:
        if isinstance(event, ActRefused) and lot in (entered_in(event, each) for each in LOTS):
            return True
        return lot in self._links.lots_in(event)

    def _note_lot(self, event: Event) -> None:
        self._their_lots.update(self._links.lots_in(event))

    def _is_of_their_lot(self, event: Event) -> bool:
        return isinstance(event, OF_THEIR_LOT) and not self._their_lots.isdisjoint(
            self._links.lots_in(event)
        )

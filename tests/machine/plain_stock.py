"""The methods and the batches of kits of a plain bay, and what is asked before one is used."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING

from machine.plain_parts import Lot
from machine.plain_time import TimeLine

if TYPE_CHECKING:
    from machine.plain_cartridge import Assay
    from machine.plain_parts import Code


@dataclass
class Correction:
    """What is said to be right of a lot; None: that was entered rightly."""

    day: date | None
    assay: str | None = None
    is_past: bool = False
    """The day is past, and is meant to be."""
    scanned: bool = False
    """The day was read off the code of the box."""


def end_of(day: date) -> int:
    """Give when a day ends at the site, where it is as late as at Greenwich."""
    midnight = datetime.combine(day + timedelta(days=1), time(), UTC)
    return int(midnight.timestamp() * 1_000)


@dataclass
class Stock(TimeLine):
    """Assays in use, lots, and the boxes that stand open."""

    def adopt(self, by: str, assay: Assay, *, checked: bool) -> Code:
        """Take a method into use."""
        if not self._may_register(by):
            return "unknown-operator"
        if not checked:
            return "not-adopted"
        if assay.id in self.assays:
            return "already-known"
        self.assays[assay.id] = assay
        return None

    def receive(self, by: str, number: str, assay: str, expires: date, units: int | None) -> Code:
        """Enter a batch of kits."""
        if not self._may_register(by):
            return "unknown-operator"
        if number in self.lots:
            return "already-known"
        if assay not in self.assays:
            return "not-adopted"
        self.lots[number] = Lot(self.assays[assay], expires, units)
        return None

    def hold(self, by: str, number: str) -> Code:
        """Stop a lot."""
        if by not in self.operators:
            return "unknown-operator"
        if number not in self.lots:
            return "unknown-lot"
        self.lots[number].held = True
        self._stock(number)
        return None

    def open(self, by: str, number: str) -> Code:
        """Open a box at the bench."""
        if by not in self.operators:
            return "unknown-operator"
        if number not in self.lots:
            return "unknown-lot"
        code = self.lots[number].refuse(self.today)
        if code is None:
            assay = self.lots[number].assay.id
            self.open_boxes.pop(assay, None)
            self.open_boxes[assay] = number
            self.open_lot = number
        return code

    def correct_lot(self, by: str, number: str, said: Correction) -> Code:
        """Put right what was entered wrongly of a lot; what was begun after its last day waits."""
        if by not in self.operators:
            return "unknown-operator"
        lot = self.lots.get(number)
        if lot is None:
            return "unknown-lot"
        day = None if said.day == lot.expires else said.day
        other = said.assay not in (None, lot.assay.id)
        if other and said.assay not in self.assays:
            return "not-adopted"
        if day is None and not other:
            return "not-allowed"
        if other and lot.used:
            return "not-allowed"
        if day is not None and lot.scanned and not said.scanned:
            return "not-allowed"
        if day is not None and self.today > day and not said.is_past:
            return "not-allowed"
        if day is not None:
            lot.expires, lot.scanned = day, said.scanned
            if self.today > day:
                self._hold_what_came_after(number, day)
        if other:
            self._put_away(number)
            lot.assay = self.assays[said.assay or ""]
        return None

    def _hold_what_came_after(self, number: str, day: date) -> None:
        for each in self.cartridges.values():
            if each.lot == number and each.begun_on_the_wall >= end_of(day) and not each.void:
                each.held.add("lot-expired")

    def _stock(self, number: str) -> None:
        lot = self.lots[number]
        if lot.held or lot.used_up:
            self._put_away(number)

    def _put_away(self, number: str) -> None:
        lot = self.lots[number]
        if self.open_boxes.get(lot.assay.id) == number:
            del self.open_boxes[lot.assay.id]
        if self.open_lot == number:
            self.open_lot = None

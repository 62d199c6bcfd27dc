"""The methods and the batches of kits of a plain bay, and what is asked before one is used."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from machine.plain_parts import Lot
from machine.plain_time import TimeLine

if TYPE_CHECKING:
    from datetime import date

    from machine.plain_cartridge import Assay
    from machine.plain_parts import Code


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

    def _stock(self, number: str) -> None:
        lot = self.lots[number]
        if not (lot.held or lot.used_up):
            return
        if self.open_boxes.get(lot.assay.id) == number:
            del self.open_boxes[lot.assay.id]
        if self.open_lot == number:
            self.open_lot = None

"""A live bay that works in shifts."""

from __future__ import annotations

from dataclasses import replace
from itertools import count
from typing import TYPE_CHECKING

from builders import TODAY, private
from core.board.stock_bench import StockBench
from readbell.core.board.events import Mode
from readbell.core.policy.shifts import Shifts
from readbell.core.shift.acts import CloseShift, OpenShift, SignDaySheet
from readbell.core.shift.checks import Facts

if TYPE_CHECKING:
    from readbell.core.cartridge.acts import Label

WELL = Facts(
    disk_free=10**10,
    clock_is_set=True,
    changed_assays=(),
    record_is_whole=True,
    settings_are_fine=True,
)
"""A computer that has nothing to say against itself."""


class ShiftBench(StockBench):
    """As the bench of stock, with shifts opened and closed."""

    def __init__(self) -> None:
        super().__init__(mode=Mode.LIVE)
        self._devices = count(1)
        self.decides()

    def decides(self, **decisions: object) -> None:
        """Let the site decide something; it works in shifts whatever that is."""
        super().decides(**{"shifts": Shifts.ON, **decisions})

    def label_act(self, label: str = "C1", person: str = "P-001", **named: str) -> Label:
        """Return a start whose device has an opaque id of its own, whatever its label."""
        act = super().label_act(label, person, **named)
        return replace(act, new_id=f"id-{next(self._devices)}-{label}")

    def open_shift(self, now: str = "0:00", facts: Facts = WELL, *, light: bool = True) -> None:
        """Begin a shift."""
        self.must(OpenShift(by="op-1", facts=facts, today=TODAY, light=light), now)

    def close_act(self, why: str | None = None) -> CloseShift:
        """Return the act that ends the shift."""
        words = None if why is None else private(why)
        return CloseShift(by="op-1", today=TODAY, words=words)

    def close_shift(self, now: str, why: str | None = None) -> None:
        """End the shift."""
        self.must(self.close_act(why), now)

    def sign_act(self, number: int | None = None, by: str = "op-1") -> SignDaySheet:
        """Return the act that signs."""
        return SignDaySheet(by=by, head="ab" * 32, sequence=12, number=number)

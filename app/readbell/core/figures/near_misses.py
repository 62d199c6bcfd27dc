"""Near misses: acts that were refused, told apart by why, on which lot, when and by whose hand."""

from __future__ import annotations

from collections import Counter
from dataclasses import field
from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from readbell.core.instant import Instant
    from readbell.core.refusal import RefusalCode


class Of(StrEnum):
    """What near misses are told apart by."""

    CODE = "code"
    LOT = "lot"
    HOUR = "hour"
    OPERATOR = "operator"


@dataclass(frozen=True, slots=True, kw_only=True)
class NearMiss:
    """An act that was refused."""

    at: Instant
    code: RefusalCode
    """Why."""
    act: str
    """What was to be done."""
    assay: str | None
    """Id of that of the cartridge it was about; None: it was about none that is known."""
    lot: str | None
    """The lot of that cartridge."""
    operator: str | None
    """Key of who was to do it; None: nobody who is known."""


@dataclass(slots=True)
class NearMisses:
    """How many there were of each kind."""

    total: int = 0
    by: dict[Of, Counter[str]] = field(default_factory=lambda: {each: Counter() for each in Of})
    """The hour as two digits; what is not known is left out."""

    def add(self, miss: NearMiss, hour: int) -> None:
        """Count `miss`, of this hour of the day at the site."""
        self.total += 1
        self.by[Of.CODE][miss.code.value] += 1
        self.by[Of.HOUR][f"{hour:02}"] += 1
        if miss.lot is not None:
            self.by[Of.LOT][miss.lot] += 1
        if miss.operator is not None:
            self.by[Of.OPERATOR][miss.operator] += 1

    def most(self, of: Of) -> tuple[tuple[str, int], ...]:
        """Return each kind with its count, the most frequent first; of hours in their order."""
        found = self.by[of].items()
        if of is Of.HOUR:
            return tuple(sorted(found))
        return tuple(sorted(found, key=lambda each: (-each[1], each[0])))

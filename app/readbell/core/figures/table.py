"""What was counted, told apart by day, assay, lot, operator or reader."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

from readbell.core.figures.tally import Tally
from readbell.core.figures.view import By
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from readbell.core.figures.counted import Cell, Counted
    from readbell.core.figures.readers import Twice


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """Which of the cases are asked about; nothing named leaves all of them in."""

    since: str | None = None
    """The first day, as YYYY-MM-DD."""
    until: str | None = None
    """The last day; it belongs to them."""
    assays: tuple[str, ...] = ()
    lots: tuple[str, ...] = ()

    def holds(self, cell: Cell) -> bool:
        """Say whether the cases of `cell` are asked about."""
        return (
            self.holds_day(cell.day)
            and (not self.assays or cell.assay in self.assays)
            and (not self.lots or cell.lot in self.lots)
        )

    def holds_day(self, day: str) -> bool:
        """Say whether `day` is asked about."""
        return (self.since is None or self.since <= day) and (
            self.until is None or day <= self.until
        )


ALL = Chosen()


class Table:
    """Everything that patients' cartridges add up to; control samples stay apart from them.

    Cells are added up by what was worked with, and by whose hands it was: all else follows from
    these few, so each cell of a long record is gone through twice, however it is told apart.

    Args:
        chosen: which of them are asked about.
        by: in which ways they are told apart.
    """

    def __init__(self, chosen: Chosen = ALL, by: Iterable[By] = tuple(By)) -> None:
        self.chosen = chosen
        self._by = frozenset(by)
        self._work: dict[tuple[str, str, str], Tally] = {}
        """By day, assay and lot."""
        self._hands: dict[tuple[str, str | None], Tally] = {}
        """By operator and reader."""
        self._whole: Tally | None = None
        self._groups: dict[By, Mapping[str, Tally]] = {}

    def take(self, counted: Counted) -> None:
        """Add a part of what was counted; of a part alone nothing may be said yet."""
        self._whole, self._groups = None, {}
        asks_hands = not self._by.isdisjoint(_OF_HANDS)
        for cell, tally in counted.cells.items():
            if self.chosen.holds(cell):
                _add(self._work, (cell.day, cell.assay, cell.lot), tally)
                if asks_hands:
                    _add(self._hands, (cell.operator, cell.reader), tally)

    @property
    def whole(self) -> Tally:
        """All of them together."""
        if self._whole is None:
            self._whole = Tally()
            for tally in self._work.values():
                self._whole.join(tally)
        return self._whole

    def groups(self, by: By) -> Mapping[str, Tally]:
        """Return the tallies by day as YYYY-MM-DD, id, number or key, in rising order.

        What nobody read has no reader.

        Raises:
            KeyError: they were never asked to be told apart in this way.
        """
        if by not in self._by:
            raise KeyError(by)
        if by not in self._groups:
            self._groups[by] = self._grouped(by)
        return self._groups[by]

    def twice_by_assay(self) -> dict[str, Mapping[Twice, int]]:
        """Return the strips that two people read, by assay; assays that have none are left out.

        Raises:
            KeyError: they were never asked to be told apart by assay.
        """
        groups = self.groups(By.ASSAY)
        return {assay: tally.twice for assay, tally in groups.items() if tally.twice}

    def _grouped(self, by: By) -> Mapping[str, Tally]:
        found: dict[str, Tally] = {}
        if by in _OF_HANDS:
            place = _OF_HANDS.index(by)
            for hands, tally in self._hands.items():
                key = hands[place]
                if key is not None:
                    _add(found, key, tally)
        else:
            place = _OF_WORK.index(by)
            for work, tally in self._work.items():
                _add(found, work[place], tally)
        return {key: each for key, each in sorted(found.items()) if each.total}


_OF_WORK = (By.DAY, By.ASSAY, By.LOT)
_OF_HANDS = (By.OPERATOR, By.READER)
Key = TypeVar("Key")


def _add(group: dict[Key, Tally], key: Key, tally: Tally) -> None:
    found = group.get(key)
    if found is None:
        found = group[key] = Tally()
    found.join(tally)

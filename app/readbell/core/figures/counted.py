"""What was counted of a whole record, in cells small enough to be added up in any way.

A cell is what one operator did with one lot on one day, read by one reader. A year of a busy
site has some ten thousand of them, so whatever is asked of it is added up in a second,
while the cartridges themselves would take minutes. A part of a record may be counted by
itself: it says by how much the cells of what came before it change.
"""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING, NamedTuple

from readbell.core.cartridge.events import SubjectKind
from readbell.core.figures.tally import Tally
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from readbell.core.figures.case import Came, Case


class Cell(NamedTuple):
    """Whose cases are counted together."""

    day: str
    """Of the site, on which they were begun, as YYYY-MM-DD."""
    assay: str
    """Its id."""
    lot: str
    """Its number."""
    operator: str
    """Key of whoever put the specimen on the well."""
    reader: str | None
    """Key of whoever read it first; None: nobody did."""


@dataclass(slots=True)
class Counted:
    """What was counted: patients' cartridges alone; control samples are no part of any rate."""

    cells: dict[Cell, Tally] = field(default_factory=dict)
    courses: dict[tuple[str, str], dict[int, Came]] = field(default_factory=dict)
    """What each cartridge came to by its place in the order of labelling, by assay and lot."""

    def count(self, case: Case, day: str, hour: int) -> None:
        """Count `case`, begun on this day of the site, in this hour of the day."""
        if case.kind is SubjectKind.PATIENT:
            self._tally(_cell(case, day)).add(case, hour)
            self.courses.setdefault((case.assay, case.lot), {})[case.ordinal] = case.came

    def take_off(self, case: Case, day: str, hour: int) -> None:
        """Count `case` no more: it is otherwise now, and what it is is counted instead."""
        if case.kind is SubjectKind.PATIENT:
            self._tally(_cell(case, day)).add(case, hour, -1)

    def join(self, later: Counted) -> None:
        """Add what was counted `later`, which is used up by it: its tallies are taken over."""
        for cell, tally in later.cells.items():
            found = self.cells.get(cell)
            if found is None:
                self.cells[cell] = tally
            else:
                found.join(tally)
        for key, course in later.courses.items():
            known = self.courses.get(key)
            if known is None:
                self.courses[key] = course
            else:
                known.update(course)

    def outcomes(self) -> Counted:
        """Return the same without any lengths, which take most of the room in a long record."""
        cells = {cell: Tally(came=tally.came.copy()) for cell, tally in self.cells.items()}
        return Counted(cells=cells, courses=self.courses)

    def _tally(self, cell: Cell) -> Tally:
        tally = self.cells.get(cell)
        if tally is None:
            tally = self.cells[cell] = Tally()
        return tally


def _cell(case: Case, day: str) -> Cell:
    return Cell(day, case.assay, case.lot, case.operator, case.reader)

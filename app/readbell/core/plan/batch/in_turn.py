"""Each person in turn gets the first places where the whole of the work fits.

Slow hands and safe ones: no rule of preference can paint itself into a corner, for
whoever does not fit among the others fits after them. It stands in where every
manner of dispatch misses a limit, as it may around breaks.
"""

from __future__ import annotations

from bisect import insort
from typing import TYPE_CHECKING

from readbell.core.instant import Span
from readbell.core.plan.batch.plan import Placed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.plan.batch.job import Batch


def in_turn(batch: Batch) -> tuple[Placed, ...]:
    """Return a timetable that keeps every rule, whatever the breaks and the arrivals."""
    return _InTurn(batch).run()


class _InTurn:
    def __init__(self, batch: Batch) -> None:
        self._batch = batch
        self._takes = batch.takes
        # A change of gloves is set aside before every piece that touches: simple, and never short.
        gloves = int(batch.work.gloves)
        self._lead = [gloves if yes else 0 for yes in batch.touches]
        self._busy: list[list[tuple[int, int]]] = [
            list(batch.breaks_of(each)) for each in range(batch.operators)
        ]

    def run(self) -> tuple[Placed, ...]:
        placed: list[Placed] = []
        for person, arrives in enumerate(self._batch.arrivals):
            at = int(arrives)
            while (chosen := self._place(person, [], at)) is None:
                at = self._next_try(at)
            for each in chosen:
                taken = (each.begins - self._lead[each.piece], int(each.ends))
                insort(self._busy[each.operator], taken)
            placed += chosen
        return tuple(sorted(placed))

    def _next_try(self, at: int) -> int:
        """Return the next instant at which a place for a first piece may begin."""
        lead = self._lead[0]
        ends = [end + lead for busy in self._busy for _, end in busy if end + lead > at]
        return min([at + max(1, self._takes[0]), *ends])

    def _place(self, person: int, sofar: list[Placed], first: int) -> list[Placed] | None:
        """Return places for the pieces that are left, the first of all at `first`; None if none."""
        piece = len(sofar)
        if piece == len(self._takes):
            return sofar
        least, most = first, None if piece else first
        for tie in self._batch.ties:
            if tie.second == piece:
                ended = int(sofar[tie.first].ends)
                least = max(least, ended + tie.least)
                if tie.most is not None:
                    most = ended + tie.most if most is None else min(most, ended + tie.most)
        for begins, operator in sorted(self._openings(sofar, least, most)):
            here = Placed(
                begins=Span(begins),
                operator=operator,
                person=person,
                piece=piece,
                ends=Span(begins + self._takes[piece]),
            )
            found = self._place(person, [*sofar, here], first)
            if found is not None:
                return found
        return None

    def _openings(
        self, sofar: list[Placed], least: int, most: int | None
    ) -> Iterator[tuple[int, int]]:
        """Yield the first place of each operator, from `least` to `most`, for the next piece."""
        lead, takes = self._lead[len(sofar)], self._takes[len(sofar)]
        for operator, busy in enumerate(self._busy):
            own = [each for each in sofar if each.operator == operator]
            clean = least if not own else max(least, own[-1].ends + lead)
            begins = self._first_gap(busy, clean, lead, takes)
            touched = [int(each.ends) for each in own if self._batch.touches[each.piece]]
            if touched:
                # Hands that stay with one person change nothing.
                ends = touched[-1]
                straight = self._first_gap(busy, least, 0, takes)
                if all(until <= ends or from_ >= straight for from_, until in busy):
                    begins = straight
            if most is None or begins <= most:
                yield begins, operator

    def _first_gap(self, busy: list[tuple[int, int]], least: int, lead: int, takes: int) -> int:
        begins = least
        for from_, until in busy:
            if begins + takes <= from_:
                break
            if until > begins - lead:
                begins = until + lead
        return begins

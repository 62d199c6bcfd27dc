"""A batch in which a change of gloves is part of the piece that it comes before.

Hands that need no change then cannot be told from others, and whoever proves something
about the batch need not ask who did what. docs/planning.md has the proof, under "Gloves
folded in": which of its timetables are timetables of the batch, and what is proved of which.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from readbell.core.instant import Span
from readbell.core.made_later import dataclass
from readbell.core.plan.batch.plan import Placed, in_order
from readbell.core.plan.hands_on import exactly
from readbell.core.plan.work import Part, Piece

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readbell.core.plan.batch.job import Batch
    from readbell.core.plan.gaps import Tie

GLOVES = "gloves"
"""Stands for the change in front of a piece; it is no step of any assay."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Folded:
    """A batch, and the one without gloves that stands for it; its times lie `shift` later."""

    of: Batch
    batch: Batch

    @property
    def shift(self) -> Span:
        """A first piece needs no change, so what stands for it may begin this much before 0."""
        return self.of.work.gloves

    def placed(self, placed: Iterable[Placed]) -> tuple[Placed, ...]:
        """Return a timetable of the batch as one of what stands for it."""
        return in_order(self._moved(each, self.shift) for each in placed)

    def unfolded(self, placed: Iterable[Placed]) -> tuple[Placed, ...]:
        """Return a timetable of what stands for the batch as one of the batch."""
        return in_order(self._moved(each, Span(-self.shift)) for each in placed)

    def _moved(self, each: Placed, shift: Span) -> Placed:
        # A touch begins in both where it begins: the change in front takes up the shift.
        begins = 0 if self.of.touches[each.piece] else shift
        return replace(each, begins=Span(each.begins + begins), ends=Span(each.ends + shift))


def folded(batch: Batch) -> Folded | None:
    """Return what stands for `batch`, or None where the conditions of the proof do not hold.

    They are: nobody has a break; and, where gloves take time, every piece but the last
    touches, the last does not, and between two touches of one person lies at least a change.
    """
    gloves = batch.work.gloves
    if batch.breaks:
        return None
    if gloves == 0:
        return Folded(of=batch, batch=batch)
    *others, last = batch.touches
    if last or not all(others):
        return None
    between = {(tie.first, tie.second): tie.least for tie in batch.ties}
    if any(between[pair] < gloves for pair in pairwise(range(len(others)))):
        return None
    change = Part(key=GLOVES, hands=exactly(gloves), touches=False)
    pieces = tuple(
        Piece(parts=(change, *piece.parts)) if piece.touches else piece
        for piece in batch.work.pieces
    )
    work = replace(batch.work, pieces=pieces, gloves=Span(0))
    ties = tuple(_less(tie, gloves) if batch.touches[tie.second] else tie for tie in batch.ties)
    return Folded(of=batch, batch=replace(batch, work=work, ties=ties))


def without_reading(batch: Batch) -> Batch:
    """Return the batch without its last piece: no timetable of the rest ends later for it."""
    last = len(batch.work.pieces) - 1
    return replace(
        batch,
        work=replace(batch.work, pieces=batch.work.pieces[:last]),
        ties=tuple(tie for tie in batch.ties if tie.second < last),
    )


def _less(tie: Tie, gloves: Span) -> Tie:
    most = None if tie.most is None else Span(tie.most - gloves)
    return replace(tie, least=Span(tie.least - gloves), most=most)

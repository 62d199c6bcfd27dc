"""Steady hands played by themselves: every piece of work takes its usual time, to the millisecond."""

from __future__ import annotations

import heapq
from dataclasses import dataclass
from typing import TYPE_CHECKING

from builders import NASAL, START
from readbell.core.board.entry import Do
from readbell.core.instant import Instant, Span, between, later
from readbell.core.rehearsal.steady_hands import Box, Deed, SteadyHands, Visitor
from readbell.core.rehearsal.workload import FAR

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.assay.assay import Assay
    from readbell.core.board.entry import Entry

READ = "read"
MOST_QUESTIONS = 100_000
"""More than any day here needs: hands that never finish are caught, not waited for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One piece of work as it was done."""

    operator: str
    entry: Entry
    begins: Instant
    ends: Instant

    @property
    def what(self) -> str:
        """Key of the step; `label` for the first, `read` for the reading."""
        names = {Do.LABEL: "label", Do.READ: READ}
        return names.get(self.entry.do, self.entry.step)

    @property
    def takes(self) -> Span:
        """How long the hands were busy with it."""
        return between(self.begins, self.ends)


def visitors(arrivals: Sequence[int]) -> list[Visitor]:
    """Return visitors who arrive at `arrivals`, in milliseconds after the start."""
    return [
        Visitor(person=f"P-{number:03}", arrives=later(START, Span(arrives)))
        for number, arrives in enumerate(sorted(arrivals), start=1)
    ]


def hands_of(
    operators: int, queue: Sequence[Visitor], assay: Assay = NASAL, *, boxes: int | None = None
) -> SteadyHands:
    """Return the hands of so many operators; `boxes` is how many cartridges there are."""
    left = [1] * (len(queue) * 2 if boxes is None else boxes)

    def open_box() -> Box | None:
        return Box(lot="L-100", assay=assay) if left else None

    names = [f"op-{number}" for number in range(1, operators + 1)]
    return SteadyHands(names, queue, open_box)


def play(hands: SteadyHands, operators: int, begin: Instant = START) -> list[Piece]:
    """Let every operator work until nobody has anything to do; return the work in order of end."""
    agenda: list[tuple[Instant, int]] = [(begin, place) for place in range(operators)]
    done: list[Piece] = []
    for _ in range(MOST_QUESTIONS):
        if not agenda:
            break
        now, place = heapq.heappop(agenda)
        operator = f"op-{place + 1}"
        following = hands.next_deed(operator, now)
        if isinstance(following, Deed):
            done.append(
                Piece(operator=operator, entry=following.entry, begins=now, ends=following.ends)
            )
            heapq.heappush(agenda, (following.ends, place))
        elif following < FAR:
            assert following > now, "hands that ask again at once would ask for ever"
            heapq.heappush(agenda, (following, place))
    assert not agenda, "these hands never finish"
    return sorted(done, key=lambda piece: piece.ends)


def of_cartridge(work: Sequence[Piece]) -> dict[str, list[Piece]]:
    """Return the work of each cartridge."""
    found: dict[str, list[Piece]] = {}
    for piece in work:
        found.setdefault(piece.entry.cartridge, []).append(piece)
    return found

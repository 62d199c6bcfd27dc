"""Who is here today: those who wait, whose cartridges run, who had one, and who left before."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.layered import newest
from readbell.core.board.subjects import is_behind, is_patients
from readbell.core.instant import HOUR, Span, earlier
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.core.people.events import PersonLeft

OVERNIGHT = Span(6 * HOUR)
"""No cartridge runs so long untouched: behind one last touched earlier nothing of today lies."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PatientToday:
    """One person, and what became of them today so far."""

    key: str
    cartridges: tuple[Cartridge, ...]
    """Those of today, in the order in which they were begun."""
    left: PersonLeft | None = None
    """That they left before anything was begun for them, and are not back."""

    @property
    def waits(self) -> bool:
        """Whether nothing was begun for them yet."""
        return not self.cartridges and self.left is None


def patients_today(board: Board, since: Instant) -> tuple[PatientToday, ...]:
    """Return everybody of today: who waits first, then by who was begun first, then who has left.

    Args:
        board: the bay.
        since: when the day began.
    """
    begun: dict[str, list[Cartridge]] = {}
    of_today = [*board.running.values()]
    for each in newest(board.ended):
        if is_behind(board, each.last_act, earlier(since, OVERNIGHT)):
            break  # not by its label: one that was left over for days may end today
        of_today.append(each)
    for each in sorted(of_today, key=lambda each: each.ordinal):
        if each.labelled.at >= since and is_patients(each):
            begun.setdefault(each.labelled.subject, []).append(each)
    waiting = tuple(PatientToday(key=each, cartridges=()) for each in board.waiting)
    others = tuple(
        PatientToday(key=key, cartridges=tuple(theirs), left=board.gone.get(key))
        for key, theirs in begun.items()
        if key not in board.waiting
    )
    gone = tuple(
        PatientToday(key=key, cartridges=(), left=each)
        for key, each in board.gone.items()
        if each.at >= since and key not in begun
    )
    return (*waiting, *others, *gone)

"""What other stations of a shared bay did last to each cartridge, while this one looked on.

Two people may act on one cartridge at the same moment. One is first; the other is refused, and is
told who was first, where and when. It is kept in memory, for as long as the program runs.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.cartridge.events import (
    CartridgeLabelled,
    CartridgeLapsed,
    CartridgeRead,
    CartridgeVoided,
    EarlyPositiveSeen,
    ReadingCorrected,
    StepDone,
    StepTakenBack,
)
from readbell.core.catalogue import NAMES
from readbell.core.made_later import dataclass
from readbell.core.refusal import Elsewhere, Refusal, RefusalCode

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readbell.core.board.acts import Act
    from readbell.core.board.board import Board
    from readbell.core.instant import Instant
    from readbell.journal.envelope import Envelope

KEPT = 1_000
"""Cartridges that are remembered: more than a bay has in a shift (our own choice)."""
TAKES_AWAY = (
    RefusalCode.ALREADY_READ,
    RefusalCode.ALREADY_ENDED,
    RefusalCode.OUT_OF_ORDER,
    RefusalCode.WINDOW_CLOSED,
    RefusalCode.LABEL_IN_USE,
)
"""What an act may be refused for because somebody else was first."""
_Done = (
    CartridgeLabelled
    | StepDone
    | StepTakenBack
    | EarlyPositiveSeen
    | CartridgeRead
    | ReadingCorrected
    | CartridgeVoided
    | CartridgeLapsed
)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Last:
    station: str
    kind: str
    by: str | None
    """Key of who did it."""
    at: Instant


class DoneElsewhere:
    """Remembers, of each cartridge, what was done to it last at another station.

    Args:
        kept: of how many cartridges.
    """

    def __init__(self, kept: int = KEPT) -> None:
        self._kept = kept
        self._last: dict[str, _Last] = {}

    def note(self, envelope: Envelope) -> None:
        """Take note of an event that another station recorded."""
        event = envelope.event
        if not isinstance(event, _Done):
            return
        self._last.pop(event.cartridge, None)
        self._last[event.cartridge] = _Last(
            station=envelope.stamp.station,
            kind=NAMES[type(event)],
            by=None if isinstance(event, CartridgeLapsed) else event.by,
            at=event.at,
        )
        if len(self._last) > self._kept:
            del self._last[next(iter(self._last))]

    def forget(self, cartridges: Iterable[str]) -> None:
        """Take note that somebody here went on with `cartridges`."""
        for each in cartridges:
            self._last.pop(each, None)

    def told(self, refusal: Refusal, act: Act, board: Board) -> Refusal:
        """Return `refusal` of `act` with who was first, if that was somebody at another station."""
        aim = getattr(act, "aim", None)
        if aim is None or refusal.code not in TAKES_AWAY or refusal.due is not None:
            return refusal
        last = self._last.get(board.labels.get(aim.cartridge, ""))
        if last is None:
            return refusal
        by = board.name(last.by) or ""
        first = Elsewhere(station=last.station, kind=last.kind, by=by, at=last.at)
        return replace(refusal, elsewhere=first)

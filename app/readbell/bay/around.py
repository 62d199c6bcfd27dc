"""Who else works at a shared bay, as this station sees it: true of now alone, and in no journal."""

from __future__ import annotations

from dataclasses import field, replace
from typing import TYPE_CHECKING, Protocol

from readbell.core.board.hearing import ROLES
from readbell.core.board.stations import Here
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.instant import Instant, Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Pulse:
    """One station that is here, as it says of itself every two seconds."""

    station: str
    mark: str
    hears: frozenset[str] = frozenset(ROLES)
    """What it should hear of its own accord."""
    lanes: frozenset[str] = frozenset()
    """The lanes whose cartridges it hears; empty: all of them."""
    line: Instant | None = None
    """Where its line stood as it last said so; None: of this one, and of one that has none yet."""


class Presence(Protocol):
    """Knows who is here. It is asked from any thread, and never waits."""

    @property
    def station(self) -> str:
        """The name of this station."""

    @property
    def mark(self) -> str:
        """Its mark."""

    @property
    def offset(self) -> Span | None:
        """The bay's line less the server's clock, as far as that was measured."""

    @property
    def wall_apart(self) -> Span | None:
        """The wall clock of this computer less the server's, as far as that was measured."""

    @property
    def refused(self) -> str:
        """Why the link does not come back by itself; empty: it may, or it is there."""

    @property
    def mirror_ailment(self) -> str:
        """Why the mirror of this station takes nothing; empty: it does."""

    @property
    def has_twin(self) -> bool:
        """Whether another computer says that it is this station."""

    @property
    def is_second(self) -> bool:
        """Whether that one was this station first."""

    def cannot_follow(self, why: str) -> None:
        """Take note that a newer program writes the record: this one is alone until it ends."""

    def seen(self) -> tuple[Pulse, ...]:
        """Return the stations that are here now, this one among them."""

    def away(self, board: Board) -> frozenset[str]:
        """Return those that joined, did not leave, were not given up, and say nothing any more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AloneNow:
    """The link is lost, or what was done meanwhile is not in the shared record yet."""

    since: Instant
    why: str
    is_joining: bool = False
    """Whether the link is back, and both sides are being joined up."""
    fault: str = ""
    """Why they cannot be joined up; empty: they can, or nobody has tried."""
    refused: str = ""
    """Why the link does not come back by itself, as `join` would say it; empty: it may."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Around:
    """What a station of a shared bay knows of itself and the others now."""

    station: str
    mark: str
    alone: AloneNow | None = None
    seen: tuple[Pulse, ...] = field(default=())
    away: frozenset[str] = frozenset()
    wall_apart: Span | None = None
    """The wall clock of this computer less the server's, as measured last; None: not yet."""
    mirror_ailment: str = ""
    """Why the mirror here takes nothing, so that what is new stays in memory; empty: it does."""
    has_twin: bool = False
    """Whether another computer says that it is this station."""
    began: frozenset[str] | None = None
    """If that one came first: the cartridges that this one began itself; None: it did not."""

    @property
    def here(self) -> Here:
        """Where this is, for the rules that ask."""
        said = {each.station: each.line for each in self.seen if each.line is not None}
        return replace(self.reach, said=said)

    @property
    def reach(self) -> Here:
        """Whom this station cannot reach, without what changes with each of their pulses."""
        is_alone = self.alone is not None
        return Here(station=self.station, is_alone=is_alone, away=self.away, began=self.began)

    def pulse_of(self, station: str) -> Pulse | None:
        """Return what `station` said of itself last, or None if it is not here."""
        return next((each for each in self.seen if each.station == station), None)

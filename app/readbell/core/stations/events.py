"""What happens to the stations of a shared bay. A bay that nobody shares has none of it."""

from __future__ import annotations

from readbell.core.instant import Instant
from readbell.core.made_later import dataclass
from readbell.core.private import Private
from readbell.core.stations.apart import ApartReason, Settling


@dataclass(frozen=True, slots=True, kw_only=True)
class StationJoined:
    """A station takes part in the bay, for the first time or again."""

    at: Instant
    station: str
    """Its name, unique in the bay: the site's own words for a place, of nobody."""
    mark: str
    """One capital letter, with which labels begin that it makes while it is alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StationLeft:
    """A station laid its work down and said so: from here on it holds nothing."""

    at: Instant
    station: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CartridgeHeld:
    """From here on the clock of this cartridge runs at this station."""

    at: Instant
    cartridge: str
    station: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StationGivenUp:
    """Somebody said that a station that is away will not come back."""

    at: Instant
    by: str
    station: str
    heir: str
    """The station that holds its running cartridges from here on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ActKeptApart:
    """Something that was done alone cannot stand as it is: it is kept whole, and counts for nothing."""

    at: Instant
    """When it was joined up."""
    station: str
    """Where it was done."""
    done: Instant
    """When it was done."""
    by: str | None
    """Whose act it was, by key; None: nobody's, such as a lapse."""
    kind: str
    """Name of the kind of event, as it would stand in the record."""
    version: int
    """Of the shape of `body`, as it would stand in the record."""
    reason: ApartReason
    cartridge: str | None
    """Opaque id of the one it is about; it may be one that the record never introduced."""
    label: str
    """What stands on that one, so that somebody can find it; empty: it is about none."""
    person: str | None
    """Key of whom it is about."""
    body: str
    """All that it said, in the form of the record, each identifier and free text as its key."""
    entered: Private | None
    """The identifiers and free texts of `body`, a JSON object by key; None: it holds none."""
    asks: bool
    """Whether somebody has to look at it; an alert that nobody needs any more asks nobody."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ApartSettled:
    """Somebody looked at what was kept apart, and is done with it."""

    at: Instant
    by: str
    number: int
    """Which one: they are counted from 0 in the order of the record."""
    how: Settling


@dataclass(frozen=True, slots=True, kw_only=True)
class JoinedUp:
    """What a station had done alone went into the shared record."""

    at: Instant
    station: str
    since: Instant
    """Since when it had been alone."""
    joined: int
    """How many events stand as they were."""
    same: int
    """How many were in the record already."""
    apart: int
    """How many are kept apart."""


StationsEvent = (
    StationJoined
    | StationLeft
    | CartridgeHeld
    | StationGivenUp
    | ActKeptApart
    | ApartSettled
    | JoinedUp
)

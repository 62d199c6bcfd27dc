"""What happens to lots."""

from __future__ import annotations

from dataclasses import field
from datetime import date
from enum import StrEnum

from readbell.core.instant import Instant
from readbell.core.made_later import dataclass
from readbell.core.making import LATER
from readbell.core.private import Private


class Storage(StrEnum):
    """Where boxes of a lot are kept."""

    ROOM = "room"
    COLD = "cold"
    """In a refrigerator: a kit is warmed up before it is used, where its assay says so."""


class LossReason(StrEnum):
    """Why units went without ever having been labelled."""

    DAMAGED = "damaged"
    """The pouch or the device was found damaged, or without its drying agent."""
    OPENED_UNUSED = "opened-unused"
    """The pouch was opened and not used in time."""
    STORED_WRONG = "stored-wrong"
    TRAINING = "training"
    HANDED_ON = "handed-on"
    """Given to another bay or site."""
    MISSING = "missing"
    OTHER = "other"


class ReleaseReason(StrEnum):
    """Why a lot is used again after it was on hold."""

    HELD_BY_MISTAKE = "held-by-mistake"
    CONTROLS_PASSED = "controls-passed"
    """Control samples were run again and showed what they had to."""
    INVESTIGATED = "investigated"
    """The cause was found, and it was not the lot."""
    RECALL_WITHDRAWN = "recall-withdrawn"
    """Whoever called it back took that back, or it was another lot."""
    OTHER = "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class LotReceived:
    """A batch of kits came in."""

    at: Instant
    by: str | None
    number: str
    assay: str
    expires: date
    units: int | None
    is_scanned: bool = field(default=False, metadata=LATER)
    """Whether its last day was read off the code of the box."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LotHeld:
    """No new cartridge may be taken from this lot until it is released."""

    at: Instant
    by: str | None
    number: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LotOpened:
    """A box of this lot stands open at the bench: new cartridges are taken from it."""

    at: Instant
    by: str
    number: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LotDelivered:
    """More boxes of a lot came in, with the same number and the same last day."""

    at: Instant
    by: str
    number: str
    units: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LotDescribed:
    """What is on the box beside number and last day was entered; None: left as it was."""

    at: Instant
    by: str
    number: str
    storage: Storage | None
    buffer: str | None
    """Number of the buffer in the same box."""
    good_after_opening: int | None
    """Days."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GtinTied:
    """Somebody said which assay boxes with this trade item number hold."""

    at: Instant
    by: str
    gtin: str
    """Fourteen digits, the check digit among them."""
    assay_id: str
    """Of no one file: a new version of it changes nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxBegun:
    """A fresh box of a lot was opened: its days after opening count from here."""

    at: Instant
    by: str
    number: str
    on: date
    """The site's day."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LotTakenOut:
    """Kits of a lot were taken out of the cold and began to warm up."""

    at: Instant
    by: str
    number: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LotPutBack:
    """Kits of a lot went back into the cold: they will have to warm up again."""

    at: Instant
    by: str
    number: str


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitsLost:
    """Units went that were never labelled."""

    at: Instant
    by: str
    number: str
    units: int
    reason: LossReason
    words: Private | None


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitsCounted:
    """A box was counted; where it differs from the record, the count is right from here on."""

    at: Instant
    by: str
    number: str
    counted: int
    expected: int | None
    """What the record had; None: nobody had counted them before."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LotRecalled:
    """A lot was called back: it is on hold, and what was read on it is looked at again."""

    at: Instant
    by: str
    number: str
    cartridges: tuple[str, ...]
    """Opaque ids of every patient's cartridge of the lot, in the order of their labels."""
    words: Private | None
    """The notice it rests on."""
    paper_runs: tuple[str, ...] = field(default=(), metadata=LATER)
    """Opaque ids of the runs of the lot that were entered from paper, in the order of entry."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LotReleased:
    """A supervisor let cartridges be taken from a lot again."""

    at: Instant
    by: str
    number: str
    reason: ReleaseReason
    words: Private | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LotCorrected:
    """A lot had been entered wrongly; what is right stands from here on, and what stood stays told."""

    at: Instant
    by: str
    number: str
    expires: date
    expires_before: date
    ends: int | None
    """When its last day ends at the site, in UTC milliseconds since 1970; None: that day stayed."""
    is_scanned: bool
    """Whether that day was read off the code of the box."""
    assay: str
    """Content hash, as that of its receipt."""
    assay_before: str
    words: Private
    """What had gone wrong."""
    cartridges: tuple[str, ...]
    """Opaque ids of every patient's cartridge of it that was begun after that day, in their order."""
    paper_runs: tuple[str, ...]
    """Opaque ids of its runs that were read after that day and entered from paper, in that order."""


class LotDoubt(StrEnum):
    """What became of a lot between the label of a cartridge and its drops."""

    ON_HOLD = "lot-on-hold"
    EXPIRED = "lot-expired"


@dataclass(frozen=True, slots=True, kw_only=True)
class LotDoubted:
    """The drops fell on a cartridge whose lot would no longer have been taken at the label."""

    at: Instant
    by: str
    cartridge: str
    number: str
    doubts: tuple[LotDoubt, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BufferUsed:
    """It was said which buffer a cartridge was run with."""

    at: Instant
    by: str
    cartridge: str
    buffer: str
    is_foreign: bool
    """Whether it is known to come from another box than the cartridge: two kits were mixed."""


StockEvent = (
    LotDelivered
    | LotDescribed
    | GtinTied
    | BoxBegun
    | LotTakenOut
    | LotPutBack
    | UnitsLost
    | UnitsCounted
    | LotRecalled
    | LotReleased
    | LotCorrected
    | LotDoubted
    | BufferUsed
)
"""What came to lots after they could be received, held and opened."""

LotEvent = LotReceived | LotHeld | LotOpened | StockEvent
"""Everything that may come to a lot."""

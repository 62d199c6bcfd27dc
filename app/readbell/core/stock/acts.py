"""What an operator asks for about lots, before anybody has judged whether it is allowed."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from datetime import date

    from readbell.core.private import Private
    from readbell.core.stock.events import LossReason, ReleaseReason, Storage


@dataclass(frozen=True, slots=True, kw_only=True)
class ReceiveBox:
    """Take in a box, of a lot that is new here or of one that is known."""

    by: str = field(repr=False)
    number: str
    expires: date
    today: date
    """The site's date: what is past its last day is not taken in."""
    assay: str | None = None
    """The assay's id; None: the one its trade item number was tied to, or its lot has."""
    units: int | None = None
    gtin: str | None = None
    storage: Storage | None = None
    buffer: str | None = None
    good_after_opening: int | None = None
    is_scanned: bool = False
    """Whether the last day was read off the code of the box."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BeginBox:
    """Open a fresh box of a lot at the bench."""

    by: str = field(repr=False)
    lot: str
    today: date


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeOut:
    """Take kits of a lot out of the cold."""

    by: str = field(repr=False)
    lot: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PutBack:
    """Put kits of a lot back into the cold."""

    by: str = field(repr=False)
    lot: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LoseUnits:
    """Write off units that were never labelled."""

    by: str = field(repr=False)
    lot: str
    units: int
    reason: LossReason
    words: Private | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CountUnits:
    """Say how many units were counted in the boxes of a lot."""

    by: str = field(repr=False)
    lot: str
    counted: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RecallLot:
    """Put a lot on hold because it was called back, and have its results looked at again."""

    by: str = field(repr=False)
    lot: str
    words: Private | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseLot:
    """Let cartridges be taken from a lot again."""

    by: str = field(repr=False)
    lot: str
    reason: ReleaseReason
    words: Private | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class UseBuffer:
    """Say which buffer a cartridge was run with."""

    by: str = field(repr=False)
    cartridge: str = field(repr=False)
    buffer: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DescribeLot:
    """Say of a lot that is here what stands on its boxes beside number and last day."""

    by: str = field(repr=False)
    lot: str
    storage: Storage | None = None
    """None, here as below: left as it was."""
    buffer: str | None = None
    good_after_opening: int | None = None
    """Days."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LastDay:
    """The day through whose end a lot is good."""

    on: date
    ends: int
    """When it ends at the site, in UTC milliseconds since 1970."""
    is_scanned: bool = False
    """Whether it was read off the code of the box."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CorrectLot:
    """Say what is right of a lot that was entered wrongly: its last day, or its assay."""

    by: str = field(repr=False)
    lot: str
    today: date
    words: Private
    """What had gone wrong."""
    last_day: LastDay | None = None
    """None, here as below: that was entered rightly."""
    is_past: bool = False
    """Whether it is meant to be a day that is past."""
    assay: str | None = None
    """The assay's id."""
    gtin: str | None = None
    """The trade item number in the code of the box: it is tied anew with the assay."""


StockAct = (
    ReceiveBox
    | BeginBox
    | TakeOut
    | PutBack
    | LoseUnits
    | CountUnits
    | RecallLot
    | ReleaseLot
    | UseBuffer
    | DescribeLot
    | CorrectLot
)

NAMES: dict[type, str] = {
    ReceiveBox: "receive-box",
    BeginBox: "begin-box",
    TakeOut: "take-out",
    PutBack: "put-back",
    LoseUnits: "lose-units",
    CountUnits: "count-units",
    RecallLot: "recall-lot",
    ReleaseLot: "release-lot",
    UseBuffer: "use-buffer",
    DescribeLot: "describe-lot",
    CorrectLot: "correct-lot",
}
"""What a near miss is recorded under; part of the record, never changed."""

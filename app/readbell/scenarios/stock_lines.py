"""Lines about the stock: boxes come in, are opened, warmed, counted, recalled and released."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Literal

from pydantic import Field, StringConstraints, model_validator

from readbell.core.stock.events import LossReason, ReleaseReason, Storage
from readbell.scenarios.act_table import MOST_UNITS, Day, Name
from readbell.toml_tables import Table

if TYPE_CHECKING:
    from collections.abc import Mapping

MOST_DAYS = 3_660
LONGEST_CODE = 120


Units = Annotated[int, Field(ge=0, le=MOST_UNITS)]
Days = Annotated[int, Field(ge=0, le=MOST_DAYS)]
Gtin = Annotated[str, StringConstraints(pattern=r"^\d{14}$")]
Code = Annotated[str, StringConstraints(min_length=1, max_length=LONGEST_CODE)]
"""A barcode as it was scanned; the sign between its fields cannot be seen and belongs to it."""


class ReceiveBoxLine(Table):
    """Take in a box: by its barcode, or by what stands on it in letters."""

    do: Literal["receive-box"]
    by: Name
    scan: Code | None = None
    number: Name | None = None
    expires: Day | None = None
    gtin: Gtin | None = None
    assay: Name | None = None
    units: Units | None = None
    storage: Annotated[Storage, Field(strict=False)] | None = None
    buffer: Name | None = None
    good_days: Days | None = None
    """So many days after the box was opened it is still good."""

    @model_validator(mode="after")
    def _says_which(self) -> ReceiveBoxLine:
        """Want lot and last day, or the code that says them."""
        for key, found in (("number", self.number), ("expires", self.expires)):
            if self.scan is None and found is None:
                msg = f'do = "receive-box" needs {key}, or scan: add it'
                raise ValueError(msg)
        return self


class BeginBoxLine(Table):
    """Open a fresh box of a lot."""

    do: Literal["begin-box"]
    by: Name
    lot: Name


class TakeOutLine(Table):
    """Take kits of a lot out of the cold."""

    do: Literal["take-out"]
    by: Name
    lot: Name


class PutBackLine(Table):
    """Put kits of a lot back into the cold."""

    do: Literal["put-back"]
    by: Name
    lot: Name


class LoseUnitsLine(Table):
    """Write off units that were never labelled."""

    do: Literal["lose-units"]
    by: Name
    lot: Name
    units: Annotated[int, Field(ge=1, le=MOST_UNITS)]
    reason: Annotated[LossReason, Field(strict=False)]
    words: Name | None = None


class CountUnitsLine(Table):
    """Say how many units were counted."""

    do: Literal["count-units"]
    by: Name
    lot: Name
    counted: Units


class RecallLotLine(Table):
    """Put a lot on hold because it was called back."""

    do: Literal["recall-lot"]
    by: Name
    lot: Name
    words: Name | None = None


class ReleaseLotLine(Table):
    """Let cartridges be taken from a lot again."""

    do: Literal["release-lot"]
    by: Name
    lot: Name
    reason: Annotated[ReleaseReason, Field(strict=False)]
    words: Name | None = None


class UseBufferLine(Table):
    """Say which buffer a cartridge was run with."""

    do: Literal["use-buffer"]
    by: Name
    cartridge: Name
    buffer: Name


class DescribeLotLine(Table):
    """Say of a lot that is here what stands on its boxes beside number and last day."""

    do: Literal["describe-lot"]
    by: Name
    lot: Name
    storage: Annotated[Storage, Field(strict=False)] | None = None
    buffer: Name | None = None
    good_days: Days | None = None

    @model_validator(mode="after")
    def _says_something(self) -> DescribeLotLine:
        if self.storage is None and self.buffer is None and self.good_days is None:
            msg = "say storage, buffer or good_days: one of them at least"
            raise ValueError(msg)
        return self


class CorrectLotLine(Table):
    """Say what is right of a lot that was entered wrongly: its last day, or its assay."""

    do: Literal["correct-lot"]
    by: Name
    lot: Name
    words: Name
    expires: Day | None = None
    past: bool = False
    """Said of a day that is past, so that none is by a slip of the keys."""
    assay: Name | None = None
    scan: Code | None = None

    @model_validator(mode="after")
    def _says_what(self) -> CorrectLotLine:
        if self.expires is None and self.assay is None and self.scan is None:
            msg = "say expires, assay or scan: one of them at least"
            raise ValueError(msg)
        return self


StockLine = (
    ReceiveBoxLine
    | BeginBoxLine
    | TakeOutLine
    | PutBackLine
    | LoseUnitsLine
    | CountUnitsLine
    | RecallLotLine
    | ReleaseLotLine
    | UseBufferLine
    | DescribeLotLine
    | CorrectLotLine
)

STOCK_LINES: Mapping[str, type[StockLine]] = {
    "receive-box": ReceiveBoxLine,
    "begin-box": BeginBoxLine,
    "take-out": TakeOutLine,
    "put-back": PutBackLine,
    "lose-units": LoseUnitsLine,
    "count-units": CountUnitsLine,
    "recall-lot": RecallLotLine,
    "release-lot": ReleaseLotLine,
    "use-buffer": UseBufferLine,
    "describe-lot": DescribeLotLine,
    "correct-lot": CorrectLotLine,
}
"""By what they ask for."""

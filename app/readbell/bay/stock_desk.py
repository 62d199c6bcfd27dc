"""Lines about stock and control samples, turned into acts."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from readbell.barcodes.gs1 import BoxFault, read_box
from readbell.bay.site_time import site_date, time_zone
from readbell.core.controls.acts import OpenMaterial, ReceiveMaterial
from readbell.core.made_later import dataclass
from readbell.core.stock.acts import (
    BeginBox,
    CountUnits,
    DescribeLot,
    LoseUnits,
    PutBack,
    RecallLot,
    ReceiveBox,
    ReleaseLot,
    TakeOut,
    UseBuffer,
)
from readbell.scenarios.sample_lines import OpenSampleLine, ReceiveSampleLine
from readbell.scenarios.stock_lines import (
    BeginBoxLine,
    CountUnitsLine,
    DescribeLotLine,
    LoseUnitsLine,
    PutBackLine,
    RecallLotLine,
    ReceiveBoxLine,
    ReleaseLotLine,
    TakeOutLine,
    UseBufferLine,
)
from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import date

    from readbell.bay.bay import Bay
    from readbell.core.controls.acts import SampleAct
    from readbell.core.private import Private
    from readbell.core.stock.acts import StockAct
    from readbell.scenarios.sample_lines import SampleLine
    from readbell.scenarios.stock_lines import StockLine

SOURCE = "this line"


@dataclass(frozen=True, slots=True, kw_only=True)
class StockDesk:
    """Turns lines into acts on one day of the site.

    Attributes:
        today: the site's date.
        keep_apart: wraps words so that they can be erased later.
    """

    today: date
    keep_apart: Callable[[str], Private]

    def act_of(self, line: StockLine | SampleLine) -> StockAct | SampleAct:
        """Return what `line` asks of the bay.

        Raises:
            WrongFileError: it has a code that cannot be taken, or that says something else.
        """
        match line:
            case ReceiveBoxLine():
                return self._box(line)
            case BeginBoxLine():
                return BeginBox(by=line.by, lot=line.lot, today=self.today)
            case TakeOutLine():
                return TakeOut(by=line.by, lot=line.lot)
            case PutBackLine():
                return PutBack(by=line.by, lot=line.lot)
            case LoseUnitsLine():
                return LoseUnits(
                    by=line.by,
                    lot=line.lot,
                    units=line.units,
                    reason=line.reason,
                    words=self._words(line.words),
                )
            case CountUnitsLine():
                return CountUnits(by=line.by, lot=line.lot, counted=line.counted)
            case RecallLotLine():
                return RecallLot(by=line.by, lot=line.lot, words=self._words(line.words))
            case ReleaseLotLine():
                return ReleaseLot(
                    by=line.by, lot=line.lot, reason=line.reason, words=self._words(line.words)
                )
            case UseBufferLine():
                return UseBuffer(by=line.by, cartridge=line.cartridge, buffer=line.buffer)
            case DescribeLotLine():
                return DescribeLot(
                    by=line.by,
                    lot=line.lot,
                    storage=line.storage,
                    buffer=line.buffer,
                    good_after_opening=line.good_days,
                )
            case ReceiveSampleLine():
                return ReceiveMaterial(
                    by=line.by,
                    number=line.number,
                    kind=line.kind,
                    assay=line.assay,
                    expires=line.expires,
                    expected=line.lines(),
                    good_after_opening=line.good_days,
                )
            case OpenSampleLine():
                return OpenMaterial(by=line.by, number=line.number, today=self.today)
            case _:
                assert_never(line)

    def _box(self, line: ReceiveBoxLine) -> ReceiveBox:
        number, expires, gtin = line.number, line.expires, line.gtin
        if line.scan is not None:
            code = read_box(line.scan, self.today.year)
            if isinstance(code, BoxFault):
                raise WrongFileError([f"{SOURCE}: scan: {code.why}"])
            for key, said, scanned in (
                ("number", number, code.lot),
                ("expires", expires, code.expires),
                ("gtin", gtin, code.gtin),
            ):
                if None not in (said, scanned) and said != scanned:
                    fault = f"{SOURCE}: {key} = {said}: the code says {scanned}: look at the box"
                    raise WrongFileError([fault])
            number, expires = number or code.lot, expires or code.expires
            gtin = gtin or code.gtin
        if number is None or expires is None:
            missing = "number" if number is None else "expires"
            raise WrongFileError([f"{SOURCE}: {missing}: the code does not say it: add it"])
        return ReceiveBox(
            by=line.by,
            number=number,
            expires=expires,
            today=self.today,
            assay=line.assay,
            units=line.units,
            gtin=gtin,
            storage=line.storage,
            buffer=line.buffer,
            good_after_opening=line.good_days,
        )

    def _words(self, said: str | None) -> Private | None:
        return None if said is None else self.keep_apart(said)


def stock_desk(bay: Bay, keep_apart: Callable[[str], Private]) -> StockDesk:
    """Return the desk for `bay` on the day that it is there."""
    founded = bay.board.founded
    zone = time_zone("UTC" if founded is None else founded.timezone)
    return StockDesk(today=site_date(bay.present().wall, zone), keep_apart=keep_apart)

"""Lines about stock and control samples, turned into acts."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from readbell.barcodes.gs1 import BoxCode, BoxFault, read_box
from readbell.bay.site_time import day_ends, site_date, time_zone
from readbell.core.controls.acts import OpenMaterial, ReceiveMaterial
from readbell.core.made_later import dataclass
from readbell.core.stock.acts import (
    BeginBox,
    CorrectLot,
    CountUnits,
    DescribeLot,
    LastDay,
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
    CorrectLotLine,
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
    from collections.abc import Callable, Iterable
    from datetime import date, tzinfo

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
        zone: the site's own.
    """

    today: date
    keep_apart: Callable[[str], Private]
    zone: tzinfo

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
            case CorrectLotLine():
                return self._correction(line)
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
        said = (("number", line.number), ("expires", line.expires), ("gtin", line.gtin))
        code = self._code(line.scan, said)
        number, expires = line.number or code.lot, line.expires or code.expires
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
            gtin=line.gtin or code.gtin,
            storage=line.storage,
            buffer=line.buffer,
            good_after_opening=line.good_days,
            is_scanned=None not in (code.lot, code.expires),
        )

    def _correction(self, line: CorrectLotLine) -> CorrectLot:
        code = self._code(line.scan, (("lot", line.lot), ("expires", line.expires)))
        if line.scan is not None and code.lot is None:
            raise WrongFileError([f"{SOURCE}: scan: the code names no lot: scan the one that does"])
        day = line.expires or code.expires
        scanned = code.expires is not None
        last_day = (
            None
            if day is None
            else LastDay(on=day, ends=day_ends(day, self.zone), is_scanned=scanned)
        )
        return CorrectLot(
            by=line.by,
            lot=line.lot,
            today=self.today,
            words=self.keep_apart(line.words),
            last_day=last_day,
            is_past=line.past,
            assay=line.assay,
            gtin=code.gtin,
        )

    def _code(self, scan: str | None, said: Iterable[tuple[str, object]]) -> BoxCode:
        """Return what the code of a box says, held against what was `said` beside it."""
        if scan is None:
            return BoxCode(gtin=None, lot=None, expires=None)
        code = read_box(scan, self.today.year)
        if isinstance(code, BoxFault):
            raise WrongFileError([f"{SOURCE}: scan: {code.why}"])
        found = {"number": code.lot, "lot": code.lot, "expires": code.expires, "gtin": code.gtin}
        for key, each in said:
            scanned = found[key]
            if None not in (each, scanned) and each != scanned:
                fault = f"{SOURCE}: {key} = {each}: the code says {scanned}: look at the box"
                raise WrongFileError([fault])
        return code

    def _words(self, said: str | None) -> Private | None:
        return None if said is None else self.keep_apart(said)


def stock_desk(bay: Bay, keep_apart: Callable[[str], Private]) -> StockDesk:
    """Return the desk for `bay` on the day that it is there."""
    founded = bay.board.founded
    zone = time_zone("UTC" if founded is None else founded.timezone)
    today = site_date(bay.present().wall, zone)
    return StockDesk(today=today, keep_apart=keep_apart, zone=zone)

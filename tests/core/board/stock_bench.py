"""A bench with what the stock and control samples need beside the rest."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from builders import LAST_DAY, NASAL, TODAY, Bench, at, private, span
from readbell.core.board.acts import OpenLot
from readbell.core.cartridge.events import SubjectKind
from readbell.core.controls.acts import ReceiveMaterial
from readbell.core.controls.material import SampleKind
from readbell.core.stock.acts import CorrectLot, LastDay, ReceiveBox

if TYPE_CHECKING:
    from readbell.core.assay.assay import Assay
    from readbell.core.reading.bands import Bands
    from readbell.core.stock.events import Storage
    from readbell.core.stock.lot import Lot

WARM_UP = span("30:00")
LATER = date(2027, 1, 31)
NEVER = at("9999:00")
"""As long after the bench began as it goes."""


def warming(assay: Assay = NASAL) -> Assay:
    """An assay whose kits stand half an hour at room temperature when they were kept cold."""
    temperatures = replace(assay.temperatures, warm_up=WARM_UP)
    return replace(assay, temperatures=temperatures)


def day(on: date = LATER, ends: int = NEVER, *, is_scanned: bool = False) -> LastDay:
    """A last day, and when it ends."""
    return LastDay(on=on, ends=ends, is_scanned=is_scanned)


def correct(**said: object) -> CorrectLot:
    """The act that puts the lot of the bench right."""
    found: dict[str, object] = {
        "by": "op-1",
        "lot": "L-100",
        "today": TODAY,
        "words": private("typed wrongly"),
    }
    return CorrectLot(**(found | said))  # type: ignore[arg-type]


class StockBench(Bench):
    """As the bench, with further boxes and control materials."""

    def box(self, number: str = "L-200", **said: object) -> ReceiveBox:
        """Return the act of a box that comes in."""
        found: dict[str, object] = {
            "by": "op-1",
            "number": number,
            "expires": LAST_DAY,
            "today": TODAY,
            "assay": self.assay.id,
            "units": 10,
        }
        return ReceiveBox(**(found | said))  # type: ignore[arg-type]

    def cold_box(self, storage: Storage) -> None:
        """Say where the lot of the bench is kept."""
        self.must(self.box("L-100", storage=storage, units=0))

    def lot(self, number: str = "L-100") -> Lot:
        """Return a lot as it now is."""
        return self.board.lots[number]

    def open(self, lot: str = "L-100") -> None:
        """Open a box at the bench."""
        self.must(OpenLot(by="op-1", lot=lot, today=TODAY))

    def material(
        self, number: str = "PC-1", kind: SampleKind = SampleKind.POSITIVE, **said: object
    ) -> ReceiveMaterial:
        """Return the act of a control material that comes in."""
        found: dict[str, object] = {
            "by": "op-1",
            "number": number,
            "kind": kind,
            "assay": self.assay.id,
            "expires": LAST_DAY,
        }
        return ReceiveMaterial(**(found | said))  # type: ignore[arg-type]

    def sample(self, label: str, material: str, now: str, **named: str) -> None:
        """Label a device for a control sample."""
        act = self.label_act(label, material, **named)
        self.must(replace(act, subject_kind=SubjectKind.CONTROL_SAMPLE), now)

    def run(self, label: str, *, begins: int, seen: Bands | None = None, by: str = "op-1") -> None:
        """Take a labelled device to the well, `begins` minutes on, and read it if told what."""
        for step in ("buffer", "collect", "extract"):
            self.must(self.step_act(step, label), f"{begins}:00")
        self.must(self.step_act("withdraw", label), f"{begins + 1}:00")
        self.must(self.step_act("apply", label), f"{begins + 1}:00")
        if seen is not None:
            self.must(self.read_act(seen, label, by=by), f"{begins + 17}:00")

    def whole_sample(
        self, label: str, material: str, begins: int, seen: Bands, *, by: str = "op-1"
    ) -> None:
        """Label, run and read a control sample."""
        self.sample(label, material, f"{begins}:00", by=by)
        self.run(label, begins=begins, seen=seen, by=by)

    def whole(self, label: str, seen: Bands, hour: int = 0) -> None:
        """Label, run and read a cartridge of P-001, so many hours on."""
        self.label(label, now=f"{60 * hour}:00")
        self.run(label, begins=60 * hour, seen=seen)

    def materials(self) -> None:
        """Have one control material of each kind."""
        self.must(self.material("PC-1"))
        self.must(self.material("NC-1", SampleKind.NEGATIVE))

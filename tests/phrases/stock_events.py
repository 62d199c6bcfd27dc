"""One of each thing that may come to lots and control samples, and a board on which it has."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from builders import CLEAR, LAST_DAY, TODAY, at, private
from core.board.stock_bench import StockBench, warming
from readbell.core.controls.events import MaterialOpened, MaterialReceived, SampleJudged
from readbell.core.controls.material import SampleKind
from readbell.core.controls.verdict import Verdict
from readbell.core.stock.acts import BeginBox, TakeOut
from readbell.core.stock.events import (
    BoxBegun,
    BufferUsed,
    GtinTied,
    LossReason,
    LotCorrected,
    LotDelivered,
    LotDescribed,
    LotDoubt,
    LotDoubted,
    LotPutBack,
    LotRecalled,
    LotReleased,
    LotTakenOut,
    ReleaseReason,
    Storage,
    UnitsCounted,
    UnitsLost,
)

if TYPE_CHECKING:
    from readbell.core.board.event import Event

NOW = at("18:00")
BY = "key-op-1"


def bench() -> StockBench:
    """A cold lot, open for a while, with C1 run on it for a patient and C2 for a sample."""
    made = StockBench(warming())
    made.must(made.box("L-100", units=0, storage=Storage.COLD, good_after_opening=30))
    made.must(made.box("L-300", units=None))
    made.must(BeginBox(by="op-1", lot="L-100", today=TODAY))
    made.must(TakeOut(by="op-1", lot="L-100"))
    made.materials()
    made.must(made.material("Q-1", SampleKind.BLIND))
    made.label("C1", now="31:00")
    made.whole_sample("C2", "PC-1", 31, CLEAR)
    return made


def judged(material: str, verdict: Verdict, *concerned: str) -> SampleJudged:
    """What a sample came to."""
    return SampleJudged(
        at=NOW,
        by=BY,
        cartridge="id-C2",
        material=material,
        lot="L-100",
        verdict=verdict,
        concerned=concerned,
    )


def described(storage: Storage | None, buffer: str | None, days: int | None) -> LotDescribed:
    """What stands on a box."""
    return LotDescribed(
        at=NOW, by=BY, number="L-100", storage=storage, buffer=buffer, good_after_opening=days
    )


def corrected(**said: object) -> LotCorrected:
    """A lot that was corrected."""
    assay = bench().board.lots["L-100"].assay
    found: dict[str, object] = {
        "at": NOW,
        "by": BY,
        "number": "L-100",
        "expires": LAST_DAY,
        "expires_before": LAST_DAY,
        "ends": None,
        "is_scanned": False,
        "assay": assay,
        "assay_before": assay,
        "words": private("typed wrongly"),
        "cartridges": (),
        "paper_runs": (),
    }
    return LotCorrected(**(found | said))  # type: ignore[arg-type]


EVENTS: list[Event] = [
    LotDelivered(at=NOW, by=BY, number="L-100", units=None),
    LotDelivered(at=NOW, by=BY, number="L-100", units=20),
    *(described(each, None, None) for each in Storage),
    described(None, "B-1", 30),
    GtinTied(at=NOW, by=BY, gtin="38425876095074", assay_id="strep"),
    *(BoxBegun(at=NOW, by=BY, number=each, on=date(2026, 3, 29)) for each in ("L-100", "L-300")),
    *(LotTakenOut(at=NOW, by=BY, number=each) for each in ("L-100", "L-300")),
    LotPutBack(at=NOW, by=BY, number="L-100"),
    *(
        UnitsLost(at=NOW, by=BY, number=number, units=2, reason=reason, words=private("x"))
        for reason in LossReason
        for number in ("L-100", "L-300")
    ),
    *(
        UnitsCounted(at=NOW, by=BY, number="L-100", counted=9, expected=each)
        for each in (None, 8, 9, 10)
    ),
    LotRecalled(at=NOW, by=BY, number="L-100", cartridges=(), words=None),
    LotRecalled(at=NOW, by=BY, number="L-100", cartridges=("id-C1",), words=private("notice")),
    LotRecalled(at=NOW, by=BY, number="L-100", cartridges=("id-C1", "id-C2"), words=None),
    *(
        LotReleased(at=NOW, by=by, number="L-100", reason=reason, words=None)
        for reason in ReleaseReason
        for by in (BY, "key-gone")
    ),
    *(
        corrected(expires=expires, ends=ends, is_scanned=scanned, by=by, **held)
        for expires, ends in ((date(2027, 1, 31), at("9999:00")), (date(2026, 3, 1), at("0:00")))
        for scanned in (True, False)
        for by in (BY, "key-gone")
        for held in ({}, {"cartridges": ("id-C1", "id-C2")})
    ),
    *(
        LotDoubted(at=NOW, by=BY, cartridge="id-C1", number="L-100", doubts=doubts)
        for doubts in (tuple(LotDoubt), (LotDoubt.EXPIRED,))
    ),
    *(
        BufferUsed(at=NOW, by=BY, cartridge="id-C1", buffer="B-1", is_foreign=each)
        for each in (True, False)
    ),
    *(
        MaterialReceived(
            at=NOW,
            by=None,
            number="PC-9",
            kind=kind,
            assay_id="strep",
            expires=LAST_DAY,
            expected=(),
            good_after_opening=None,
        )
        for kind in SampleKind
    ),
    MaterialOpened(at=NOW, by=BY, number="PC-1", on=TODAY),
    judged("PC-1", Verdict.PASSED),
    judged("Q-1", Verdict.NOTED),
    judged("NC-1", Verdict.FAILED),
    judged("PC-1", Verdict.FAILED, "id-C1"),
]
"""Each in every form that has words of its own."""

"""Lines about stock become acts on the day of the site; codes of boxes are read or refused."""

from __future__ import annotations

from datetime import UTC, date
from typing import TYPE_CHECKING

import pytest

from bay.test_desk import desk  # noqa: F401  # a fixture, used by its name
from builders import NASAL, private
from readbell.bay.stock_desk import StockDesk
from readbell.core.controls.acts import OpenMaterial, ReceiveMaterial
from readbell.core.controls.material import SampleKind
from readbell.core.stock.acts import (
    BeginBox,
    CorrectLot,
    CountUnits,
    LastDay,
    LoseUnits,
    PutBack,
    RecallLot,
    ReceiveBox,
    ReleaseLot,
    TakeOut,
    UseBuffer,
)
from readbell.core.stock.events import GtinTied, LossReason, LotReceived, ReleaseReason
from readbell.scenarios.sample_lines import OpenSampleLine, ReceiveSampleLine
from readbell.scenarios.stock_lines import (
    BeginBoxLine,
    CorrectLotLine,
    CountUnitsLine,
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
    from bay.conftest import Work
    from readbell.bay.desk import Desk
    from readbell.scenarios.sample_lines import SampleLine
    from readbell.scenarios.stock_lines import StockLine

TODAY = date(2026, 3, 29)
GTIN = "38425876095074"
CLERK = StockDesk(today=TODAY, keep_apart=private, zone=UTC)
BY, LOT = "op-1", "L-1"


@pytest.mark.parametrize(
    ("line", "act"),
    [
        (
            BeginBoxLine(do="begin-box", by=BY, lot=LOT),
            BeginBox(by=BY, lot=LOT, today=TODAY),
        ),
        (TakeOutLine(do="take-out", by=BY, lot=LOT), TakeOut(by=BY, lot=LOT)),
        (PutBackLine(do="put-back", by=BY, lot=LOT), PutBack(by=BY, lot=LOT)),
        (
            LoseUnitsLine(
                do="lose-units", by=BY, lot=LOT, units=2, reason=LossReason.OTHER, words="wet"
            ),
            LoseUnits(by=BY, lot=LOT, units=2, reason=LossReason.OTHER, words=private("wet")),
        ),
        (
            CountUnitsLine(do="count-units", by=BY, lot=LOT, counted=3),
            CountUnits(by=BY, lot=LOT, counted=3),
        ),
        (RecallLotLine(do="recall-lot", by=BY, lot=LOT), RecallLot(by=BY, lot=LOT)),
        (
            ReleaseLotLine(
                do="release-lot", by=BY, lot=LOT, reason=ReleaseReason.OTHER, words="seen"
            ),
            ReleaseLot(by=BY, lot=LOT, reason=ReleaseReason.OTHER, words=private("seen")),
        ),
        (
            CorrectLotLine(
                do="correct-lot", by=BY, lot=LOT, words="a year off", expires=TODAY, past=True
            ),
            CorrectLot(
                by=BY,
                lot=LOT,
                today=TODAY,
                words=private("a year off"),
                last_day=LastDay(on=TODAY, ends=1_774_828_800_000),
                is_past=True,
            ),
        ),
        (
            CorrectLotLine(do="correct-lot", by=BY, lot=LOT, words="another pile", assay="a"),
            CorrectLot(by=BY, lot=LOT, today=TODAY, words=private("another pile"), assay="a"),
        ),
        (
            UseBufferLine(do="use-buffer", by=BY, cartridge="C1", buffer="B"),
            UseBuffer(by=BY, cartridge="C1", buffer="B"),
        ),
        (
            OpenSampleLine(do="open-sample", by=BY, number="PC-1"),
            OpenMaterial(by=BY, number="PC-1", today=TODAY),
        ),
        (
            ReceiveSampleLine(
                do="receive-sample",
                by=BY,
                number="PC-1",
                kind=SampleKind.BLIND,
                assay="a",
                expires=TODAY,
                good_days=7,
            ),
            ReceiveMaterial(
                by=BY,
                number="PC-1",
                kind=SampleKind.BLIND,
                assay="a",
                expires=TODAY,
                good_after_opening=7,
            ),
        ),
    ],
)
def test_each_line_becomes_the_act_it_asks_for(line: StockLine | SampleLine, act: object) -> None:
    """Word for word, on the site's own day."""
    assert CLERK.act_of(line) == act


def box(**said: object) -> ReceiveBox:
    """The act of a box."""
    found = CLERK.act_of(ReceiveBoxLine.model_validate({"do": "receive-box", "by": BY} | said))
    assert isinstance(found, ReceiveBox)
    return found


def test_a_code_fills_in_what_it_says_and_what_was_typed_may_add_to_it() -> None:
    """The rest is as it was said."""
    found = box(scan=f"01{GTIN}17271231", number="L-7", units=5)

    assert (found.number, found.expires, found.gtin, found.units) == (
        "L-7",
        date(2027, 12, 31),
        GTIN,
        5,
    )
    assert box(scan=f"01{GTIN}1727123110L-7", number="L-7").number == "L-7"


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"scan": "0138425876095079"}, "scan: The check digit"),
        ({"scan": f"01{GTIN}17271231"}, "number: the code does not say it"),
        ({"scan": "10L-7"}, "expires: the code does not say it"),
        ({"scan": f"01{GTIN}1727123110L-7", "number": "L-8"}, "the code says L-7"),
        ({"scan": "10L-7\x1d17271231", "expires": "2027-12-30"}, "the code says 2027-12-31"),
    ],
)
def test_a_code_that_does_not_fit_is_refused_in_one_sentence(
    said: dict[str, object], words: str
) -> None:
    """Nobody's word goes before the box's, nor the other way round: a person looks again."""
    with pytest.raises(WrongFileError, match=words):
        box(**said)


def correction(**said: object) -> CorrectLot:
    """The act of a correction."""
    line = CorrectLotLine.model_validate(
        {"do": "correct-lot", "by": BY, "lot": "L-7", "words": "typed wrongly"} | said
    )
    found = CLERK.act_of(line)
    assert isinstance(found, CorrectLot)
    return found


def test_what_was_read_off_the_code_of_a_box_is_known_as_that() -> None:
    """By its code alone it is corrected afterwards; where a part was typed it may be typed again."""
    assert box(scan="10L-7\x1d17271231").is_scanned
    assert not box(scan=f"01{GTIN}17271231", number="L-7").is_scanned
    assert not box(number="L-7", expires="2027-12-31").is_scanned
    found = correction(scan=f"01{GTIN}1727123110L-7")
    assert found.gtin == GTIN
    assert found.last_day is not None
    assert (found.last_day.on, found.last_day.is_scanned) == (date(2027, 12, 31), True)
    typed = correction(scan="10L-7", expires="2027-12-30").last_day
    assert typed is not None
    assert (typed.on, typed.is_scanned) == (date(2027, 12, 30), False)


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"scan": "0138425876095079"}, "scan: The check digit"),
        ({"scan": f"01{GTIN}17271231"}, "the code names no lot"),
        ({"scan": f"01{GTIN}1727123110L-8"}, "lot = L-7: the code says L-8"),
        ({"scan": "10L-7\x1d17271231", "expires": "2027-12-30"}, "the code says 2027-12-31"),
    ],
)
def test_a_correction_is_held_against_the_code_of_the_box(
    said: dict[str, object], words: str
) -> None:
    """A second slip of the keys would be no better than the first."""
    with pytest.raises(WrongFileError, match=words):
        correction(**said)


async def test_a_box_is_taken_in_by_its_code_at_a_real_bay(work: Work, desk: Desk) -> None:  # noqa: F811
    """Held against the site's day, and the words of a recall stay out of the chain."""
    line = ReceiveBoxLine(
        do="receive-box", by="op-1", scan=f"01{GTIN}1727123110L-7", assay=NASAL.id
    )
    answer = await desk.serve(work.bay, line)
    (received, tied) = answer.events
    assert isinstance(received, LotReceived)
    assert isinstance(tied, GtinTied)
    assert answer.board.lots["L-7"].expires == date(2027, 12, 31)
    recall = RecallLotLine(do="recall-lot", by="op-1", lot="L-100", words="notice about Nemo")
    answer = await desk.serve(work.bay, recall)

    assert answer.accepted
    assert answer.board.lots["L-100"].is_recalled
    assert "Nemo" not in await work.bodies()

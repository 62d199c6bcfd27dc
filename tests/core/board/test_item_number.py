"""Which assay a trade item number stands for, once the lot that it came in with is corrected."""

from __future__ import annotations

from builders import NASAL, THREE_LINES, at
from core.board.stock_bench import StockBench, correct, day
from readbell.core.refusal import RefusalCode
from readbell.core.stock.events import GtinTied, LotCorrected

GTIN = "38425876095074"


def test_the_item_number_is_tied_anew_by_the_code_of_the_box() -> None:
    """Else every later box with it would be taken for the wrong assay."""
    bench = StockBench()
    bench.adopt(THREE_LINES)
    bench.must(bench.box("L-200", gtin=GTIN))
    _, tied = bench.must(correct(lot="L-200", assay=THREE_LINES.id, gtin=GTIN))
    assert isinstance(tied, GtinTied)
    assert bench.board.stock_room.gtins == {GTIN: THREE_LINES.id}

    assert bench.must(correct(lot="L-200", last_day=day(), gtin=GTIN))[1:] == ()
    another = bench.refused(correct(last_day=day(), gtin=GTIN))
    assert another.code is RefusalCode.BOX_OF_ANOTHER_ASSAY
    assert another.subject == f"{NASAL.id}, {THREE_LINES.id}"


def test_the_item_number_that_came_in_with_a_lot_follows_it_where_no_code_is_at_hand() -> None:
    """It was tied by the same slip, and the next box would be taken for the wrong assay in silence."""
    bench = StockBench()
    bench.adopt(THREE_LINES)
    bench.must(bench.box("L-200", gtin=GTIN), "1:00")
    bench.must(bench.box("L-300", gtin="38425876095081"), "2:00")
    _, tied = bench.must(correct(lot="L-200", assay=THREE_LINES.id), "3:00")

    assert tied == GtinTied(at=at("3:00"), by="key-op-1", gtin=GTIN, assay_id=THREE_LINES.id)
    bench.must(bench.box("L-400", gtin=GTIN, assay=None), "4:00")
    assert bench.board.assays[bench.lot("L-400").assay].assay == THREE_LINES


def test_so_does_one_that_came_in_with_a_later_delivery_of_the_lot() -> None:
    """The first box was entered by hand, as its code could not be read."""
    bench = StockBench()
    bench.adopt(THREE_LINES)
    bench.must(bench.box("L-200"), "1:00")
    bench.must(bench.box("L-200", gtin=GTIN), "2:00")
    bench.must(correct(lot="L-200", assay=THREE_LINES.id), "3:00")

    assert bench.board.stock_room.gtins == {GTIN: THREE_LINES.id}


def test_the_item_number_stays_where_only_the_day_is_corrected_or_it_came_in_before() -> None:
    """What it stands for was said with another lot; nobody says anything of it here."""
    bench = StockBench()
    bench.adopt(THREE_LINES)
    bench.must(bench.box("L-200", gtin=GTIN), "1:00")
    bench.must(correct(lot="L-200", last_day=day()), "2:00")
    bench.must(bench.box("L-300", gtin=GTIN), "3:00")
    bench.must(correct(lot="L-300", assay=THREE_LINES.id), "4:00")

    assert bench.board.stock_room.gtins == {GTIN: NASAL.id}


def test_an_item_number_that_was_left_tied_wrongly_is_tied_anew_by_whoever_says_the_assay() -> None:
    """The lot was corrected by its number alone, and every next box would be refused."""
    bench = StockBench()
    bench.adopt(THREE_LINES)
    bench.must(bench.box("L-200", gtin=GTIN), "1:00")
    bench.must(bench.box("L-300", gtin=GTIN), "2:00")
    bench.must(correct(lot="L-300", assay=THREE_LINES.id), "3:00")
    next_box = bench.box("L-400", gtin=GTIN, assay=THREE_LINES.id)
    assert bench.refused(next_box).code is RefusalCode.BOX_OF_ANOTHER_ASSAY
    event, tied = bench.must(correct(lot="L-300", assay=THREE_LINES.id, gtin=GTIN), "4:00")
    assert isinstance(event, LotCorrected)
    assert (event.assay, event.expires) == (event.assay_before, event.expires_before)
    assert tied == GtinTied(at=at("4:00"), by="key-op-1", gtin=GTIN, assay_id=THREE_LINES.id)

    bench.must(next_box)
    again = correct(lot="L-300", assay=THREE_LINES.id, gtin=GTIN)
    assert bench.refused(again).subject == "nothing to correct"


def test_an_item_number_that_nobody_has_tied_is_tied() -> None:
    """As when a box is taken in."""
    bench = StockBench()
    bench.must(correct(last_day=day(), gtin=GTIN))
    assert bench.board.stock_room.gtins == {GTIN: NASAL.id}

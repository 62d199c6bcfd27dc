"""What became of each unit in a shift, and when stock is low."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from builders import NO_CONTROL, at
from core.board.stock_bench import StockBench
from readbell.core.board.reconcile import LotShift, is_low, left_of, reconcile
from readbell.core.stock.acts import CountUnits, LoseUnits
from readbell.core.stock.events import LossReason


def of_shift(bench: StockBench, since: str = "0:00", until: str | None = None) -> LotShift:
    """The figures of the bench's own lot."""
    end = None if until is None else at(until)
    (found,) = [each for each in reconcile(bench.board, at(since), end) if each.lot == "L-100"]
    return found


def lose(units: int) -> LoseUnits:
    """Write units off."""
    return LoseUnits(by="op-1", lot="L-100", units=units, reason=LossReason.DAMAGED)


def count(counted: int) -> CountUnits:
    """Count the box."""
    return CountUnits(by="op-1", lot="L-100", counted=counted)


def test_every_unit_of_a_shift_stands_in_one_figure() -> None:
    """Patients, repeats, control samples, voids, losses, and what a count found."""
    bench = StockBench()
    bench.materials()
    bench.label("C1", "P-001", "0:00")
    bench.run("C1", begins=0, seen=NO_CONTROL)
    bench.label("C2", "P-001", "20:00")
    bench.label("C3", "P-002", "20:00")
    bench.must(bench.void_act("C3"), "21:00")
    bench.sample("C4", "PC-1", "22:00")
    bench.must(bench.box("L-100", units=5), "23:00")
    bench.must(lose(2), "24:00")
    bench.must(count(18), "25:00")

    assert of_shift(bench) == LotShift(
        lot="L-100",
        patients=1,
        repeats=1,
        samples=1,
        voids=1,
        lost=2,
        received=25,
        found=-1,
        left=18,
        was_counted=True,
    )
    assert of_shift(bench).used == 4


def test_a_shift_has_what_fell_into_it_both_ends_inside() -> None:
    """What was before or after is another's."""
    bench = StockBench()
    bench.label("C1", "P-001", "1:00")
    bench.label("C2", "P-001", "2:00")
    bench.label("C3", "P-001", "3:00")
    bench.label("C4", "P-001", "3:00.001")
    bench.must(lose(1), "4:00")
    bench.must(count(15), "4:00")

    found = of_shift(bench, "2:00", "3:00")
    assert (found.used, found.lost, found.was_counted, found.received) == (2, 0, False, 0)


def test_a_lot_nobody_touched_is_left_out() -> None:
    """The list of a shift is read by somebody who wants to go home."""
    bench = StockBench()
    bench.must(bench.box("L-300", units=0), "0:00")

    assert reconcile(bench.board, at("1:00")) == ()


def test_an_uncounted_lot_has_no_figure_of_what_is_left() -> None:
    """Until somebody counts it, and that first count finds nothing more or less."""
    bench = StockBench(units=None)
    bench.label()
    assert of_shift(bench).left is None
    bench.must(count(9))

    assert (of_shift(bench).left, of_shift(bench).found) == (9, 0)


@given(
    st.lists(
        st.one_of(
            st.just("label"),
            st.just("void"),
            st.integers(1, 3).map(lambda units: ("lose", units)),
            st.integers(0, 30).map(lambda units: ("count", units)),
            st.integers(1, 5).map(lambda units: ("deliver", units)),
        ),
        max_size=14,
    )
)
def test_the_ledger_always_balances(deeds: list[str | tuple[str, int]]) -> None:
    """What came in, less what went, and what counts found: that is what is left."""
    bench = StockBench()
    for place, deed in enumerate(deeds):
        lot = bench.board.lots["L-100"]
        match deed:
            case "label":
                bench.do(bench.label_act(f"C{place}"))
            case "void":
                bench.do(bench.label_act(f"C{place}"))
                bench.do(bench.void_act(f"C{place}"))
            case ("lose", units):
                bench.do(lose(int(units)))
            case ("count", units):
                bench.must(count(int(units)))
            case (_, units):
                bench.must(bench.box("L-100", units=int(units)))
        assert lot.left is not None
        assert lot.left >= 0
    for found in reconcile(bench.board, at("0:00")):
        assert found.left == found.received - found.used - found.lost + found.found


def test_stock_is_low_at_the_number_the_site_names() -> None:
    """Counted over all lots of the assay that may be used."""
    bench = StockBench(units=6)
    bench.must(bench.box(units=5))
    bench.decides(low_stock_units=10)
    assert not is_low(bench.board, bench.assay.id, at("0:00"))
    bench.label()
    assert (
        left_of(bench.board, bench.assay.id),
        is_low(bench.board, bench.assay.id, at("0:00")),
    ) == (10, True)
    bench.must(bench.hold_act("L-200"))

    assert left_of(bench.board, bench.assay.id) == 5


def test_stock_is_low_when_it_lasts_less_than_the_hours_the_site_names() -> None:
    """At the pace of the last hour, which is over when the hour is."""
    bench = StockBench(units=20)
    bench.decides(low_stock_hours=5)
    for place in range(4):
        bench.label(f"C{place}", now=f"{place}:00")

    assert is_low(bench.board, bench.assay.id, at("10:00"))
    assert not is_low(bench.board, bench.assay.id, at("3:00:00"))


def test_what_nobody_counts_is_never_called_low() -> None:
    """Nobody knows; and as it comes nobody asks."""
    bench = StockBench(units=None)
    bench.decides(low_stock_units=10, low_stock_hours=5)
    assert not is_low(bench.board, bench.assay.id, at("0:00"))
    assert left_of(bench.board, "dipstick") is None
    counted = StockBench(units=1)
    counted.label()

    assert not is_low(counted.board, counted.assay.id, at("0:00"))

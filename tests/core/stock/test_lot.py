"""A lot gives cartridges until its day is over, its units are gone or it is held."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from readbell.core.refusal import RefusalCode
from readbell.core.stock.lot import Lot, refuse_lot

EXPIRES = date(2026, 3, 31)
LOT = Lot(number="L-100", assay="hash", expires=EXPIRES, units=2)


def code(lot: Lot, today: date = EXPIRES) -> RefusalCode | None:
    """Why `lot` gives no cartridge today, or None."""
    refused = refuse_lot(lot, today)
    return None if refused is None else refused.code


# Common practice: a kit is good through the end of the day printed on it.
@pytest.mark.parametrize(
    ("today", "expected"),
    [
        pytest.param(date(2026, 3, 30), None, id="the day before"),
        pytest.param(date(2026, 3, 31), None, id="the day itself"),
        pytest.param(date(2026, 4, 1), RefusalCode.LOT_EXPIRED, id="the day after"),
    ],
)
def test_a_lot_is_good_through_the_end_of_its_date(
    today: date, expected: RefusalCode | None
) -> None:
    """The printed day still counts, the next one does not."""
    assert code(LOT, today) is expected


@pytest.mark.parametrize(
    ("units", "used", "expected"),
    [
        pytest.param(2, 1, None, id="the last one left"),
        pytest.param(2, 2, RefusalCode.LOT_USED_UP, id="all taken"),
        pytest.param(0, 0, RefusalCode.LOT_USED_UP, id="an empty box"),
        pytest.param(None, 10_000, None, id="not counted"),
    ],
)
def test_a_counted_lot_is_used_up(
    units: int | None, used: int, expected: RefusalCode | None
) -> None:
    """Nobody takes a cartridge that the box cannot hold; an uncounted box is not judged."""
    assert code(replace(LOT, units=units, used=used)) is expected


def test_reasons_are_given_in_a_fixed_order() -> None:
    """Of several reasons the same one is always told: hold, then expiry, then units."""
    spent = replace(LOT, units=0)
    late = date(2027, 1, 1)

    assert code(replace(spent, on_hold=True), late) is RefusalCode.LOT_ON_HOLD
    assert code(spent, late) is RefusalCode.LOT_EXPIRED
    assert code(spent) is RefusalCode.LOT_USED_UP


def test_an_expired_lot_is_told_with_its_date() -> None:
    """Whoever holds the box wants to see what was compared."""
    refused = refuse_lot(LOT, date(2026, 4, 1))

    assert refused is not None
    assert refused.subject == "L-100 (2026-03-31)"


@pytest.mark.parametrize(
    "lot",
    [
        pytest.param(replace(LOT, on_hold=True), id="on hold"),
        pytest.param(replace(LOT, units=0), id="used up"),
    ],
)
def test_a_lot_that_gives_nothing_is_told_by_its_number(lot: Lot) -> None:
    """Two open boxes look alike."""
    refused = refuse_lot(lot, EXPIRES)

    assert refused is not None
    assert refused.subject == "L-100"

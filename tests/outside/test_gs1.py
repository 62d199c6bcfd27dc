"""Box codes held against the standard's examples, two libraries and a second parser."""

from __future__ import annotations

from datetime import UTC, date, datetime

import biip
import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum import gs1_128
from stdnum.ean import calc_check_digit

from readbell.barcodes.gs1 import SEPARATOR, BoxCode, BoxFault, day_of, full_year, read_box

# Valid trade item numbers in the tests of python-stdnum 2.2 and biip 5.2.0.
GTINS = ["98412345678908", "58425876097843", "38425876095074"]


@pytest.mark.parametrize("gtin", GTINS)
def test_numbers_with_a_right_check_digit_are_taken(gtin: str) -> None:
    """And every single digit that is misread is found."""
    assert read_box(f"01{gtin}10A", 2026) == BoxCode(gtin=gtin, lot="A", expires=None)
    for place, digit in enumerate(gtin):
        for other in set("0123456789") - {digit}:
            misread = gtin[:place] + other + gtin[place + 1 :]
            assert isinstance(read_box(f"01{misread}10A", 2026), BoxFault), misread


# Worked in the standard's own explanation of the check digit, from memory; recomputed here.
@pytest.mark.parametrize(("digits", "check"), [("629104150021", "3"), ("400638133393", "1")])
def test_worked_check_digits(digits: str, check: str) -> None:
    """Padded to fourteen digits they are trade item numbers."""
    assert calc_check_digit(digits) == check
    assert isinstance(read_box(f"010{digits}{check}10A", 2026), BoxCode)


# Doctests of python-stdnum 2.2; the last two computed: a leap year and none.
@pytest.mark.parametrize(
    ("written", "day"),
    [
        ("260400", date(2026, 4, 30)),
        ("261200", date(2026, 12, 31)),
        ("280200", date(2028, 2, 29)),
        ("270200", date(2027, 2, 28)),
    ],
)
def test_day_00_is_the_last_of_its_month(written: str, day: date) -> None:
    """As both libraries have it."""
    assert day_of(written, 2026) == day


# GS1 General Specifications 7.12, as biip 5.2.0 cites it: 51..99 ahead is the century before,
# 50..99 behind the next. The years are computed by that rule.
@pytest.mark.parametrize(
    ("short", "year", "found"),
    [
        (76, 2026, 2076),
        (77, 2026, 1977),
        (0, 2026, 2000),
        (99, 2049, 2099),
        (99, 2048, 1999),
        (0, 2051, 2100),
        (1, 2051, 2101),
        (2, 2051, 2002),
        (49, 1999, 2049),
        (50, 1999, 1950),
    ],
)
def test_the_century_is_the_one_the_standard_says(short: int, year: int, found: int) -> None:
    """At differences of exactly 50, 51, -49 and -50."""
    assert full_year(short, year) == found


# Element strings of the tests of python-stdnum 2.2 and biip 5.2.0.
def test_published_element_strings() -> None:
    """What two libraries test themselves with."""
    assert read_box("(01)38425876095074(17)181119(37)1", 2026) == BoxCode(
        gtin="38425876095074", lot=None, expires=date(2018, 11, 19)
    )
    assert read_box("013842587609507417181119371", 2026) == BoxCode(
        gtin="38425876095074", lot=None, expires=date(2018, 11, 19)
    )
    assert read_box(f"10123{SEPARATOR}17221231", 2026) == BoxCode(
        gtin=None, lot="123", expires=date(2022, 12, 31)
    )
    assert read_box("1722123110123", 2026) == BoxCode(
        gtin=None, lot="123", expires=date(2022, 12, 31)
    )


LOTS = st.text("ABCDEFGHJKLMNPQRSTUVWXYZ-/.", min_size=1, max_size=20)
DAYS = st.dates(date(2010, 1, 1), date(2059, 12, 31))


@given(st.sampled_from(GTINS), LOTS, DAYS)
def test_what_another_library_writes_is_read_back(gtin: str, lot: str, day: date) -> None:
    """python-stdnum writes the code, this reads it, and biip reads the same of it."""
    text = gs1_128.encode({"01": gtin, "17": day, "10": lot}, SEPARATOR)
    found = read_box(text, 2026)
    theirs = biip.parse(text).gs1_message

    assert found == BoxCode(gtin=gtin, lot=lot, expires=day)
    assert theirs is not None
    assert theirs.element_strings.get(ai="10") is not None


def test_biip_still_fills_its_message_in_spite_of_a_wrong_digit() -> None:
    """Why the parts are asked and not the whole; if this changes, that may be simpler."""
    found = biip.parse("0138425876095079" + "10A")

    assert found.gs1_message is not None
    assert found.gs1_message.element_strings[0].gtin_error is not None


def test_the_year_asked_about_is_given_and_not_looked_up() -> None:
    """The same code means the same at any bench whose year it is."""
    this_year = datetime.now(tz=UTC).year  # noqa: TID251  # only to be different from it
    assert read_box("1777123110A", this_year + 100) != read_box("1777123110A", 1950)

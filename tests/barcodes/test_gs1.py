"""The code of a box gives what stands in it, or one sentence; nothing is lost and nothing guessed."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readbell.barcodes.gs1 import (
    SEPARATOR,
    BoxCode,
    BoxFault,
    full_year,
    is_box_code,
    read_box,
)

GTIN = "38425876095074"
GS = SEPARATOR
WHOLE = f"01{GTIN}1727123110AB-12"


def why(text: str) -> str:
    """The sentence about a code that is not taken."""
    found = read_box(text, 2026)
    assert isinstance(found, BoxFault), found
    return found.why


@pytest.mark.parametrize(
    "text",
    [
        pytest.param(WHOLE, id="plain"),
        pytest.param(f"]d2{WHOLE}", id="from a data matrix"),
        pytest.param(f"]C1{WHOLE}", id="from a bar code"),
        pytest.param(f"01{GTIN}10AB-12{GS}17271231", id="the lot before the day"),
        pytest.param(f"{GS}01{GTIN}17271231{GS}10AB-12{GS}", id="more separators than needed"),
        pytest.param(f"(01){GTIN}(17)271231(10)AB-12", id="as printed below it"),
        pytest.param(f"01{GTIN}1727123110AB-12{GS}21SERIAL9", id="a serial number is passed over"),
        pytest.param(f"01{GTIN}112501011727123110AB-12", id="made on another day"),
    ],
)
def test_a_code_gives_item_lot_and_last_day(text: str) -> None:
    """Whatever else it says, and in whatever order."""
    assert read_box(text, 2026) == BoxCode(gtin=GTIN, lot="AB-12", expires=date(2027, 12, 31))


def test_what_a_code_leaves_out_is_left_open() -> None:
    """A person answers it then."""
    assert read_box("10AB-12", 2026) == BoxCode(gtin=None, lot="AB-12", expires=None)
    assert read_box(f"01{GTIN}17271231", 2026) == BoxCode(
        gtin=GTIN, lot=None, expires=date(2027, 12, 31)
    )


@pytest.mark.parametrize(
    ("text", "says"),
    [
        pytest.param("", "names neither", id="nothing"),
        pytest.param("hello", "cannot be read", id="no code"),
        pytest.param(f"01{GTIN}17271", "cannot be read", id="broken off"),
        pytest.param("aaa(17)271231", "cannot be read", id="letters before it"),
        pytest.param("(09)1234", "cannot be read", id="no such identifier"),
        pytest.param(f"01{GTIN}21SERIAL", "names neither a lot nor a last day", id="another code"),
        pytest.param("0138425876095079172712311 0A", "cannot be read", id="a blank inside"),
        pytest.param(f"0138425876095079{WHOLE[16:]}", "check digit of 38425876095079", id="digit"),
        pytest.param(f"01{GTIN}1727023110A", "270231, is no day", id="31 February"),
        pytest.param(f"01{GTIN}1727003110A", "270031, is no day", id="month 00"),
        pytest.param(f"01{GTIN}1727133110A", "cannot be read", id="month 13"),
        pytest.param(f"10A{GS}10B", "the lot twice", id="two lots"),
        pytest.param("1727123117261231", "the last day twice", id="two days"),
    ],
)
def test_what_is_wrong_is_said_in_one_sentence(text: str, says: str) -> None:
    """And what to do about it."""
    assert says in why(text)


@pytest.mark.parametrize(
    "sign", ["{GS}", "<GS>", "[GS]", "(GS)", "<FNC1>", "\\x1d", "\\u001d", "\\F", "^]", "Alt+029"]
)
def test_a_separator_that_is_written_out_is_a_scanner_to_be_set_up(sign: str) -> None:
    """Taken as letters it would become part of the lot."""
    said = why(f"01{GTIN}10AB{sign}17271231")

    assert "writes its separator out" in said
    assert sign in said


def test_a_separator_that_was_lost_costs_no_last_day_in_silence() -> None:
    """A lot that is greedily read to the end of the code would hide the day behind it."""
    assert "ran together" in why("1012317221231")
    assert "ran together" in why(f"01{GTIN}10AB1217271231")
    # A lot that only looks a little like it is a lot.
    assert read_box("10AB17999999", 2026) == BoxCode(gtin=None, lot="AB17999999", expires=None)


@pytest.mark.parametrize(
    ("text", "is_code"),
    [
        (WHOLE, True),
        (f"]d2{WHOLE}", True),
        (f"10A{GS}17271231", True),
        (f"(01){GTIN}", True),
        (f"01{GTIN}10AB{{GS}}17271231", True),
        ("L-100", False),
        ("P-001", False),
        ("0123456789", False),
        ("{GS}", False),
    ],
)
def test_a_code_of_a_box_is_told_from_everything_else(text: str, is_code: bool) -> None:
    """A patient's ID must never be taken for one."""
    assert is_box_code(text) is is_code


@given(st.text(max_size=60))
def test_no_text_is_too_strange(text: str) -> None:
    """A barcode may hold anything; it is read or refused in words."""
    found = read_box(text, 2026)

    assert isinstance(found, BoxCode) or found.why.endswith(".")


@given(st.integers(0, 99), st.integers(1951, 9900))
def test_the_century_is_the_nearest(short: int, year: int) -> None:
    """At most 49 years back and 50 ahead."""
    found = full_year(short, year)

    assert found % 100 == short
    assert -49 <= found - year <= 50

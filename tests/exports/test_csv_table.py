"""A table that every spreadsheet reads, and in which none finds a formula."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from exports.reports import EVERY_WAY, origin, report
from readbell.exports.csv_table import COLUMNS, header, is_formula, rows_of

if TYPE_CHECKING:
    from readbell.exports.report import Report

FORMULAS = (
    "=1+1",
    "+1",
    "-1",
    "@SUM(A1)",
    "\t=1",
    "\r=1",
    "\n=1",
    "\0=1",
    " =1",
    "\uff1d1+1",
    "\uff0b1",
    "\uff0d1",
    "\uff20SUM(A1)",
    '=HYPERLINK("http://example.org";"x")',
    "|calc",
)
"""Ways to begin one (OWASP, CSV Injection; and what a spreadsheet may cut off before it)."""


def rows(*reports: Report, rehearsal: bool = False) -> list[dict[str, str]]:
    """The rows as they are read back by another reader."""
    text = header() + "".join(row for row, _ in rows_of(origin(rehearsal=rehearsal), reports))
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_a_row_for_each_analyte_says_all_that_a_record_needs() -> None:
    """Who, what, when, by whom, and of which box."""
    (row,) = rows(report())
    assert row | {"result_id": ""} == {
        "mode": "live",
        "bay": "Harrow Quay",
        "result_id": "",
        "version": "1",
        "status": "final",
        "of_visit": "yes",
        "cartridge": "C1",
        "repeat_of": "",
        "patient_id": "P-001",
        "assay": "respiratory-antigen-nasal",
        "analyte": "SARS-CoV-2 antigen",
        "line": "T",
        "outcome": "positive",
        "lot": "L-100",
        "lot_expires": "2026-12-31",
        "specimen": "anterior nasal swab",
        "begun": "2026-03-29T13:59:10.250+01:00",
        "collected": "2026-03-29T14:00:10.250+01:00",
        "applied": "2026-03-29T14:02:10.250+01:00",
        "read": "2026-03-29T14:18:10.250+01:00",
        "times_stated": "no",
        "read_by": "op-1",
        "deviations": "",
        "notes": "Read 16:00 after the drops.",
        "apostrophe_before": "",
    }
    assert len(rows(EVERY_WAY["three lines"])) == 3


@pytest.mark.parametrize("way", EVERY_WAY)
def test_every_way_of_standing_has_a_whole_row(way: str) -> None:
    """And says of a stated time that it is one."""
    for row in rows(EVERY_WAY[way]):
        assert set(row) == set(COLUMNS)
        assert row["times_stated"] == ("yes" if way == "stated" else "no")


def test_practice_says_so_in_every_row() -> None:
    """A row may be copied without its neighbours."""
    assert {row["mode"] for row in rows(report(), report(), rehearsal=True)} == {"rehearsal"}


@pytest.mark.parametrize("formula", FORMULAS)
def test_no_field_begins_a_formula(formula: str) -> None:
    """A spreadsheet would run it; the row says where an apostrophe was put before it."""
    odd = replace(report(), patient=replace(report().patient, id=formula))
    (row,) = rows(odd)
    assert row["patient_id"] == f"'{formula}"
    assert row["apostrophe_before"] == "patient_id"
    assert [count for _, count in rows_of(origin(), [odd, report()])] == [1, 0]


@pytest.mark.parametrize("plain", ["", " ", "C1", "O'Brook", "a=b", "2026-03-29", "Zoë"])
def test_what_begins_no_formula_stays_as_it_is(plain: str) -> None:
    """An apostrophe too many is a wrong ID."""
    assert not is_formula(plain)


@given(text=st.text(max_size=60))
def test_what_was_entered_can_be_read_back(text: str) -> None:
    """Quotes, separators and lines' ends are all of the field."""
    odd = replace(report(), label=text)
    (row,) = rows(odd)
    changed = "cartridge" in row["apostrophe_before"].split()
    assert (row["cartridge"][1:] if changed else row["cartridge"]) == text
    assert not is_formula(row["cartridge"])

"""The assays that come with the program: sound, typical, and honest about their figures."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from builders import NASAL, THREE_LINES, span
from readbell.assays.library import Library, read_assay
from readbell.core.assay.check import check
from readbell.core.assay.step import Limit

if TYPE_CHECKING:
    from pathlib import Path

    from readbell.core.assay.assay import Assay

FILES = list(Library().files())

SEEN_CODES = ("94558-4", "97097-0", "95209-3", "96119-3", "97099-6", "80382-5", "80383-3")
"""Codes as their publishers print them: loinc.org, and the HL7 COVID-19 FHIR profile library."""


def check_digit(number: str) -> int:
    """The digit after the hyphen of a LOINC: mod 10 by Luhn over what stands before (from memory)."""
    doubled = [
        sum(divmod(int(digit) * 2, 10)) if place % 2 == 0 else int(digit)
        for place, digit in enumerate(reversed(number))
    ]
    return -sum(doubled) % 10


def codes_of(assay: Assay) -> dict[str, str]:
    """The LOINC of each line that has one, by the key of the line."""
    return {line.key: line.loinc for line in assay.reading.lines if line.loinc is not None}


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_bundled_file_is_sound(path: Path) -> None:
    """A program must not come with a file that it would itself refuse."""
    assert check(read_assay(path)) == ()


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_bundled_file_is_named_for_its_assay(path: Path) -> None:
    """Scenarios name an assay by its id and find the file by it."""
    assert read_assay(path).id == path.stem


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_figure_has_a_basis_and_the_kit_is_named_as_the_authority(path: Path) -> None:
    """No figure may look as if it had been checked against somebody's kit."""
    basis = dict(read_assay(path).basis)

    assert basis["all"] == "typical; check your kit's instructions"
    assert all(basis.values())


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_code_has_a_basis_of_its_own_that_repeats_it(path: Path) -> None:
    """A code goes into exports: where it comes from must be said, and of that very code."""
    assay = read_assay(path)

    for line, code in codes_of(assay).items():
        assert f"LOINC {code}" in dict(assay.basis)[f"reading.line.{line}.loinc"]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_bundled_code_has_been_seen_where_it_is_published(path: Path) -> None:
    """A code from somebody's memory would end in somebody's record."""
    assert set(codes_of(read_assay(path)).values()) <= set(SEEN_CODES)


@pytest.mark.parametrize("code", SEEN_CODES)
def test_check_digits_of_codes_hold(code: str) -> None:
    """One wrong digit would name another test altogether."""
    number, digit = code.split("-")

    assert check_digit(number) == int(digit)


def test_every_line_of_the_three_line_assay_has_a_code_of_its_own() -> None:
    """Two analytes under one code could not be told apart in an export."""
    codes = codes_of(THREE_LINES)

    assert len(set(codes.values())) == len(THREE_LINES.line_keys) == 3


def test_the_nasal_assay_holds_the_figures_of_the_contract() -> None:
    """The headless contract promises these; others check the product with them."""
    assert [step.key for step in NASAL.steps] == [
        "label",
        "buffer",
        "collect",
        "extract",
        "withdraw",
        "apply",
    ]
    assert [step.hands_on for step in NASAL.steps] == [
        span(f"0:{seconds}") for seconds in (10, 10, 45, 25, 10, 20)
    ]
    reading = NASAL.reading
    assert (reading.early_from, reading.opens, reading.closes) == (
        span("2:00"),
        span("15:00"),
        span("20:00"),
    )
    assert (reading.closing_warning, reading.hands_on) == (span("2:00"), span("0:15"))
    assert (NASAL.glove_change, len(reading.lines)) == (span("0:20"), 1)


def test_the_wait_of_the_nasal_assay_is_firm_below_and_advisory_above() -> None:
    """A short extraction is refused; a long one is a deviation."""
    extract = NASAL.step("extract")

    assert extract is not None
    assert extract.wait is not None
    assert (extract.wait.until, extract.wait.least, extract.wait.most) == (
        "withdraw",
        span("1:00"),
        span("3:00"),
    )
    assert (extract.wait.least_is, extract.wait.most_is) == (Limit.FIRM, Limit.ADVISORY)


def test_only_the_nasal_assay_gives_leave_for_an_early_look() -> None:
    """An early positive is for kits whose instructions allow one."""
    early = {path.stem: read_assay(path).reading.early_from for path in FILES}

    assert {name for name, when in early.items() if when is not None} == {NASAL.id}


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_temperatures_are_those_of_the_trade(path: Path) -> None:
    """Stored at 2 to 30 C and run at 15 to 30 C (common practice)."""
    found = read_assay(path).temperatures

    assert (found.storage_least, found.storage_most) == (2, 30)
    assert (found.running_least, found.running_most) == (15, 30)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_work_on_a_specimen_is_marked_for_fresh_gloves(path: Path) -> None:
    """From the taking of the specimen on every step touches it."""
    assay = read_assay(path)
    keys = [step.key for step in assay.steps]
    taken = next(place for place, step in enumerate(assay.steps) if step.collects)

    assert [step.key for step in assay.steps if step.touches_specimen] == keys[taken:]
    assert "biohazard" in assay.clearing_up


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_the_device_is_labelled_before_anything_is_taken(path: Path) -> None:
    """A specimen without a name beside it is where a mix-up begins."""
    steps = read_assay(path).steps

    assert (steps[0].key, steps[0].collects, steps[-1].key) == ("label", False, "apply")


@pytest.mark.parametrize(
    ("name", "opens", "closes"),
    [
        # A strip that stands in the fluid: read at 5 minutes (a teaching site's procedure, seen);
        # not after 10 (common wording of such kits, from memory).
        ("streptococcus-a-throat", "5:00", "10:00"),
        # Public job aid for a malaria test: "do not read sooner than 20"; no latest minute (seen).
        ("malaria-blood", "20:00", None),
        # Urine cartridge: read at 5 minutes, do not interpret after 8 (a maker's procedure, seen).
        ("hcg-urine", "5:00", "8:00"),
    ],
)
def test_windows_of_other_assays_are_those_of_published_procedures(
    name: str, opens: str, closes: str | None
) -> None:
    """Each figure came from somewhere, and says from where in its file."""
    assay = Library().find(name)

    assert assay.reading.opens == span(opens)
    assert assay.reading.closes == (None if closes is None else span(closes))
    assert {"reading.opens", "reading.closes"} <= dict(assay.basis).keys()


def test_a_throat_swab_stands_a_minute_and_is_no_older_than_four_hours() -> None:
    """Both figures were seen: a teaching site's procedure, a hospital's staff instructions."""
    assay = Library().find("streptococcus-a-throat")
    waits = {step.key: step.wait for step in assay.steps if step.wait is not None}

    assert waits["extract"].least == span("1:00")
    assert (waits["collect"].most, waits["collect"].most_is) == (span("4:00:00"), Limit.FIRM)


def test_no_code_is_shipped_that_nobody_has_seen_published() -> None:
    """Codes for these were only remembered, so their lines have none."""
    for name in ("streptococcus-a-throat", "malaria-blood", "hcg-urine"):
        assert codes_of(Library().find(name)) == {}

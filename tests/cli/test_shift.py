"""`shift` and `daysheet`: while no board runs, for people and for programs."""

from __future__ import annotations

import json
import sys
from typing import TYPE_CHECKING, Any

import pypdf
import pytest

from cli.conftest import NASAL
from readbell.settings.places import settings_file

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command, Start


@pytest.fixture
def journal(start_bay: Start, tmp_path: Path) -> Path:
    """A bay that works in shifts, with two operators and one lot, closed again."""
    settings_file().parent.mkdir(parents=True)
    settings_file().write_text('[policy]\nshifts = "on"\n', encoding="utf-8")
    path = tmp_path / "bay.journal"
    bay = start_bay(path, "--quiet")
    bay.must(do="register-operator", id="op-1")
    bay.must(do="adopt-assay", by="op-1", assay=NASAL, instructions="v1")
    bay.must(do="receive-lot", by="op-1", number="L-1", assay=NASAL, expires="2099-12-31", units=20)
    bay.must(do="register-person", by="op-1", id="P-1")
    bay.must(do="open-shift", by="op-1")
    bay.must(do="label", by="op-1", cartridge="C1", person="P-1", lot="L-1")
    bay.end_of_input()
    assert bay.wait() == 0
    return path


def listed(command: Command, journal: Path) -> list[dict[str, Any]]:
    """Every shift as a program gets it."""
    done = command("shift", "list", "--journal", journal, "--json")
    assert (done.status, done.err) == (0, "")
    return [json.loads(each) for each in done.out.splitlines()]


def test_a_shift_is_closed_signed_and_the_next_one_opened(command: Command, journal: Path) -> None:
    """Over what runs only with a reason; the sheet names the event that was signed."""
    at = ("--by", "op-1", "--journal", journal)
    refused = command("shift", "close", *at)
    closed = command("shift", "close", "--why", "handed over", *at, "--json")
    signed = command("shift", "sign", "--shift", "1", *at)
    opened = command("shift", "open", "--light", *at)
    first, second = listed(command, journal)

    assert (refused.status, closed.status, signed.status, opened.status) == (2, 0, 0, 0)
    assert "Still running: C1" in refused.out
    assert json.loads(closed.out)["accepted"] is True
    assert f"head {first['head']}" in signed.out
    assert first["left"] == [
        {"kind": "unfinished", "about": ["C1"]},
        {"kind": "not-counted", "about": ["L-1"]},
    ]
    assert (second["shift"], second["closed"], second["signed"]) == (2, None, None)
    words = command("shift", "list", "--journal", journal).out.splitlines()
    assert words[0].endswith("signed")
    assert words[1].endswith("open")
    verified = command("verify", "--journal", journal, "--head", first["head"])
    assert verified.status == 0


def test_a_day_sheet_names_no_patient_and_is_the_same_on_paper(
    command: Command, journal: Path, tmp_path: Path
) -> None:
    """Read back out of the PDF by another library than the one that drew it."""
    pdf = tmp_path / "sheet.pdf"
    said = command("daysheet", "--journal", journal, "--pdf", pdf)
    fields = json.loads(command("daysheet", "--journal", journal, "--json").out)
    printed = "\n".join(page.extract_text() for page in pypdf.PdfReader(pdf).pages)

    assert said.status == 0
    assert "P-1" not in said.out
    assert fields["shift"] == 1
    assert [each["cartridge"] for each in fields["cartridges"]] == ["C1"]
    assert fields["signed"] is None
    flat = " ".join(printed.split())
    for line in said.out.splitlines():
        assert " ".join(line.split()) in flat
    assert "page 1 of 1" in printed


def test_a_pdf_is_never_written_over_a_file(
    command: Command, journal: Path, tmp_path: Path
) -> None:
    """It may be a signed one."""
    taken = tmp_path / "sheet.pdf"
    taken.write_text("mine", encoding="utf-8")
    done = command("daysheet", "--journal", journal, "--pdf", taken)

    assert done.status == 2
    assert "name another file" in done.err
    assert taken.read_text(encoding="utf-8") == "mine"


def test_without_the_extra_one_sentence_says_what_to_install(
    command: Command, journal: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """And nothing is written."""
    monkeypatch.setitem(sys.modules, "reportlab.pdfgen.canvas", None)
    done = command("daysheet", "--journal", journal, "--pdf", tmp_path / "sheet.pdf")

    assert done.status == 2
    assert "pip install 'readbell[paper]'" in done.err
    assert not (tmp_path / "sheet.pdf").exists()


def test_a_shift_that_was_never_opened_has_no_sheet(command: Command, journal: Path) -> None:
    """One sentence, and where the names are."""
    done = command("daysheet", "--shift", "9", "--journal", journal)
    assert done.status == 2
    assert "readbell shift list" in done.err


def test_no_journal_is_said_in_a_sentence(command: Command, tmp_path: Path) -> None:
    """A slip in the name must not make a new record."""
    for what in (("shift", "list"), ("daysheet",)):
        done = command(*what, "--journal", tmp_path / "none")
        assert done.status != 0
        assert "there is no journal" in done.err


def test_a_lot_that_was_corrected_in_a_shift_stands_on_its_sheet(
    command: Command, journal: Path
) -> None:
    """In words, and for a program; where none was there is no part for it."""
    before = command("daysheet", "--journal", journal)
    assert "Lots corrected" not in before.out
    done = command(
        *("lot", "correct", "L-1", "--expires", "2020-01-31", "--past", "--words", "a slip"),
        *("--by", "op-1", "--journal", journal),
    )
    assert done.status == 0, done.out
    said = command("daysheet", "--journal", journal)
    fields = json.loads(command("daysheet", "--journal", journal, "--json").out)

    assert "Lots corrected" in said.out
    assert "Lot L-1 corrected by op-1: good to 2020-01-31, not to 2099-12-31." in said.out
    assert "Begun after it: C1. Their results wait for a supervisor." in said.out
    (corrected,) = fields["lots_corrected"]
    assert (corrected["lot"], corrected["begun_after"], corrected["by"]) == ("L-1", ["C1"], "op-1")
    assert (corrected["expires"], corrected["expires_before"]) == ("2020-01-31", "2099-12-31")
    assert corrected["assay"] == corrected["assay_before"] == NASAL

"""The command that prints what is needed to go on by hand."""

from __future__ import annotations

import asyncio
import io
import json
import sys
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from pypdf import PdfReader

from readbell.bay.around import AloneNow, Around
from readbell.cli import paper
from readbell.cli.main import main
from readbell.cli.paper import _look

if TYPE_CHECKING:
    from pathlib import Path

    from readbell.bay.news import News

LINES = (
    {"do": "register-operator", "id": "op-1"},
    {
        "do": "adopt-assay",
        "by": "op-1",
        "assay": "respiratory-antigen-nasal",
        "instructions": "1",
    },
    {
        "do": "receive-lot",
        "by": "op-1",
        "number": "L-1",
        "assay": "respiratory-antigen-nasal",
        "expires": "2999-12-31",
        "units": 20,
    },
    {"do": "register-person", "by": "op-1", "id": "Пётр-1"},
    {"do": "label", "by": "op-1", "cartridge": "C1", "person": "Пётр-1", "lot": "L-1"},
)


@pytest.fixture
def journal(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Path:
    """A bay with one cartridge that runs."""
    path = tmp_path / "bay.journal"
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    given = "".join(f"{json.dumps(each)}\n" for each in LINES)
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(given.encode()), "utf-8"))
    assert main(["bay", "--journal", str(path), "--quiet"]) == 0
    capsys.readouterr()
    return path


def test_a_sheet_of_a_station_that_is_alone_says_what_is_not_on_it(
    journal: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Drops that were given a minute ago stand on it as due, and the sheet lies on the bench."""
    looked = asyncio.run(_look(journal))
    alone = AloneNow(since=looked.at, why="lost")
    around = Around(station="window", mark="B", alone=alone)

    async def look(_journal: Path) -> News:
        return replace(looked, around=around)

    monkeypatch.setattr(paper, "_look", look)
    assert main(["paper", "--journal", str(journal)]) == 0
    rows = capsys.readouterr().out.splitlines()
    above = rows[rows.index("What runs") + 1]
    assert above.startswith("ALONE since ")
    assert above.endswith("what this station did since is NOT on this sheet.")
    assert all(len(row) <= 80 for row in rows if "ALONE" in row)


def test_what_runs_and_a_blank_log_are_printed(
    journal: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Every step has room for a clock time; nobody is named unless asked for."""
    assert main(["paper", "--journal", str(journal)]) == 0
    said = capsys.readouterr().out
    assert "C1  labelled" in said
    assert "Пётр" not in said
    for step in ("Label the cartridge", "Swab into the buffer", "Drops onto the well"):
        assert any(step in row and "___:___:___" in row for row in said.splitlines())
    assert "at least 1:00, at most 3:00" in said
    assert "Closes: drops + 20:00" in said
    assert main(["paper", "--journal", str(journal), "--with-ids", "--logs", "0"]) == 0
    said = capsys.readouterr().out
    assert "C1  Пётр-1  labelled" in said
    assert "___" not in said


def test_the_pdf_says_the_same_and_is_written_once(
    journal: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Twelve logs need several pages, and none is torn in two."""
    file = tmp_path / "log.pdf"
    asked = ["paper", "--journal", str(journal), "--pdf", str(file), "--logs", "12"]
    assert main(asked) == 0
    pages = [page.extract_text() for page in PdfReader(file).pages]
    assert "C1  labelled" in pages[0]
    for page in pages:
        logs = page.count("Patient ID")
        assert logs > 0
        assert page.count("Drops onto the well") == page.count("Cannot be read:") == logs
    assert main(asked) == 2
    assert "already" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("more", "why"),
    [
        (["--logs", "101"], "ask for 0 to 100"),
        (["--pdf", "x.pdf", "--with-ids"], "cannot be drawn"),
        (["--pdf", "nowhere/x.pdf"], "there is no such folder"),
    ],
)
def test_what_cannot_be_printed_is_said_in_one_sentence(
    more: list[str], why: str, journal: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """No letter is replaced by a box that nobody can read."""
    assert main(["paper", "--journal", str(journal), *more]) == 2
    found = capsys.readouterr().err
    assert why in found
    assert found.count("\n") == 1


def test_without_what_makes_pdfs_it_says_what_to_install(
    journal: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """The text needs nothing more."""
    monkeypatch.setattr(sys, "path", [])
    for name in [each for each in sys.modules if each.split(".")[0] == "reportlab"]:
        monkeypatch.delitem(sys.modules, name)
    assert main(["paper", "--journal", str(journal), "--pdf", str(tmp_path / "a.pdf")]) == 2
    assert "pip install 'readbell[paper]'" in capsys.readouterr().err

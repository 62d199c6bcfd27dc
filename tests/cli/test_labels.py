"""The command that prints labels."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import pytest

from readbell.barcodes.drawn import as_blocks
from readbell.cli.main import main

if TYPE_CHECKING:
    from pathlib import Path


def test_a_sheet_is_written_and_never_over_another(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Whoever prints twice names twice."""
    file = tmp_path / "labels.pdf"
    asked = ["labels", "--from", "C101", "--count", "40", "--pdf", str(file)]
    assert main(asked) == 0
    assert file.read_bytes().startswith(b"%PDF")
    assert "40 labels, C101 to C140" in capsys.readouterr().out
    before = file.read_bytes()
    assert main(asked) == 2
    assert "already" in capsys.readouterr().err
    assert file.read_bytes() == before


@pytest.mark.parametrize("more", [[], ["--light"], ["--ascii"]])
def test_a_code_is_drawn_on_the_terminal(
    more: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    """With its label below it, for people."""
    assert main(["labels", "--from", "C101", "--terminal", *more]) == 0
    rows = as_blocks("C101", light_ground="--light" in more, plain="--ascii" in more)
    assert capsys.readouterr().out == "\n".join([*rows, "    C101", "", ""])


def test_a_persons_sticker_is_made_only_when_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    """A patient ID is on no label otherwise."""
    assert main(["labels", "--person", "P-0412", "--count", "2", "--terminal"]) == 0
    assert capsys.readouterr().out.count("    P-0412") == 2


@pytest.mark.parametrize(
    ("more", "why"),
    [
        (["--from", "C", "--terminal"], "ends with no number"),
        (["--person", "é", "--terminal"], "not every scanner"),
        (["--person", "P-1", "--count", "0", "--terminal"], "ask for 1"),
        (["--from", "C1", "--pdf", "x.pdf", "--sheet", "3by8"], "--sheet 3by8"),
        (["--from", "C1", "--pdf", "x.pdf", "--sheet", "0x8"], "--sheet 0x8"),
        (["--from", "C1", "--pdf", "x.pdf", "--sheet", "20x20"], "so small"),
        (["--from", "C1", "--pdf", "nowhere/x.pdf"], "there is no such folder"),
    ],
)
def test_what_cannot_be_printed_is_said_in_one_sentence(
    more: list[str], why: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """What, and what to do; nothing is written."""
    assert main(["labels", *more]) == 2
    found = capsys.readouterr()
    assert why in found.err
    assert found.err.count("\n") == 1
    assert found.out == ""


def test_without_what_makes_pdfs_it_says_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The codes on the terminal need nothing more."""
    monkeypatch.setattr(sys, "path", [])
    for name in [each for each in sys.modules if each.split(".")[0] == "reportlab"]:
        monkeypatch.delitem(sys.modules, name)
    assert main(["labels", "--from", "C1", "--pdf", str(tmp_path / "a.pdf")]) == 2
    assert "pip install 'readbell[paper]'" in capsys.readouterr().err

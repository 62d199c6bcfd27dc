"""`temperature`: one figure, or one a line; a bad one is told and the others are taken."""

from __future__ import annotations

import io
import json
import sys
from typing import TYPE_CHECKING

import pytest

from cli.conftest import NASAL

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command, Start


@pytest.fixture
def journal(start_bay: Start, tmp_path: Path) -> Path:
    """A bay with one operator and one assay, closed again."""
    path = tmp_path / "bay.journal"
    bay = start_bay(path, "--quiet")
    bay.must(do="register-operator", id="op-1")
    bay.must(do="adopt-assay", by="op-1", assay=NASAL, instructions="v1")
    bay.end_of_input()
    assert bay.wait() == 0
    return path


def test_a_figure_is_noted(command: Command, journal: Path) -> None:
    """With where it was measured, and as an object where a machine reads."""
    done = command(
        "temperature", "4", "--where", "store", "--by", "op-1", "--journal", journal, "--json"
    )
    assert (done.status, done.err) == (0, "")
    assert json.loads(done.out)["says"] == "Store: 4.0 °C."


def test_lines_are_taken_one_by_one_and_a_bad_one_costs_only_itself(
    command: Command, journal: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Piped from a logger: what is no figure is told, and the rest is not lost."""
    monkeypatch.setattr(sys, "stdin", io.StringIO("21.5\nwarm\n\n33\n"))
    done = command("temperature", "--by", "op-1", "--journal", journal)
    assert done.status == 2
    assert "Bay: 21.5 °C." in done.out
    assert f"Bay: 33.0 °C. OUT OF RANGE: {NASAL} is run at 15 to 30 °C." in done.out
    assert done.err == '"warm" is no temperature. Type degrees Celsius, such as 21.5.\n'


def test_a_stranger_is_refused(command: Command, journal: Path) -> None:
    """Each figure names who read it off."""
    done = command("temperature", "21", "--by", "op-9", "--journal", journal)
    assert done.status == 2
    assert "No operator op-9 is registered here." in done.out


def test_where_there_is_no_journal_none_is_made(command: Command, tmp_path: Path) -> None:
    """A slip in the name must not found a second bay."""
    done = command("temperature", "21", "--by", "op-1", "--journal", tmp_path / "none")
    assert done.status == 2
    assert "there is no journal: check the name" in done.err
    assert not (tmp_path / "none").exists()


def test_a_bay_that_runs_is_asked_where_it_runs(
    command: Command, start_bay: Start, journal: Path
) -> None:
    """Two programs never write to one journal."""
    bay = start_bay(journal, "--quiet")
    bay.must(do="note-temperature", by="op-1", celsius=22)
    done = command("temperature", "21", "--by", "op-1", "--journal", journal)
    assert done.status == 2
    assert "another" in done.err
    bay.end_of_input()
    assert bay.wait() == 0

"""Two readers of one strip, and what is proposed: in the report, the figures and their tables."""

from __future__ import annotations

import csv
import json
from typing import TYPE_CHECKING

import pytest

from cli.past_bay import ADA, BEA, SECRETS, PastBay
from cli.quality_bench import WHO, ReadTwice, as_json, in_one_line
from quarter import BAD_LOT

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command


def test_two_readers_of_one_strip_are_held_against_each_other(
    command: Command, tmp_path: Path
) -> None:
    """Positive agreement two of three, twice counted: 4 of 5; no kappa of four strips."""
    journal = ReadTwice().read_twice().sample().put(tmp_path / "bay.journal")
    (found,) = as_json(command, journal)["readers"]

    assert (found["strips"], found["kappa"]) == (4, None)
    assert found["positive_agreement"]["value"] == pytest.approx(4 / 5)
    assert found["negative_agreement"]["value"] == pytest.approx(2 / 3)
    assert (found["faint"], found["faint_agreed"]["value"]) == (2, 0.5)
    (pair,) = found["pairs"]
    assert (pair["one"], pair["other"], pair["strips"], pair["few"]) == ("op-1", "op-2", 4, True)
    assert pair["positive_agreement"] == found["positive_agreement"]
    report = tmp_path / "report.html"
    command("quality", *WHO, "--journal", journal, "--out", report)
    text = report.read_text("utf-8")
    assert '<th scope="row">op-1 and op-2, respiratory-antigen-nasal</th><td>4*</td>' in text
    assert "Fewer than 20 strips in common say little" in text
    assert "first and second reader parted positive then negative 1." in text
    assert "with nothing more than a faint line they said the same in 50.0 %" in text
    assert "1 act refused" in text
    assert "<td>M-1</td><td>negative</td><td>L-100</td><td>op-1</td><td>passed</td>" in text
    assert not [each for each in (*SECRETS, ADA, BEA) if each in text]


def rows_of(folder: Path, name: str) -> list[dict[str, str]]:
    """The rows of one table."""
    return [*csv.DictReader((folder / name).read_text("utf-8").splitlines())]


def test_what_is_proposed_charted_and_read_twice_is_in_the_tables(
    command: Command, quarter: Path, tmp_path: Path
) -> None:
    """For whoever goes on with it in a spreadsheet."""
    folder, two = tmp_path / "tables", tmp_path / "two"
    command("figures", "--operator", "op-1", "--journal", quarter, "--csv", folder, "--json")
    (proposal,) = rows_of(folder, "proposals.csv")
    assert (proposal["lot"], proposal["chart_flagged"]) == (BAD_LOT, "True")
    charts = rows_of(folder, "charts.csv")
    assert len(charts) == 2 * (13 + 3)
    invalid = [each for each in charts if (each["by"], each["sign"]) == ("lot", "invalid")]
    assert [each["group"] for each in invalid if each["flagged"] == "True"] == [BAD_LOT]
    assert rows_of(folder, "readers.csv") == []
    journal = ReadTwice().read_twice().put(tmp_path / "bay.journal")
    command("figures", "--operator", "op-1", "--journal", journal, "--csv", two, "--json")

    (readers,) = rows_of(two, "readers.csv")
    assert (readers["strips"], readers["kappa"]) == ("4", "")
    assert readers["positive_agreement_value"] == "0.8"
    said = rows_of(two, "readers-said.csv")
    assert sum(int(each["strips"]) for each in said) == 4
    assert len(said) == 9
    (pair,) = rows_of(two, "readers-pairs.csv")
    assert (pair["one"], pair["other"], pair["strips"], pair["few"]) == (
        "op-1",
        "op-2",
        "4",
        "True",
    )


def test_the_figures_tell_how_two_readers_agree_and_who_read_with_whom(
    command: Command, tmp_path: Path
) -> None:
    """As text and for a program; where nobody read twice there is nothing of it."""
    journal = ReadTwice().read_twice().put(tmp_path / "bay.journal")
    look = ("figures", "--operator", "op-1", "--journal", journal)
    text = command(*look).out

    assert "Two readers of one strip" in text
    assert "op-1 and op-2, respiratory-antigen-nasal" in text
    (found,) = json.loads(command(*look, "--json").out)["readers"]
    assert [each["strips"] for each in found["pairs"]] == [4]
    alone = PastBay().put(tmp_path / "alone.journal")
    assert "Two readers" not in command("figures", "--operator", "op-1", "--journal", alone).out


def test_the_figures_name_a_lot_that_something_is_proposed_for(
    command: Command, quarter: Path
) -> None:
    """Where people look, not in a report alone; and not where nothing is proposed."""
    look = ("figures", "--operator", "op-1", "--journal", quarter)
    done = command(*look)
    good = command(*look, "--since", "2026-03-09")

    said = in_one_line(done.out)
    assert f"What is proposed Lot {BAD_LOT} of respiratory-antigen-nasal:" in said
    assert "What is proposed" not in good.out
    proposals = json.loads(command(*look, "--json").out)["proposals"]
    assert [each["lot"] for each in proposals] == [BAD_LOT]

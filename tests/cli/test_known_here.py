"""What a command is narrowed by is known to the record, or refused; and nothing in it is said to be nothing."""

from __future__ import annotations

import csv
import json
from typing import TYPE_CHECKING

import pytest

from cli.conftest import NASAL
from cli.past_bay import PastBay
from readbell.core.exports.events import ResultsExported

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command, Reading

NEAR = "L-1O0"
"""With a letter where a nought belongs."""


@pytest.fixture
def journal(tmp_path: Path) -> Path:
    """A bay whose work lies back, with one lot of one assay."""
    return PastBay().put(tmp_path / "bay.journal")


@pytest.mark.parametrize("form", ["csv", "fhir", "hl7", "pdf"])
@pytest.mark.parametrize(
    ("option", "given", "nearest"),
    [("--lot", NEAR, "L-100"), ("--assay", "respiratory-antigen", NASAL), ("--lot", "", "L-100")],
)
def test_what_nobody_has_heard_of_leaves_no_file_and_the_nearest_is_named(
    command: Command,
    journal: Path,
    tmp_path: Path,
    events_in: Reading,
    form: str,
    option: str,
    given: str,
    nearest: str,
) -> None:
    """A file of nothing looks like a day without a result; nothing is on record as having left."""
    out = tmp_path / "out"
    said = command(
        "export", form, option, given, "--out", out, "--journal", journal, "--by", "op-1"
    )
    assert (said.status, said.out) == (2, "")
    assert said.err == (
        f"{option} {given}: no "
        + (
            "lot of this number was ever received here"
            if option == "--lot"
            else "assay with this id was ever adopted here"
        )
        + f": say {nearest}, or leave {option} out\n"
    )
    assert not out.exists()
    assert not any(isinstance(each, ResultsExported) for each in events_in(journal))


def test_one_that_is_known_does_not_carry_one_that_is_not(
    command: Command, journal: Path, tmp_path: Path
) -> None:
    """The one that is wrong is named, and how many more there are."""
    lots = ("--lot", "L-100", "--lot", NEAR, "--lot", NEAR, "--assay", "nose")
    said = command(
        "export", "csv", *lots, "--out", tmp_path / "out", "--journal", journal, "--by", "op-1"
    )
    assert said.status == 2
    assert said.err.startswith(f"--lot {NEAR}: ")
    assert "(and 1 more)" in said.err


def test_what_is_unknown_is_refused_before_everything_is_said_to_have_left(
    command: Command, journal: Path, tmp_path: Path
) -> None:
    """Where nothing is unsent, the quick answer would else hide the slip."""
    said = command(
        "export", "csv", "--unsent", "--lot", NEAR, "--out", tmp_path / "out", "--journal", journal
    )
    assert (said.status, said.out) == (2, "")
    assert "say L-100" in said.err


@pytest.mark.parametrize("narrowed", [("--since", "2030-01-01"), ("--outcome", "invalid")])
def test_a_known_one_with_nothing_in_it_leaves_a_whole_file_and_says_so(
    command: Command, journal: Path, tmp_path: Path, narrowed: tuple[str, str]
) -> None:
    """The file is for whoever waits for one, the sentence for whoever made it."""
    out = tmp_path / "out"
    at = ("--journal", journal, "--by", "op-1", "--lot", "L-100", *narrowed)
    said = command("export", "csv", "--out", out, *at)
    assert (said.status, said.err) == (0, "")
    assert "Nothing to export" in said.out
    with out.open(newline="", encoding="utf-8") as file:
        assert list(csv.DictReader(file)) == []
    found = json.loads(command("export", "csv", "--out", tmp_path / "two", *at, "--json").out)
    assert found["count"] == 0


def test_a_result_that_leaves_is_not_said_to_be_nothing(
    command: Command, journal: Path, tmp_path: Path
) -> None:
    """The sentence stands where it is true alone."""
    at = ("--journal", journal, "--by", "op-1", "--lot", "L-100", "--assay", NASAL)
    said = command("export", "csv", "--out", tmp_path / "out", *at)
    assert (said.status, said.err) == (0, "")
    assert "Nothing to export" not in said.out


@pytest.mark.parametrize(
    "part",
    [
        ("--lot", "L-100"),
        ("--assay", NASAL),
        ("--outcome", "positive"),
        ("--since", "2026-03-29"),
        ("--until", "2026-03-29"),
    ],
)
def test_no_part_is_asked_for_where_only_the_whole_is_given(
    command: Command, journal: Path, tmp_path: Path, part: tuple[str, str]
) -> None:
    """What is passed over in silence passes for having been heard."""
    for asked in (("unsent",), ("pdf", "--shift", "1", "--out", str(tmp_path / "out"))):
        said = command("export", *asked, *part, "--journal", journal, "--by", "op-1")
        assert (said.status, said.out) == (2, ""), asked
        assert "leave" in said.err, asked
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("option", [("--lot", NEAR), ("--assay", "nose")])
@pytest.mark.parametrize("form", [(), ("--json",)])
def test_figures_of_what_nobody_has_heard_of_are_refused(
    command: Command, journal: Path, option: tuple[str, str], form: tuple[str, ...]
) -> None:
    """Rates of nothing are no rates; but the look is on record, as any."""
    said = command("figures", *option, *form, "--journal", journal, "--by", "op-1")
    assert (said.status, said.out) == (2, "")
    assert said.err.startswith(f"{option[0]} {option[1]}: no ")


def test_who_may_not_look_is_told_of_no_lot(command: Command, tmp_path: Path) -> None:
    """Which lots a bay has is said to whoever may see its figures."""
    journal = PastBay(roles=True).put(tmp_path / "bay.journal")
    said = command("figures", "--lot", NEAR, "--journal", journal, "--by", "op-2")
    assert said.status == 2
    assert "L-100" not in said.err


def test_figures_of_days_without_work_say_so(command: Command, journal: Path) -> None:
    """A known lot on a day on which nothing was done."""
    days = ("--since", "2030-01-01", "--journal", journal, "--by", "op-1")
    assert "Nothing that ended is on record" in command("figures", "--lot", "L-100", *days).out
    out = journal.with_name("report.html")
    assert "Nothing that ended is on record" in command("quality", "--out", out, *days).out


def test_a_list_of_all_is_not_narrowed_by_what_is_of_one(command: Command, journal: Path) -> None:
    """Whoever names a cartridge beside --list means that one, and would be shown all."""
    for given in (("C2",), ("--person", "P-001"), ("--to", "person")):
        said = command("tell", "--list", *given, "--journal", journal)
        assert (said.status, said.out) == (2, ""), given
        assert "--list says all that is to be told" in said.err, given


def test_slips_of_a_day_without_people_say_that_nobody_was_tested(
    command: Command, tmp_path: Path
) -> None:
    """Nothing is printed, and it is said why."""
    bay = PastBay()
    del bay.events[2:]
    journal = bay.put(tmp_path / "bay.journal")
    said = command("slip", "--today", "--journal", journal)
    assert (said.status, said.out) == (2, "")
    assert "Nobody has been tested today" in said.err


def test_a_program_is_told_too_that_nothing_of_a_story_is_on_record(
    command: Command, journal: Path
) -> None:
    """Its lines stay JSON, so it is said beside them."""
    at = ("--lot", "L-100", "--day", "2030-01-01", "--journal", journal, "--by", "op-1", "--json")
    said = command("trace", *at)
    assert (said.status, said.out) == (0, "")
    assert said.err == "Nothing of that is on record.\n"

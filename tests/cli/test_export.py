"""`export`: results leave as files, and each export is on record."""

from __future__ import annotations

import csv
import hashlib
import json
import stat
from typing import TYPE_CHECKING

import pypdf
import pytest

from cli.conftest import NASAL
from cli.export_bench import laid_down, with_short_assay
from readbell.core.exports.events import ResultsExported

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command, Reading, Start

HOUSEHOLD = "demo_scenarios/household_of_six.toml"


@pytest.fixture
def practice(command: Command, tmp_path: Path) -> Path:
    """A journal of practice with six results."""
    path = tmp_path / "day.journal"
    assert command("rehearse", HOUSEHOLD, "--unattended", "--journal", path).status == 0
    return path


@pytest.fixture
def short_assay(tmp_path: Path) -> str:
    """The id of an assay that may be read soon, and for long enough on a busy computer."""
    return with_short_assay(tmp_path)


@pytest.fixture
def live(start_bay: Start, tmp_path: Path, short_assay: str) -> Path:
    """A live bay with one result that has yet to leave as FHIR, laid down again."""
    return laid_down(start_bay, tmp_path, short_assay)


@pytest.mark.parametrize("form", ["csv", "jsonl", "fhir", "hl7", "pdf"])
def test_each_form_leaves_as_a_file_of_its_owners_alone_and_is_on_record(
    command: Command, practice: Path, tmp_path: Path, events_in: Reading, form: str
) -> None:
    """What left, how much of it, and the digest of the very bytes."""
    out = tmp_path / "out"
    said = command("export", form, "--journal", practice, "--out", out)
    assert (said.status, said.err) == (0, "")
    assert "REHEARSAL" in said.out
    assert stat.S_IMODE(out.stat().st_mode) == 0o600
    (event,) = (each for each in events_in(practice) if isinstance(each, ResultsExported))
    assert event.digest == hashlib.sha256(out.read_bytes()).hexdigest()
    assert event.digest in said.out
    assert event.where is not None
    assert event.where.value == str(out)
    assert len(event.results) == (0 if form in ("jsonl", "pdf") else 6)
    assert command("verify", "--journal", practice).status == 0


def test_each_form_says_what_it_is_made_of(
    command: Command, practice: Path, tmp_path: Path
) -> None:
    """Six people, six results; and all of it practice."""
    for form in ("csv", "jsonl", "fhir", "hl7", "pdf"):
        command("export", form, "--journal", practice, "--out", tmp_path / form)
    with (tmp_path / "csv").open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert [row["outcome"] for row in rows].count("positive") == 2
    assert {row["mode"] for row in rows} == {"rehearsal"}
    bundle = json.loads((tmp_path / "fhir").read_text("utf-8"))
    assert bundle["meta"]["security"][0]["code"] == "HTEST"
    batch = (tmp_path / "hl7").read_bytes().decode()
    assert batch.count("\rMSH|") == 6
    assert batch.endswith("\rBTS|6\rFTS|1\r")
    lines = (tmp_path / "jsonl").read_text("utf-8").split("\n")[:-1]
    assert [json.loads(each)["seq"] for each in lines] == list(range(1, len(lines) + 1))
    pages = pypdf.PdfReader(tmp_path / "pdf").pages
    text = "\n".join(page.extract_text() for page in pages)
    assert "REHEARSAL" in text
    assert "C6" in text
    assert "HQ-04" not in text


@pytest.mark.parametrize(
    ("options", "count"),
    [
        (("--outcome", "positive"), 2),
        (("--outcome", "positive", "--outcome", "negative"), 6),
        (("--lot", "L-2207"), 6),
        (("--assay", NASAL), 6),
        (("--since", "2026-11-03", "--until", "2026-11-03"), 6),
        (("--since", "2026-11-04"), 0),
        (("--until", "2026-11-02"), 0),
    ],
)
def test_only_what_was_asked_for_leaves(
    command: Command, practice: Path, tmp_path: Path, options: tuple[str, ...], count: int
) -> None:
    """By day, lot, assay and outcome."""
    for form in ("csv", "fhir"):
        out = tmp_path / f"out.{form}"
        said = command("export", form, "--journal", practice, "--out", out, "--json", *options)
        assert said.status == 0
        assert json.loads(said.out)["count"] == count


def test_an_export_by_a_stranger_leaves_nothing(
    command: Command, live: Path, tmp_path: Path
) -> None:
    """It is refused before a byte is written."""
    out = tmp_path / "out"
    said = command("export", "csv", "--journal", live, "--out", out, "--by", "op-9")
    assert said.status == 2
    assert "op-9" in said.err
    assert not out.exists()


@pytest.mark.parametrize(
    ("arguments", "fault"),
    [
        (("csv",), "say where to"),
        (("csv", "--out", "{out}", "--since", "tomorrow"), "is no day: write it as"),
        (("csv", "--out", "{out}", "--since", "2026-02-02", "--until", "2026-02-01"), "is before"),
        (("csv", "--out", "{out}", "--outcome", "withheld"), "say one of positive"),
        (("jsonl", "--out", "{out}", "--lot", "L-1"), "the whole record"),
        (("pdf", "--out", "{out}", "--unsent"), "goes with csv, fhir, hl7"),
        (("fhir", "--out", "{out}", "--shift", "1"), "--shift goes with pdf"),
        (("pdf", "--out", "{out}", "--shift", "1"), "no shift is on record, so no day sheet"),
        (("csv", "--out", "{journal}"), "something stands there already"),
        (("csv", "--out", "{out}/none/out"), "name another place"),
    ],
)
def test_what_cannot_be_is_said_in_one_sentence(
    command: Command, practice: Path, tmp_path: Path, arguments: tuple[str, ...], fault: str
) -> None:
    """And nothing is written or recorded."""
    before = practice.read_bytes() if "{journal}" in arguments else None
    filled = [each.format(out=tmp_path / "out", journal=practice) for each in arguments]
    said = command("export", *filled, "--journal", practice)
    assert said.status == 2
    assert fault in said.err
    assert said.err.count("\n") == 1
    assert not (tmp_path / "out").exists()
    assert before is None or practice.exists()


def test_where_there_is_no_journal_that_is_said(command: Command, tmp_path: Path) -> None:
    """And none is made."""
    said = command("export", "csv", "--journal", tmp_path / "none", "--out", tmp_path / "out")
    assert said.status == 2
    assert "there is no journal" in said.err
    assert list(tmp_path.glob("none*")) == []

"""A household is rehearsed, everything is exported from its journal, and each file is judged.

By fhirkit-rs (FHIR R4), fhir.resources (R4B), hl7apy (HL7 2.5.1, strict), pandas (the
table), hashlib (the chain of the record) and pypdf (the pages); none of them knows readbell.
Run it by itself, to see that: `.venv/bin/pytest tests/outside/test_exports_of_a_day.py`.
"""

from __future__ import annotations

import hashlib
import json
from typing import TYPE_CHECKING

import fhirkit
import pandas
import pypdf
import pytest
from fhir.resources.R4B import get_fhir_model_class
from hl7apy.consts import VALIDATION_LEVEL
from hl7apy.parser import parse_message

from readbell.cli.main import main

if TYPE_CHECKING:
    from pathlib import Path

SCENARIOS = (
    "household_of_six",
    "invalid_and_repeat",
    "missed_window",
    "lot_called_back",
)
FORMS = ("csv", "jsonl", "fhir", "hl7", "pdf")


@pytest.fixture(scope="module", params=SCENARIOS)
def day(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the journal of one scenario and all that was exported from it."""
    folder: Path = tmp_path_factory.mktemp("day")
    journal = folder / "day.journal"
    scenario = f"demo_scenarios/{request.param}.toml"
    with pytest.MonkeyPatch.context() as own:
        for name in ("DATA", "STATE", "CACHE", "CONFIG"):
            own.setenv(f"XDG_{name}_HOME", str(folder / name))
        assert main(["rehearse", scenario, "--unattended", "--journal", str(journal)]) == 0
        for form in FORMS:
            out = str(folder / form)
            assert main(["export", form, "--journal", str(journal), "--out", out]) == 0
    return folder


def test_the_bundle_is_fhir_r4_and_r4b(day: Path) -> None:
    """Not an issue is found, and every result of the table has its report."""
    text = (day / "fhir").read_text("utf-8")
    assert fhirkit.validate(text) == []
    get_fhir_model_class("Bundle").model_validate_json(text)
    entries = json.loads(text).get("entry", ())
    kinds = [each["resource"]["resourceType"] for each in entries]
    table = pandas.read_csv(day / "csv", dtype=str, keep_default_na=False)
    # What waits for a supervisor has a row and leaves no report.
    told = table[(table["of_visit"] == "yes") & (table["outcome"] != "")]
    assert kinds.count("DiagnosticReport") >= told["result_id"].nunique()
    assert kinds.count("Patient") <= kinds.count("DiagnosticReport")


def test_the_batch_is_of_valid_messages(day: Path) -> None:
    """As many as its last segment says, each with an id of its own."""
    text = (day / "hl7").read_bytes().decode()
    messages = [f"MSH{each}" for each in text.partition("\rBTS|")[0].split("\rMSH")[1:]]
    assert text.endswith(f"\rBTS|{len(messages)}\rFTS|1\r")
    ids = set()
    for each in messages:
        found = parse_message(each, validation_level=VALIDATION_LEVEL.STRICT, find_groups=True)
        assert found.validate()
        assert found.msh.msh_11.to_er7() == "T"
        ids.add(found.msh.msh_10.to_er7())
    assert len(ids) == len(messages)


def test_the_table_is_read_by_a_spreadsheets_reader(day: Path) -> None:
    """Every row whole, every time with its offset, and the results of the bundle among them."""
    table = pandas.read_csv(day / "csv", dtype=str, keep_default_na=False)
    assert not table.empty
    assert set(table["mode"]) == {"rehearsal"}
    assert not table.duplicated(["result_id", "analyte"]).any()
    begun = pandas.to_datetime(table["begun"], utc=True)
    applied = pandas.to_datetime(table["applied"][table["applied"] != ""], utc=True)
    assert (applied > begun[applied.index]).all()
    bundle = json.loads((day / "fhir").read_text("utf-8"))
    reports = {
        each["fullUrl"].removeprefix("urn:uuid:")
        for each in bundle.get("entry", ())
        if each["resource"]["resourceType"] == "DiagnosticReport"
    }
    assert reports <= set(table["result_id"])


def test_the_record_can_be_checked_by_anybody_with_sha256(day: Path) -> None:
    """The head of it is what `verify` prints, one export earlier."""
    hashed = bytes(32)
    with (day / "jsonl").open(encoding="utf-8", newline="\n") as file:
        for line in file:
            said = json.loads(line)
            body = json.dumps(
                said["body"], sort_keys=True, separators=(",", ":"), ensure_ascii=False
            )
            hashed = hashlib.sha256(hashed + body.encode()).digest()
            assert hashed.hex() == said["hash"]
    assert main(["verify", "--journal", str(day / "day.journal"), "--head", hashed.hex()]) == 0


def test_the_pages_are_read_back_and_name_nobody(day: Path) -> None:
    """They say that they are of practice, on each of them."""
    pages = [page.extract_text() for page in pypdf.PdfReader(day / "pdf").pages]
    assert all("REHEARSAL" in each for each in pages)
    table = pandas.read_csv(day / "csv", dtype=str, keep_default_na=False)
    text = "\n".join(pages)
    assert all(label in text for label in table["cartridge"])
    assert not any(person in text for person in table["patient_id"])

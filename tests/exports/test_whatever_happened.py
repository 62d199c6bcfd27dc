"""Whatever happened at a bench, what leaves of it is whole, and says no more than may be told."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from datetime import UTC
from typing import TYPE_CHECKING, Any

from hypothesis import given, settings

from core.any_acts import BENCH, PLANS, Plan, folded, record
from exports.reports import origin
from exports.test_fhir import TABLES, every
from exports.test_hl7 import TABLE_0085, TABLE_0123, segments
from readbell.bay.exporting import Exporting
from readbell.core.board.results import result_called
from readbell.core.exports.events import EVERYTHING
from readbell.core.policy.sending import ReportFormat
from readbell.core.results.result import is_reportable
from readbell.exports.csv_table import header, rows_of
from readbell.exports.fhir import bundle
from readbell.exports.hl7 import batch

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.exports.report import Report


def leaving(board: Board, form: ReportFormat) -> list[Report]:
    """What leaves of a bench in a form."""
    exporting = Exporting(board=board, zone=UTC, form=form, choice=EVERYTHING)
    return [each for each in exporting.reports(exporting.keys()) if each is not None]


@given(PLANS)
@settings(max_examples=60)
def test_what_leaves_is_whole_and_says_what_may_be_told(plan: Plan) -> None:
    """Law: an outcome leaves if and only if it may be told, and everything named is there."""
    board = folded(BENCH, record(plan))
    for report in leaving(board, ReportFormat.CSV):
        result = result_called(board, report.id)
        assert result is not None
        assert (report.outcome is not None) == (
            is_reportable(result) and result.outcome is not None
        )
    text = header() + "".join(
        rows for rows, _ in rows_of(origin(), leaving(board, ReportFormat.CSV))
    )
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    assert all(
        row["status"] in ("final", "preliminary", "amended") for row in rows if row["outcome"]
    )
    reports = leaving(board, ReportFormat.FHIR)
    found: dict[str, Any] = json.loads("".join(bundle(origin(), reports)))
    there = [each["fullUrl"] for each in found.get("entry", ())]
    assert len(set(there)) == len(there)
    assert set(every(found, "reference")) <= set(there)
    kinds = [each["resource"]["resourceType"] for each in found.get("entry", ())]
    assert kinds.count("DiagnosticReport") == len(reports)
    for each in found.get("entry", ()):
        if each["resource"]["resourceType"] in ("Observation", "DiagnosticReport"):
            assert each["resource"]["status"] in TABLES["Observation.status"]
            assert each["resource"]["issued"].endswith("+00:00")
    for each in segments("".join(batch(origin(), leaving(board, ReportFormat.HL7)))):
        if each[0] == "OBX":
            assert each[11] in TABLE_0085
        if each[0] == "OBR":
            assert each[25] in TABLE_0123


@given(PLANS)
@settings(max_examples=30)
def test_it_leaves_with_the_same_bytes_however_often(plan: Plan) -> None:
    """Law: nothing of this moment or this computer is in it but when the file was made."""
    board = folded(BENCH, record(plan))
    for form, made in ((ReportFormat.FHIR, bundle), (ReportFormat.HL7, batch)):
        once = "".join(made(origin(), leaving(board, form)))
        assert "".join(made(replace(origin()), leaving(board, form))) == once

"""Results as a table for spreadsheets: a row for each analyte (RFC 4180, UTF-8).

A spreadsheet takes a field that begins with one of a few signs for a formula, and runs
it. So an apostrophe is put before such a field (OWASP, "CSV Injection"; CWE-1236), and
the last column names the columns in which that was done: taken off there, all is as it was.
"""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from readbell.exports.report import Origin, Report, When

COLUMNS = (
    "mode",
    "bay",
    "result_id",
    "version",
    "status",
    "of_visit",
    "cartridge",
    "repeat_of",
    "patient_id",
    "assay",
    "analyte",
    "line",
    "outcome",
    "lot",
    "lot_expires",
    "specimen",
    "begun",
    "collected",
    "applied",
    "read",
    "times_stated",
    "read_by",
    "deviations",
    "notes",
    "apostrophe_before",
)
FORMULA = frozenset("=+-@\t\r\n\0|\uff1d\uff0b\uff0d\uff20")
"""Signs that a spreadsheet may take for the beginning of a formula, wide ones as well."""


def header() -> str:
    """Return the first row."""
    return _row(COLUMNS)


def rows_of(origin: Origin, reports: Iterable[Report]) -> Iterator[tuple[str, int]]:
    """Yield the rows of each report, one for each analyte, and in how many fields a sign was put."""
    for report in reports:
        rows = [_guarded(fields) for fields in _fields(origin, report)]
        signs = sum(len(each[-1].split()) for each in rows)
        yield "".join(map(_row, rows)), signs


def _fields(origin: Origin, report: Report) -> Iterator[tuple[str, ...]]:
    stated = any(each is not None and each.stated for each in (report.collected, report.applied))
    expires = report.kit.expires
    for line in report.lines:
        yield (
            "rehearsal" if origin.rehearsal else "live",
            origin.bay,
            str(origin.uuid("result", report.id)),
            str(report.left.version),
            str(report.status),
            "yes" if report.is_of_visit else "no",
            report.label,
            report.repeat_of or "",
            report.patient.id or "",
            report.assay_id,
            line.name,
            line.mark,
            "" if line.outcome is None else str(line.outcome),
            report.kit.lot,
            "" if expires is None else expires.isoformat(),
            report.specimen,
            report.begun.isoformat(timespec="milliseconds"),
            _instant(report.collected),
            _instant(report.applied),
            "" if report.read is None else report.read.isoformat(timespec="milliseconds"),
            "yes" if stated else "no",
            "" if report.reader is None else report.reader.id or "",
            " ".join(report.deviations),
            " ".join(report.notes),
        )


def _instant(when: When | None) -> str:
    return "" if when is None else when.said.isoformat(timespec="milliseconds")


def is_formula(field: str) -> bool:
    """Say whether a spreadsheet might run `field`; blanks before it may be cut off."""
    return bool(field) and (field[0] in FORMULA or field.lstrip()[:1] in FORMULA)


def _guarded(fields: Sequence[str]) -> tuple[str, ...]:
    changed = [name for name, each in zip(COLUMNS, fields, strict=False) if is_formula(each)]
    guarded = (f"'{each}" if is_formula(each) else each for each in fields)
    return (*guarded, " ".join(changed))


def _row(fields: Sequence[str]) -> str:
    written = io.StringIO()
    # Each field in quotes: else a semicolon in one would begin another where that parts them.
    csv.writer(written, quoting=csv.QUOTE_ALL, lineterminator="\r\n").writerow(fields)
    return written.getvalue()

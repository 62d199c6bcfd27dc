"""A file of results, or of the whole record, written a piece at a time."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterator
    from datetime import date
    from pathlib import Path

    from readbell.cli.export_session import Session
    from readbell.cli.progress import Progress
    from readbell.core.exports.events import Choice, ExportedResult
    from readbell.exports.out_file import OutFile
    from readbell.exports.report import Origin, Report


@dataclass(slots=True, kw_only=True)
class Done:
    """What an export came to."""

    count: int = 0
    results: list[ExportedResult] = field(default_factory=list)
    texts_alone: dict[str, None] = field(default_factory=dict)
    """Analytes without a verified code."""
    apostrophes: int = 0


def write(
    options: argparse.Namespace,
    path: Path,
    found: Session,
    origin: Origin,
    choice: Choice,
    out: OutFile,
    done: Done,
    progress: Progress,
) -> None:
    """Write the file, a piece at a time."""
    if options.what == "jsonl":
        for piece in _record(path, done, progress):
            out.write(piece)
        return
    if options.what == "pdf":
        out.write(_pages(options, path, found, origin, choice, done))
        return
    for piece in _pieces(
        options.what, origin, _reports(found, choice, options, done, progress), done
    ):
        out.write(piece)


def _reports(
    found: Session, choice: Choice, options: argparse.Namespace, done: Done, progress: Progress
) -> Iterator[Report]:
    from readbell.bay.exporting import Exporting
    from readbell.bay.site_time import time_zone
    from readbell.core.policy.sending import ReportFormat

    board = found.board
    assert board.founded is not None  # noqa: S101  # a record begins with it
    exporting = Exporting(
        board=board,
        zone=time_zone(board.founded.timezone),
        form=ReportFormat(options.what),
        choice=choice,
    )
    keys = exporting.keys()
    for place, report in enumerate(exporting.reports(keys), 1):
        progress.tell("writing", place, len(keys))
        if report is None:
            continue
        done.count += 1
        for each in (report, *report.earlier):
            if each.left.version:
                done.results.append(each.left)
        for line in report.lines:
            if line.loinc is None:
                done.texts_alone[f"{report.assay_id}: {line.name}"] = None
        yield report


def _pieces(what: str, origin: Origin, reports: Iterator[Report], done: Done) -> Iterator[str]:
    if what == "csv":
        from readbell.exports import csv_table

        yield csv_table.header()
        for rows, guarded in csv_table.rows_of(origin, reports):
            done.apostrophes += guarded
            yield rows
    elif what == "fhir":
        from readbell.exports.fhir import bundle

        yield from bundle(origin, reports)
    else:
        from readbell.exports.hl7 import batch

        yield from batch(origin, reports)


def _record(path: Path, done: Done, progress: Progress) -> Iterator[str]:
    """Yield the lines of the whole record as it stands, each hash checked on the way."""
    from contextlib import closing

    from readbell.assembly import old_journal
    from readbell.exports.record_lines import lines_of
    from readbell.journal.verify import chained

    with closing(old_journal(path)) as journal:
        end = journal.head().seq
        for line in lines_of(chained(journal), journal.private):
            done.count += 1
            progress.tell("writing", done.count, end)
            yield line


def _pages(
    options: argparse.Namespace,
    path: Path,
    found: Session,
    origin: Origin,
    choice: Choice,
    done: Done,
) -> bytes:
    """Return the day sheet of a shift, or where there are none the list of results."""
    from readbell.cli.daysheet import sheet_lines
    from readbell.cli.kept_shifts import open_kept
    from readbell.core.exports.events import EVERYTHING
    from readbell.reports.day_sheet_pdf import day_sheet_pdf
    from readbell.settings.settings_table import read_settings_table

    lines: list[str] = []
    with open_kept(path) as kept:
        wants_results = options.shift is None and (choice != EVERYTHING or not kept.shifts)
        if not wants_results:
            lines, done.count = sheet_lines(kept, options.shift)
    if wants_results:
        lines = list(_results(found, origin, choice, done))
    fonts = read_settings_table().fonts
    return day_sheet_pdf(lines, title=lines[0], rehearsal=origin.rehearsal, fonts=fonts)


def _results(found: Session, origin: Origin, choice: Choice, done: Done) -> Iterator[str]:
    from readbell.bay.exporting import Exporting
    from readbell.bay.site_time import time_zone
    from readbell.core.policy.sending import ReportFormat
    from readbell.phrases.export_words import CAUTIONS, say_row, say_title

    board = found.board
    assert board.founded is not None  # noqa: S101  # a record begins with it
    zone = time_zone(board.founded.timezone)
    exporting = Exporting(board=board, zone=zone, form=ReportFormat.CSV, choice=choice)
    yield say_title(origin.bay, choice.since, choice.until)
    yield ""
    day: date | None = None
    for report in exporting.reports(exporting.keys()):
        if report is None:
            continue
        done.count += 1
        if report.begun.date() != day:
            day = report.begun.date()
            yield f"{day}, times in {zone.key}"
        yield say_row(
            report.label,
            report.assay,
            [(line.name, line.says) for line in report.lines],
            lot=report.kit.lot,
            reader=None if report.reader is None else report.reader.id,
            read=report.read,
            of_visit=report.is_of_visit,
        )
    yield ""
    yield from CAUTIONS

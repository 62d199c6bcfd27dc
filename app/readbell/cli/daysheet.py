"""Write the day sheet of a shift: as text, as PDF, or as JSON."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from readbell.cli.correction_fields import correction_fields
from readbell.cli.exit_codes import DONE

if TYPE_CHECKING:
    import argparse

    from readbell.cli.kept_shifts import Kept
    from readbell.core.board.board import Board
    from readbell.core.board.day_sheet import DaySheet
    from readbell.journal.shifts_kept import ShiftAsItStood
    from readbell.phrases.clock_time import ClockFace


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("daysheet", help=__doc__, description=__doc__)
    parser.add_argument("--shift", type=int, metavar="N", help="default: the last one")
    parser.add_argument("--pdf", type=Path, metavar="FILE", help="write it there as well")
    parser.add_argument("--journal", type=Path, metavar="FILE", help="default: this computer's own")
    parser.add_argument("--json", action="store_true", help="one JSON object on standard output")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Write the sheet."""
    from readbell.cli.kept_shifts import open_kept
    from readbell.cli.spelt_out import spelt_out
    from readbell.core.board.day_sheet import make_day_sheet
    from readbell.core.board.events import Mode
    from readbell.phrases.day_sheet_words import day_sheet_lines

    with open_kept(options.journal) as found:
        stood, face = _as_it_stood(found, options.shift), found.face
    kept = stood.kept
    sheet = make_day_sheet(stood.board, kept.shift, stood.events, kept.signed)
    lines = list(day_sheet_lines(sheet, stood.board, face))
    if options.pdf is not None:
        founded = stood.board.founded
        rehearsal = founded is not None and founded.mode is Mode.REHEARSAL
        _write_pdf(options.pdf, lines, rehearsal=rehearsal)
    if options.json:
        fields = _fields(sheet, stood.board, face) | {
            "ends_with": {"sequence": stood.head.seq, "head": stood.head.hex},
            "lines": lines,
        }
        print(json.dumps(fields, ensure_ascii=False))
    else:
        for each in lines:
            print(spelt_out(each))
    sys.stdout.flush()
    return DONE


def sheet_lines(found: Kept, shift: int | None) -> tuple[list[str], int]:
    """Return the sheet of a shift line by line, and of how many cartridges; None: the last one.

    Raises:
        WrongFileError: there is no such shift.
    """
    from readbell.core.board.day_sheet import make_day_sheet
    from readbell.phrases.day_sheet_words import day_sheet_lines

    stood = _as_it_stood(found, shift)
    sheet = make_day_sheet(stood.board, stood.kept.shift, stood.events, stood.kept.signed)
    return list(day_sheet_lines(sheet, stood.board, found.face)), len(sheet.cartridges)


def _as_it_stood(found: Kept, shift: int | None) -> ShiftAsItStood:
    from readbell.journal.shifts_kept import as_it_stood
    from readbell.toml_tables import WrongFileError

    kept = found.shifts.get(max(found.shifts, default=0) if shift is None else shift)
    if kept is None and not found.shifts:
        msg = (
            'no shift is on record, so no day sheet: work in shifts with shifts = "on" under [policy], '
            "or list the results with readbell export pdf --out FILE"
        )
        raise WrongFileError([msg])
    if kept is None:
        msg = (
            f"--shift {shift}: no such shift is on record: readbell shift list names those that are"
        )
        raise WrongFileError([msg])
    return as_it_stood(found.journal, kept)


def _write_pdf(path: Path, lines: list[str], *, rehearsal: bool) -> None:
    """Write the pages; never over a file that stands there.

    Raises:
        NoPaperError: what draws PDF is not installed.
        WrongFileError: it cannot be written there.
    """
    from readbell.exports.out_file import OutFile
    from readbell.reports.day_sheet_pdf import day_sheet_pdf
    from readbell.settings.settings_table import read_settings_table

    fonts = read_settings_table().fonts
    made = day_sheet_pdf(lines, title=lines[0], rehearsal=rehearsal, fonts=fonts)
    with OutFile(path) as out:
        out.write(made)


def _taken_back(sheet: DaySheet, board: Board, face: ClockFace) -> list[dict[str, Any]]:
    return [
        {
            "at": face.local(each.at).isoformat(),
            "cartridge": cartridge.label,
            "steps": list(each.steps),
            "reason": str(each.reason),
            "by": board.name(each.by),
        }
        for cartridge, each in sheet.taken_back
    ]


def _corrected(sheet: DaySheet, board: Board, face: ClockFace) -> list[dict[str, Any]]:
    return [
        {
            "at": face.local(each.at).isoformat(),
            "lot": each.number,
            **correction_fields(each, board),
            "begun_after": [
                found.label
                for key in each.cartridges
                if (found := board.cartridge(key)) is not None
            ],
        }
        for each in sheet.corrected
    ]


def _fields(sheet: DaySheet, board: Board, face: ClockFace) -> dict[str, Any]:
    opened, closed, signed = sheet.shift.opened, sheet.shift.closed, sheet.signed
    return {
        "shift": sheet.shift.number,
        "opened": face.local(opened.at).isoformat(),
        "checks": [
            {"item": str(each.item), "state": str(each.state), "about": list(each.about)}
            for each in opened.checks
        ],
        "closed": None if closed is None else face.local(closed.at).isoformat(),
        "left": []
        if closed is None
        else [{"kind": str(each.kind), "about": list(each.about)} for each in closed.left],
        "operators": [board.name(each) for each in sheet.operators],
        "cartridges": [
            {
                "cartridge": each.label,
                "kind": str(each.labelled.subject_kind),
                "stage": str(each.stage),
                "outcome": None if each.outcome is None else str(each.outcome),
                "held": [str(reason) for reason in each.held],
            }
            for each in sheet.cartridges
        ],
        "lots": [
            {
                "lot": each.lot,
                "patients": each.patients,
                "repeats": each.repeats,
                "samples": each.samples,
                "voids": each.voids,
                "bad_devices": each.bad,
                "lost": each.lost,
                "received": each.received,
                "left": each.left,
                "counted": each.was_counted,
                "difference": each.found,
            }
            for each in sheet.lots
        ],
        "near_misses": {str(code): count for code, count in sheet.near_misses},
        "taken_back": _taken_back(sheet, board, face),
        "lots_corrected": _corrected(sheet, board, face),
        "signed": None
        if signed is None
        else {
            "at": face.local(signed.at).isoformat(),
            "by": board.name(signed.by),
            "own_review": signed.own,
            "sequence": signed.sequence,
            "head": signed.head,
        },
    }

"""Write results to a file for others: csv, fhir or hl7; the whole record as jsonl; pages as pdf.

`unsent` says what has yet to leave in the forms that the site expects. Every export is
itself on record: what left, when, to where, and the file's digest. While another
program runs the bay it enters the export within seconds.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import DONE

if TYPE_CHECKING:
    import argparse

    from readbell.cli.export_session import Session
    from readbell.cli.export_written import Done
    from readbell.core.exports.acts import NoteExport
    from readbell.core.exports.events import Choice
    from readbell.core.policy.sending import ReportFormat
    from readbell.exports.report import Names, Origin

UNSENT = "unsent"
WHAT = ("csv", "jsonl", "fhir", "hl7", "pdf", UNSENT)


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser(
        "export", help="write results to a file: csv, jsonl, fhir, hl7, pdf", description=__doc__
    )
    parser.add_argument("what", choices=WHAT, metavar="|".join(WHAT))
    parser.add_argument("--journal", type=Path, metavar="FILE", help="default: this computer's own")
    parser.add_argument("--out", type=Path, metavar="FILE", help="a new file")
    parser.add_argument(
        "--by", metavar="OPERATOR", help="who asks; a supervisor, where there are roles"
    )
    parser.add_argument(
        "--unsent", action="store_true", help="only what has not left in this form as it now stands"
    )
    parser.add_argument("--since", metavar="DAY", help="begun on this day or later: 2026-03-29")
    parser.add_argument("--until", metavar="DAY", help="begun on this day or sooner")
    for name, help_ in (
        ("lot", "of this lot; may be said again"),
        ("assay", "of the assay with this id; may be said again"),
        ("outcome", "positive, negative or invalid; may be said again"),
    ):
        parser.add_argument(f"--{name}", action="append", default=[], help=help_)
    parser.add_argument("--shift", type=int, metavar="N", help="pdf: the day sheet of this shift")
    parser.add_argument("--json", action="store_true", help="say what was done as one JSON object")
    parser.set_defaults(run=run)


class _NothingToSend(Exception):  # noqa: N818  # no fault: it ends the writing of a file
    """Only what is unsent was asked for, and nothing is."""


def run(options: argparse.Namespace) -> int:
    """Export, and say what left."""
    from readbell.cli.export_asked import asked_of
    from readbell.cli.export_session import session
    from readbell.cli.known_here import refuse_unknown
    from readbell.cli.private_memory import keep_memory_private
    from readbell.cli.progress import Progress
    from readbell.journal.errors import JournalError
    from readbell.settings.places import default_journal

    keep_memory_private()
    path: Path = options.journal or default_journal()
    if not path.is_file():
        msg = f"{path}: there is no journal: check the name"
        raise JournalError(msg)
    if options.what == UNSENT:
        _refuse_choice(options)
        return _say_unsent(path, as_json=options.json)
    form, choice = asked_of(options)
    names = _names()
    from readbell.cli.export_written import Done, write
    from readbell.exports.out_file import OutFile

    if options.unsent and _is_soon_seen_to_be_none(path, form, choice):
        return _say_none(options, form)

    with Progress() as progress:

        def tell(done: int, of: int) -> None:
            progress.tell("reading the record", done, of)

        with session(path, options.by, tell) as found:
            act = _act(options.by, form, choice, options.out)
            found.judge(act)
            refuse_unknown(found.board, lots=choice.lots, assays=choice.assays)
            done = Done()
            try:
                with OutFile(options.out) as out:
                    origin = _origin(found, names)
                    write(options, path, found, origin, choice, out, done, progress)
                    if options.unsent and not done.count:
                        raise _NothingToSend  # noqa: TRY301  # takes the empty file away as well
            except _NothingToSend:
                return _say_none(options, form)
            on_record = found.note(_with(act, done, out.digest))
    _say(options, form, done, out.digest, rehearsal=origin.rehearsal, on_record=on_record)
    return DONE


def _refuse_choice(options: argparse.Namespace) -> None:
    """Refuse to be asked for a part of what is unsent: the answer would pass for all of it.

    Raises:
        WrongFileError: a part was asked for.
    """
    from readbell.toml_tables import WrongFileError

    parts = ("since", "until", "lot", "assay", "outcome", "shift")
    named = [f"--{each}" for each in parts if getattr(options, each) not in (None, [])]
    if named:
        msg = f"export unsent says all that has yet to leave: leave {', '.join(named)} out"
        raise WrongFileError([msg])


def _is_soon_seen_to_be_none(path: Path, form: ReportFormat, choice: Choice) -> bool:
    """Say whether it is seen without a long look that nothing is unsent in this form.

    Something that asks every few minutes would else take the bay up each time for nothing.

    Raises:
        WrongFileError: a lot or an assay was asked for that is not known here.
    """
    from readbell.cli.export_session import board_to_leave
    from readbell.cli.known_here import refuse_unknown

    board = board_to_leave(path, lambda _done, _of: None)
    refuse_unknown(board, lots=choice.lots, assays=choice.assays)
    return form in board.policy.reports_expected and not board.unsent


def _say_none(options: argparse.Namespace, form: ReportFormat) -> int:
    from readbell.phrases.export_words import say_nothing_unsent

    nothing = {"format": str(form), "out": None, "count": 0}
    print(json.dumps(nothing) if options.json else say_nothing_unsent(form))
    return DONE


def _names() -> Names:
    """Return what the site calls things outside.

    Raises:
        WrongFileError: its settings are wrong.
    """
    from readbell.exports.report import Names
    from readbell.settings.settings_table import read_settings_table

    return Names(**read_settings_table().export.model_dump())


def _act(by: str | None, form: ReportFormat, choice: Choice, out: Path) -> NoteExport:
    from readbell.bay.identifiers import RandomIdentifiers
    from readbell.core.exports.acts import NoteExport
    from readbell.core.private import Private

    new = RandomIdentifiers().new
    where = Private(key=new("private"), salt=new("salt"), value=str(out.absolute()))
    return NoteExport(
        by=by, export=new("export"), format=form, count=0, digest="", where=where, choice=choice
    )


def _with(act: NoteExport, done: Done, digest: str) -> NoteExport:
    from dataclasses import replace

    return replace(act, count=done.count, digest=digest, results=tuple(done.results))


def _origin(found: Session, names: Names) -> Origin:
    from readbell.bay.site_time import site_time, time_zone
    from readbell.clock.system import SystemClock
    from readbell.core.board.events import Mode
    from readbell.exports.report import Origin, namespace_of
    from readbell.settings.version import program_version

    founded = found.board.founded
    assert founded is not None  # noqa: S101  # a record begins with it
    return Origin(
        bay=founded.bay,
        namespace=namespace_of(found.first),
        rehearsal=founded.mode is Mode.REHEARSAL,
        made=site_time(SystemClock().read().wall, time_zone(founded.timezone)),
        program=program_version(),
        names=names,
    )


def _say(
    options: argparse.Namespace,
    form: ReportFormat,
    done: Done,
    digest: str,
    *,
    rehearsal: bool,
    on_record: bool,
) -> None:
    from readbell.cli.spelt_out import spelt_out
    from readbell.phrases.export_words import say_exported

    if options.json:
        print(
            json.dumps(
                {
                    "format": str(form),
                    "out": str(options.out),
                    "count": done.count,
                    "sha256": digest,
                    "rehearsal": rehearsal,
                    "on_record": on_record,
                    "texts_alone": list(done.texts_alone),
                    "apostrophes": done.apostrophes,
                },
                ensure_ascii=False,
            )
        )
    else:
        for each in say_exported(
            str(options.out),
            form,
            done.count,
            digest,
            rehearsal=rehearsal,
            on_record=on_record,
            texts_alone=() if options.what in ("csv", "jsonl", "pdf") else done.texts_alone,
            apostrophes=done.apostrophes,
        ):
            print(spelt_out(each))
    sys.stdout.flush()


def _say_unsent(path: Path, *, as_json: bool) -> int:
    """Say what has yet to leave, as the site expects; it is only looked at."""
    from readbell.cli.export_session import board_to_leave
    from readbell.cli.progress import Progress
    from readbell.cli.spelt_out import spelt_out
    from readbell.core.board.sending import unsent
    from readbell.phrases.export_words import say_none_unsent, say_unsent

    with Progress() as progress:
        board = board_to_leave(path, lambda at, of: progress.tell("reading the record", at, of))
    waiting = [(result, forms) for result, forms in unsent(board) if forms]
    expected = board.policy.reports_expected
    if as_json:
        print(
            json.dumps(
                {
                    "expected": [str(each) for each in expected],
                    "unsent": [
                        {
                            "cartridge": result.label,
                            "id": result.cartridge,
                            "status": str(result.status),
                            "version": result.version,
                            "forms": [str(each) for each in forms],
                        }
                        for result, forms in waiting
                    ],
                },
                ensure_ascii=False,
            )
        )
        return DONE
    if not waiting:
        print(say_none_unsent(expected))
    for result, forms in waiting:
        print(spelt_out(say_unsent(result, forms)))
    return DONE

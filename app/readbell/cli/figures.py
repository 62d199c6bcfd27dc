"""Say what the record adds up to: rates with their uncertainty, times, control samples, near misses.

Who looked is recorded first. Where there are roles it takes a supervisor.
"""

from __future__ import annotations

import argparse
import json
import shutil
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import DONE

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from readbell.cli.figures_asked import Shown
    from readbell.core.figures.table import Chosen
    from readbell.core.figures.view import By

EACH = ("day", "assay", "lot", "operator", "reader")
OWNER_ALONE = 0o700


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser(
        "figures", help="rates with their uncertainty, times, near misses", description=__doc__
    )
    parser.add_argument("--since", metavar="DAY", help="begun on this day or later: 2026-03-29")
    parser.add_argument("--until", metavar="DAY", help="begun on this day or sooner")
    parser.add_argument("--each", choices=EACH, help="what is told apart (default: day)")
    parser.add_argument("--assay", action="append", default=[], help="its id; may be said again")
    parser.add_argument("--lot", action="append", default=[], help="its number; may be said again")
    parser.add_argument("--csv", type=Path, metavar="FOLDER", help="every table, in a new folder")
    parser.add_argument("--by", metavar="OPERATOR", help="who looks; it is recorded")
    parser.add_argument("--operator", help=argparse.SUPPRESS)
    parser.add_argument("--ascii", action="store_true", help="pictures of plain signs")
    parser.add_argument("--journal", type=Path, metavar="FILE", help="default: this computer's own")
    parser.add_argument("--json", action="store_true", help="all of it as one JSON object")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Judge who asks, note it, add up, and say it."""
    from readbell.cli.figures_asked import ask_for_figures
    from readbell.core.figures.view import By

    each, who = _each_and_who(options)
    chosen, by = _chosen(options), By(each)
    ways = tuple(By) if options.json or options.csv else tuple({By.DAY, By.ASSAY, by})
    shown = ask_for_figures(options.journal, who, "--by OPERATOR", chosen, ways)
    if options.csv is not None:
        _write(options.csv, shown)
    if options.json:
        _print_json(shown, chosen)
    else:
        for line in _text(shown, chosen, by, plain=_plain(options)):
            print(line)
        if options.csv is not None:
            print(f"Every table is in {options.csv}.")
    sys.stdout.flush()
    return DONE


def _each_and_who(options: argparse.Namespace) -> tuple[str, str | None]:
    """Return what is told apart, and who looks.

    Once --by said the former here, and --operator who looks: whoever has that in a script still may.

    Raises:
        WrongFileError: two are named who look.
    """
    from readbell.toml_tables import WrongFileError

    if options.each is None and options.by in EACH:
        return options.by, options.operator
    if options.operator is not None and options.by is not None:
        raise WrongFileError(["--by and --operator both say who looks: leave --operator out"])
    return options.each or EACH[0], options.by or options.operator


def _chosen(options: argparse.Namespace) -> Chosen:
    """Return what was asked for.

    Raises:
        WrongFileError: a day is none, or the last one is before the first.
    """
    from readbell.cli.record_asked import the_days
    from readbell.core.figures.table import Chosen

    since, until = the_days(options.since, options.until)
    return Chosen(since=since, until=until, assays=tuple(options.assay), lots=tuple(options.lot))


def _print_json(shown: Shown, chosen: Chosen) -> None:
    from readbell.cli.figures_fields import figures_fields
    from readbell.cli.proposals import proposal_fields
    from readbell.cli.quality_fields import readers_fields
    from readbell.core.figures.view import By

    founded = shown.board.founded
    fields = {
        "bay": None if founded is None else founded.bay,
        "mode": None if founded is None else str(founded.mode),
        "since": chosen.since,
        "until": chosen.until,
        "assays": list(chosen.assays),
        "lots": list(chosen.lots),
        "proposals": [proposal_fields(each) for each in shown.watched.proposals],
        "readers": readers_fields(shown.figures.table.twice_by_assay(), shown.name),
    } | figures_fields(shown.figures, By, shown.name)
    print(json.dumps(fields, ensure_ascii=False))


def _write(folder: Path, shown: Shown) -> None:
    """Write every table into the new `folder`.

    Raises:
        WrongFileError: something stands there already, or it cannot be written.
    """
    from readbell.cli.figures_fields import figures_fields
    from readbell.cli.quality_fields import quality_fields
    from readbell.core.figures.view import By
    from readbell.exports.figures_csv import tables_of, watching_tables_of
    from readbell.exports.out_file import OutFile
    from readbell.toml_tables import WrongFileError

    try:
        folder.mkdir(mode=OWNER_ALONE)
    except FileExistsError:
        msg = f"{folder}: something stands there already: name a new folder"
        raise WrongFileError([msg]) from None
    except OSError as error:
        msg = f"{folder}: {error.strerror}: choose a place where you may write"
        raise WrongFileError([msg]) from None
    watching = quality_fields(shown.watched, shown.figures.table.twice_by_assay(), shown.name)
    counted = figures_fields(shown.figures, By, shown.name)
    for called, text in (*tables_of(counted), *watching_tables_of(watching)):
        with OutFile(folder / called) as out:
            out.write(text)


def _text(shown: Shown, chosen: Chosen, by: By, *, plain: bool) -> Iterator[str]:
    from textwrap import wrap

    from readbell.cli.figures_pictures import pictures
    from readbell.cli.proposals import proposal_lines
    from readbell.cli.spelt_out import spelt_out
    from readbell.core.board.events import Mode
    from readbell.core.figures.view import By
    from readbell.phrases import figures_words as words
    from readbell.phrases.quality_words import PROPOSED
    from readbell.phrases.readers_words import READERS, say_readers

    figures, name, width = shown.figures, shown.name, _width()
    founded, table = shown.board.founded, figures.table
    days = table.groups(By.DAY)
    yield spelt_out(words.say_title("" if founded is None else founded.bay, chosen, [*days]))
    if founded is not None and founded.mode is Mode.REHEARSAL:
        yield words.REHEARSAL
    yield from wrap(words.CAUTION, width)
    yield ""
    if shown.watched.proposals:
        yield from _part(PROPOSED, proposal_lines(shown))
    whole, groups = table.whole, table.groups(by)
    yield from _part(None, words.say_whole(figures, len(days)) if whole.total else [words.NOTHING])
    yield "Near misses"
    for line in words.say_near_misses(figures.near_misses, whole.tests, name):
        for each in wrap(line, width, subsequent_indent="    "):
            yield spelt_out(each.replace(words.HELD_TOGETHER, " "))
    yield ""
    yield from _part("Control samples", words.say_samples(figures.samples, name, width))
    if whole.total:
        yield from _part(words.RATES, words.say_rates(by, groups, name, width))
        yield from _part(words.TIMES, words.say_times(by, groups, name, width))
        yield from _part("How long it took in all", words.say_lengths(whole))
        twice = figures.table.twice_by_assay()
        if twice:
            yield from _part(READERS, say_readers(twice, name, width))
        for line in pictures(figures, by, name, width, plain=plain):
            yield spelt_out(line)


def _part(heading: str | None, lines: Iterable[str]) -> Iterator[str]:
    from readbell.cli.spelt_out import spelt_out

    if heading is not None:
        yield heading
    for line in lines:
        yield spelt_out(line)
    yield ""


def _width() -> int:
    return shutil.get_terminal_size((80, 24)).columns


def _plain(options: argparse.Namespace) -> bool:
    """Say whether the pictures are to be of plain signs: asked for, or nothing else can be written."""
    if options.ascii:
        return True
    try:
        "▇┤".encode(sys.stdout.encoding or "ascii")
    except UnicodeEncodeError:
        return True
    return False

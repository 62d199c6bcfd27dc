"""Make result slips: one page for each person, as text or as PDF."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import DONE, WRONG_INPUT

if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterator, Sequence
    from datetime import date

    from readbell.bay.glance import Glance
    from readbell.core.board.board import Board
    from readbell.core.board.on_slip import SlipOf
    from readbell.core.instant import Instant
    from readbell.phrases.slip_words import Slip
    from readbell.scenarios.line import Request
    from readbell.settings.settings_table import SettingsTable

READERS = ("person", "guardian", "other")
TOO_OLD = "is older than the running shift. A supervisor makes its slip, and says so with --by."
NOBODY = "Nobody has been tested today, so there is no slip: say whose, with --person or a label."
NO_SLIP = "No slip was made. What is noted above as told was not handed over: make it without --by."


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("slip", help=__doc__, description=__doc__)
    parser.add_argument("cartridge", nargs="*", help="labels: these tests alone")
    parser.add_argument(
        "--person", metavar="ID", help="everything of their last day; - asks for it"
    )
    parser.add_argument("--party", metavar="NAME", help="the same for each who came together")
    parser.add_argument("--today", action="store_true", help="the same for everybody of today")
    parser.add_argument("--to", choices=READERS, default="person", help="who reads it")
    parser.add_argument("--by", metavar="OPERATOR", help="note as well that it was handed over")
    made = parser.add_mutually_exclusive_group()
    made.add_argument("--pdf", type=Path, metavar="FILE", help="a new file, a page for each person")
    made.add_argument("--folder", type=Path, metavar="DIR", help="a PDF for each person there")
    parser.add_argument("--journal", type=Path, metavar="FILE", help="default: this computer's own")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Make the slips, and say of whom there is none and why."""
    from readbell.bay.slip_desk import in_words
    from readbell.cli.looking_on import look
    from readbell.core.results.telling import Hearer
    from readbell.settings.settings_table import read_settings_table

    _refuse_unclear(options)
    seen = look(options.journal)
    settings = read_settings_table()
    found = [*_found(options, seen)]
    if not found:
        print(NOBODY, file=sys.stderr)
    for words in _left_out(found, seen.board, options.to):
        print(words, file=sys.stderr)
    shown = [each for each in found if each.results]
    if not shown:
        return WRONG_INPUT
    to = Hearer(options.to)
    slips = [in_words(each, seen.board, seen.now, settings.slip, to) for each in shown]
    if options.pdf is None and options.folder is None:
        status = _note(options, shown)
        if status == DONE:
            _print(slips)
        return status
    return _as_pdf(options, shown, slips, settings)


def _refuse_unclear(options: argparse.Namespace) -> None:
    """Refuse to guess whose slips are meant.

    Raises:
        WrongFileError: nobody is named, or in two ways.
    """
    from readbell.toml_tables import WrongFileError

    ways = (options.cartridge, options.person, options.party, options.today)
    if sum(bool(each) for each in ways) != 1:
        msg = "say whose slips: labels of cartridges, or one of --person, --party and --today"
        raise WrongFileError([msg])


def _found(options: argparse.Namespace, seen: Glance) -> Iterator[SlipOf]:
    """Yield what goes on the slip of each person.

    Raises:
        WrongFileError: nobody is called what was given.
    """
    from readbell.bay.slip_desk import site_day
    from readbell.cli.bearers import to_be_told
    from readbell.core.board.on_slip import slip_of
    from readbell.core.board.staff import seen_back_to
    from readbell.core.results.telling import Hearer

    board, to = seen.board, Hearer(options.to)
    back_to = seen_back_to(board, options.by, seen.day_began)

    def day_of(at: Instant) -> date:
        return site_day(board, at)

    for label in options.cartridge:
        person, key = _whose(board, to_be_told(seen, label))
        yield slip_of(board, person, day_of, to=to, back_to=back_to, cartridge=key)
    if not options.cartridge:
        for person in _persons(options, seen):
            yield slip_of(board, person, day_of, to=to, back_to=back_to)


def _whose(board: Board, label: str) -> tuple[str, str]:
    """Return the key of the person that a label is of, and the opaque id behind it.

    Raises:
        WrongFileError: it is no patient's.
    """
    from readbell.core.board.layered import newest
    from readbell.core.board.subjects import is_patients
    from readbell.toml_tables import WrongFileError

    cartridge = board.labelled(label) or board.cartridge(label)
    if cartridge is not None and is_patients(cartridge):
        return cartridge.labelled.subject, cartridge.id
    for run in newest(board.paper_runs):
        if label in (run.label, run.run):
            return run.person, run.run
    raise WrongFileError([f"{label}: no patient's cartridge is called that: check the label"])


def _persons(options: argparse.Namespace, seen: Glance) -> Iterator[str]:
    from readbell.cli.record_asked import the_id
    from readbell.core.board.layered import newest
    from readbell.core.board.patients_today import patients_today
    from readbell.toml_tables import WrongFileError

    board = seen.board
    if options.today:
        for each in patients_today(board, seen.day_began):
            yield each.key
    elif options.person is not None:
        named = the_id(options.person)
        if named not in board.persons:
            raise WrongFileError(["nobody with this ID is registered here: check the ID"])
        yield board.persons[named]
    else:
        parties = (each for each in newest(board.parties) if board.name(each.key) == options.party)
        party = next(parties, None)
        if party is None:
            raise WrongFileError(["no party is called that here: check the name"])
        yield from party.persons


def _left_out(found: Sequence[SlipOf], board: Board, to: str) -> Iterator[str]:
    """Yield why something is on no slip, and whoever has none."""
    from readbell.cli.spelt_out import spelt_out
    from readbell.core.board.telling import why_not_heard, why_waits
    from readbell.core.results.telling import Hearer
    from readbell.phrases.telling_words import NOT_ALLOWED

    for each in found:
        for result in each.waiting:
            why = why_waits(result)
            yield spelt_out(NOT_ALLOWED[why or ""].format(cartridge=result.label))
        for result in each.kept_back:
            why = NOT_ALLOWED[why_not_heard(result, Hearer(to))]
            yield spelt_out(f"{result.label} is on no slip. {why}")
        for result in each.too_old:
            yield spelt_out(f"{result.label} {TOO_OLD}")
        if not (each.results or each.waiting or each.kept_back or each.too_old):
            yield spelt_out(f"{board.name(each.person) or 'erased'}: nothing was run. No slip.")


def _print(slips: Sequence[Slip]) -> None:
    from readbell.cli.spelt_out import spelt_out
    from readbell.phrases.slip_words import slip_lines

    for place, slip in enumerate(slips):
        if place:
            # A printer turns the page here: nobody's result on another's.
            print("\f", end="")
        for each in slip_lines(slip):
            print(spelt_out(each))


def _as_pdf(
    options: argparse.Namespace,
    shown: Sequence[SlipOf],
    slips: Sequence[Slip],
    settings: SettingsTable,
) -> int:
    """Write the pages into new files, and note that they were handed over once those stand there.

    Raises:
        NoPaperError: what draws PDF is not installed.
        WrongFileError: a letter cannot be drawn, or a file not be written.
    """
    from readbell.cli.spelt_out import spelt_out
    from readbell.exports.out_file import OutFile

    made = _drawn(options, shown, slips, settings)
    written: list[Path] = []
    status = WRONG_INPUT
    try:
        for path, pages in made.items():
            with OutFile(path) as out:
                out.write(pages)
            written.append(path)
        status = _note(options, shown)
    finally:
        if status != DONE:
            for path in written:
                path.unlink(missing_ok=True)  # all of them, or none
    if status == DONE:
        for path in written:
            print(spelt_out(str(path)))
    return status


def _drawn(
    options: argparse.Namespace,
    shown: Sequence[SlipOf],
    slips: Sequence[Slip],
    settings: SettingsTable,
) -> dict[Path, bytes]:
    """Return each file that is to be, and what stands in it."""
    from readbell.bay.slip_desk import letters_for
    from readbell.cli.progress import Progress
    from readbell.reports.result_slip import result_slips

    letters = letters_for(slips, settings.fonts)
    made: dict[Path, bytes] = {}
    with Progress() as progress:

        def drawn(count: int) -> None:
            progress.tell("Slips", count, len(slips))

        if options.pdf is not None:
            return {options.pdf: result_slips(slips, letters, drawn)}
        for count, (name, each) in enumerate(zip(_names(shown), slips, strict=True), 1):
            made[options.folder / name] = result_slips([each], letters)
            drawn(count)
    return made


def _names(shown: Sequence[SlipOf]) -> Iterator[str]:
    """Yield a name for each person's file, each once."""
    from readbell.bay.slip_desk import named_by

    taken: set[str] = set()
    for each in shown:
        name = named_by(each.results[0].shown.label)
        while name in taken:
            name = f"{name}-"
        taken.add(name)
        yield f"{name}.pdf"


def _note(options: argparse.Namespace, shown: Sequence[SlipOf]) -> int:
    """Note that the slips were handed over, where somebody says that they do so."""
    if options.by is None:
        return DONE
    from readbell.cli.asking_the_bay import ask_the_bay
    from readbell.cli.signing_in import after_signing_in

    requests = after_signing_in(options.journal, options.by, _handed(options, shown))
    status = ask_the_bay(options.journal, requests, as_json=False)
    if status != DONE:
        print(NO_SLIP, file=sys.stderr)
    return status


def _handed(options: argparse.Namespace, shown: Sequence[SlipOf]) -> Iterator[Request]:
    from readbell.core.results.telling import Channel, Hearer
    from readbell.scenarios.telling_lines import TellLine

    for each in shown:
        for found in each.results:
            yield TellLine(
                do="tell",
                by=options.by,
                cartridge=found.shown.cartridge,
                to=Hearer(options.to),
                how=Channel.SLIP,
                version=found.shown.version,
                made=True,
            )

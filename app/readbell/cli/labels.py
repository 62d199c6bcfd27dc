"""Print labels for cartridges: on paper as a PDF, or as a code on the terminal."""

from __future__ import annotations

import re
import sys
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import DONE, WRONG_INPUT

if TYPE_CHECKING:
    import argparse

    from readbell.barcodes.series import SeriesFault

NEEDS_PAPER = "This needs reportlab, which is not installed: pip install 'readbell[paper]'"
USUAL_SHEET = "3x8"
MOST_A_SIDE = 20


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("labels", help=__doc__, description=__doc__)
    what = parser.add_mutually_exclusive_group(required=True)
    what.add_argument("--from", dest="first", metavar="LABEL", help="the first label, as C101")
    what.add_argument(
        "--person", metavar="ID", help="stickers that carry this patient ID, for tube and form"
    )
    parser.add_argument("--count", type=int, default=1, metavar="N", help="how many; default 1")
    where = parser.add_mutually_exclusive_group(required=True)
    where.add_argument("--pdf", type=Path, metavar="FILE", help="a new file, A4")
    where.add_argument("--terminal", action="store_true", help="draw the codes here")
    parser.add_argument(
        "--sheet", default=USUAL_SHEET, metavar="CxR", help="columns and rows; default 3x8"
    )
    parser.add_argument("--code", choices=("qr", "code-128"), default="qr", help="default: qr")
    parser.add_argument(
        "--light", action="store_true", help="the terminal writes dark on a light ground"
    )
    parser.add_argument("--ascii", action="store_true", help="draw with # and blanks alone")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Make the labels."""
    texts = _texts(options.first, options.person, options.count)
    if not isinstance(texts, tuple):
        return _wrong(texts.why)
    if options.pdf is None:
        return _on_terminal(texts, light=options.light, plain=options.ascii)
    return _on_paper(texts, options.pdf, options.sheet, options.code)


def _texts(first: str | None, person: str | None, count: int) -> tuple[str, ...] | SeriesFault:
    from readbell.barcodes.series import MOST, SeriesFault, fault_of_label, series

    if first is not None:
        return series(first, count)
    if not 1 <= count <= MOST:
        return SeriesFault(f"{count} labels cannot be made at once: ask for 1 to {MOST}")
    return fault_of_label(person or "") or (person or "",) * count


def _on_terminal(texts: tuple[str, ...], *, light: bool, plain: bool) -> int:
    from readbell.barcodes.drawn import as_blocks

    for text in texts:
        for row in as_blocks(text, light_ground=light, plain=plain):
            print(row)
        print(f"    {text}\n")
    return DONE


def _on_paper(texts: tuple[str, ...], file: Path, sheet: str, code: str) -> int:
    found = re.fullmatch(r"([0-9]{1,2})x([0-9]{1,2})", sheet, re.ASCII)
    if found is None or not all(1 <= int(each) <= MOST_A_SIDE for each in found.groups()):
        return _wrong(f"--sheet {sheet}: write columns and rows, 1 to {MOST_A_SIDE}, as 3x8")
    from readbell.exports.out_file import OutFile
    from readbell.reports.label_sheet import Code, Grid, fits, label_sheets

    if find_spec("reportlab") is None:
        return _wrong(NEEDS_PAPER)
    grid = Grid(int(found[1]), int(found[2]))
    if not fits(texts, grid, Code(code)):
        return _wrong(
            f"--sheet {sheet}: no scanner would read a code so small: take fewer columns or rows, "
            "or a shorter label"
        )
    with OutFile(file) as out:
        out.write(label_sheets(texts, grid, Code(code)))
    print(f"{file}: {len(texts)} labels, {texts[0]} to {texts[-1]}")
    return DONE


def _wrong(why: str) -> int:
    from readbell.cli.spelt_out import spelt_out

    print(spelt_out(why), file=sys.stderr)
    return WRONG_INPUT

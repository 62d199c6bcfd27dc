"""Print what is needed to go on by hand: what runs, with its clock times, and blank logs."""

from __future__ import annotations

import asyncio
import sys
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import DONE, WRONG_INPUT

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from readbell.bay.news import News

NEEDS_PAPER = "This needs reportlab, which is not installed: pip install 'readbell[paper]'"
MOST_LOGS = 100


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("paper", help=__doc__, description=__doc__)
    parser.add_argument("--journal", type=Path, metavar="FILE", help="default: this computer's own")
    parser.add_argument("--pdf", type=Path, metavar="FILE", help="a new file, A4; else text")
    parser.add_argument(
        "--logs", type=int, default=1, metavar="N", help="blank logs of each adopted assay"
    )
    parser.add_argument(
        "--with-ids", action="store_true", help="name the patients of what runs, too"
    )
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Look at the bay once, also while a program runs it, and print."""
    from readbell.cli.private_memory import keep_memory_private
    from readbell.settings.places import default_journal

    if not 0 <= options.logs <= MOST_LOGS:
        return _wrong(f"--logs {options.logs}: ask for 0 to {MOST_LOGS}")
    keep_memory_private()
    news = asyncio.run(_look(options.journal or default_journal()))
    blocks = _blocks(news, logs=options.logs, with_ids=options.with_ids)
    if options.pdf is not None:
        return _as_pdf(options.pdf, blocks)
    for block in blocks:
        print("\n".join(block), end="\n\n")
    return DONE


async def _look(journal: Path) -> News:
    from readbell.assembly import follow

    looks = follow(journal, once=True)
    first = await anext(looks)
    await looks.aclose()  # type: ignore[attr-defined]  # it is a generator
    return first


def _blocks(news: News, *, logs: int, with_ids: bool) -> list[list[str]]:
    from readbell.bay.site_face import face_now
    from readbell.phrases.paper_words import (
        blank_log,
        cautions,
        running_on_paper,
        say_not_on_paper,
    )

    board = news.board
    founded = board.founded
    name, zone = ("", "UTC") if founded is None else (founded.bay, founded.timezone)
    face = face_now(board, news.wall - news.at)
    head = f"{name}  {face.local(news.at):%Y-%m-%d} {face.time(news.at)}  times in {zone}"
    alone = None if news.around is None else news.around.alone
    apart = () if alone is None else (say_not_on_paper(alone.since, face),)
    running = running_on_paper(board, news.at, face, with_ids=with_ids)
    newest = {each.assay.id: each.assay for each in board.assays.values()}
    return [
        [head, *cautions()],
        ["What runs", *apart, *running],
        *([*blank_log(assay)] for assay in newest.values() for _ in range(logs)),
    ]


def _as_pdf(file: Path, blocks: Sequence[Sequence[str]]) -> int:
    from readbell.exports.out_file import OutFile
    from readbell.reports.paper_sheet import paper_sheets, undrawable

    if find_spec("reportlab") is None:
        return _wrong(NEEDS_PAPER)
    sign = undrawable(text for block in blocks for text in block)
    if sign is not None:
        return _wrong(
            f"{sign!r} cannot be drawn with the letters of this PDF: leave out --pdf and print the "
            "text, or leave out --with-ids"
        )
    with OutFile(file) as out:
        out.write(paper_sheets("Log", blocks))
    print(f"{file}: what runs, and blank logs")
    return DONE


def _wrong(why: str) -> int:
    from readbell.cli.spelt_out import spelt_out

    print(spelt_out(why), file=sys.stderr)
    return WRONG_INPUT

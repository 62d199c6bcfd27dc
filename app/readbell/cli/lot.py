"""See to lots while no board runs: take boxes in, list, hold, release, recall, correct, count."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from readbell.cli.correction_fields import correction_fields
from readbell.cli.exit_codes import DONE

if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterator

    from readbell.bay.news import News
    from readbell.phrases.clock_time import ClockFace
    from readbell.scenarios.line import Request

DOES = {
    "receive": ("receive-box", "take in a box; a lot that is known has another delivery"),
    "hold": ("hold-lot", "let no new cartridge be taken from it"),
    "release": ("release-lot", "let cartridges be taken from it again; a supervisor does"),
    "recall": ("recall-lot", "it was called back: hold it, and have its results looked at"),
    "loss": ("lose-units", "write off units that were never labelled"),
    "count": ("count-units", "say how many units there are"),
    "correct": ("correct-lot", "it was entered wrongly: say its right last day, or its assay"),
}
"""What the line of a bay is called, and what it does."""

KEYS = ("scan", "number", "expires", "assay", "gtin", "units", "storage", "buffer", "good_days")
"""What may be said of a box, as on the line of a bay."""

OF_LOT = ("lot", "units", "counted", "reason", "words", "expires", "past", "assay", "scan")
"""What may be said of a lot that is here; nothing else of it is an option of what is done."""


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("lot", help=__doc__, description=__doc__)
    parser.set_defaults(run=run)
    deeds = parser.add_subparsers(dest="deed", required=True, metavar="WHAT")
    listing = deeds.add_parser("list", help="say how each lot stands", description="List the lots.")
    _common(listing)
    for name, (_, does) in DOES.items():
        each = deeds.add_parser(name, help=does, description=does)
        each.add_argument("--by", required=True, metavar="OPERATOR", help="who does it")
        _common(each)
        if name == "receive":
            _box(each)
            continue
        each.add_argument("lot", metavar="NUMBER", help="the lot's number")
        if name == "loss":
            each.add_argument("--units", type=int, required=True, metavar="N")
        if name == "count":
            each.add_argument("counted", type=int, metavar="N")
        if name in ("loss", "release"):
            each.add_argument("--reason", required=True, help="one of the reasons in the README")
        if name == "correct":
            _right(each)
        if name in ("loss", "release", "recall", "correct"):
            needed = name == "correct"
            each.add_argument("--words", required=needed, help="why, in your own words")


def run(options: argparse.Namespace) -> int:
    """Do what was asked for, and say what came of it."""
    from readbell.cli.asked_line import naming_options
    from readbell.cli.asking_the_bay import ask_the_bay
    from readbell.cli.signing_in import after_signing_in

    if options.deed == "list":
        return _list(options.journal, as_json=options.json)
    requests = after_signing_in(options.journal, options.by, _requests(options))
    with naming_options():  # what stands in a code the bay alone finds out
        status = ask_the_bay(options.journal, requests, as_json=options.json)
    if options.deed == "recall" and status == DONE:
        _who_was_tested(options.journal, options.lot, as_json=options.json)
    return status


def _common(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--journal", type=Path, metavar="FILE", help="default: this computer's own")
    parser.add_argument("--json", action="store_true", help="one JSON object a line")


def _box(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--scan", metavar="CODE", help="the GS1 code of the box, as it was scanned")
    parser.add_argument("--number", help="the lot's number, where there is no code")
    parser.add_argument("--expires", metavar="DAY", help="its last day, as 2027-12-31")
    parser.add_argument("--assay", help="the assay's id; known already where its code was tied")
    parser.add_argument("--gtin", help="its trade item number, fourteen digits")
    parser.add_argument("--units", type=int, metavar="N", help="left out: not counted")
    parser.add_argument("--storage", choices=("room", "cold"), help="where it is kept")
    parser.add_argument("--buffer", help="number of the buffer that came in the box")
    parser.add_argument("--good-days", type=int, metavar="N", help="days good once opened")


def _right(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--expires", metavar="DAY", help="its right last day, as 2027-12-31")
    parser.add_argument("--past", action="store_true", help="that day is past, and meant to be")
    parser.add_argument("--assay", help="the right assay's id, if nothing was begun of it")
    parser.add_argument("--scan", metavar="CODE", help="the GS1 code of the box, as it was scanned")


def _requests(options: argparse.Namespace) -> Iterator[Request]:
    """Yield what is asked of the bay.

    Raises:
        WrongFileError: something given is wrong.
    """
    from readbell.cli.asked_line import asked_line
    from readbell.scenarios.line import Question

    found: dict[str, Any] = {"do": DOES[options.deed][0], "by": options.by}
    keys = KEYS if options.deed == "receive" else OF_LOT
    found |= {key: said for key in keys if (said := getattr(options, key, None)) is not None}
    line = asked_line(found)
    assert not isinstance(line, Question)  # noqa: S101  # not among what it does
    yield line


def _list(journal: Path | None, *, as_json: bool) -> int:
    _print(_lots(_look(journal)), as_json=as_json)
    return DONE


def _who_was_tested(journal: Path | None, lot: str, *, as_json: bool) -> None:
    """Print everybody whom the recall of `lot` concerns: whoever recalls it has to reach them."""
    _print(_tested(_look(journal), lot), as_json=as_json)


def _print(found: Iterator[tuple[str, dict[str, Any]]], *, as_json: bool) -> None:
    from readbell.cli.spelt_out import spelt_out

    for words, fields in found:
        print(json.dumps(fields, ensure_ascii=False) if as_json else spelt_out(words))
    sys.stdout.flush()


def _look(journal: Path | None) -> News:
    import asyncio

    from readbell.assembly import follow
    from readbell.cli.private_memory import keep_memory_private
    from readbell.settings.places import default_journal

    keep_memory_private()

    async def look() -> News:
        return await anext(follow(journal or default_journal(), once=True))

    return asyncio.run(look())


def _face(news: News) -> ClockFace:
    from readbell.bay.site_face import face_now

    return face_now(news.board, news.wall - news.at)


def _tested(news: News, lot: str) -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield each test that the recall of `lot` concerns in words, and the same for a program."""
    from readbell.core.board.recalls import concerned_by, recall_of
    from readbell.phrases.recall_words import list_tested

    board, face = news.board, _face(news)
    recall = recall_of(board, lot)
    if recall is None:
        return
    tested = concerned_by(board, recall)
    for words, each in zip(list_tested(recall, board, face), tested, strict=True):
        yield (
            words,
            {
                "person": board.name(each.person),
                "cartridge": each.label,
                "at": face.local(each.at).isoformat(timespec="seconds"),
                "outcome": None if each.outcome is None else str(each.outcome),
                "on_paper": each.on_paper,
            },
        )


def _lots(news: News) -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield each lot in words, and the same for a program."""
    from readbell.phrases.lot_state import good_to, of_samples, state_of
    from readbell.phrases.stock_words import say_left

    board, face = news.board, _face(news)
    today = face.local(news.at).date()
    for lot in board.lots.values():
        state = state_of(lot, board, news.at, face)
        samples = of_samples(lot, board, news.at)
        day = good_to(lot.good_until, board, today)
        words = f"{lot.number:<20} {state:<26} {day:<24} {say_left(lot):<14} samples {samples}"
        yield (
            words,
            {
                "lot": lot.number,
                "assay": board.assays[lot.assay].assay.id,
                "state": state,
                "expires": lot.expires.isoformat(),
                "good_until": lot.good_until.isoformat(),
                "units": lot.units,
                "used": lot.used,
                "lost": lot.lost,
                "left": lot.left,
                "on_hold": lot.on_hold,
                "held_for": None if lot.held_for is None else str(lot.held_for),
                "samples": samples,
                "corrections": [
                    {
                        "at": face.local(each.at).isoformat(timespec="seconds"),
                        **correction_fields(each, board),
                    }
                    for each in board.stock_room.corrections
                    if each.number == lot.number
                ],
            },
        )

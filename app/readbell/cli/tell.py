"""List what is to be told, or note that somebody was told a result, while no board runs."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from readbell.cli.exit_codes import DONE

if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterator

    from readbell.bay.glance import Glance
    from readbell.core.board.worklist import ToTell
    from readbell.phrases.clock_time import ClockFace
    from readbell.scenarios.line import Request

OF_ONE = ("cartridge", "to", "how", "person", "words")
"""What says something of one result: a list of all of them is not narrowed by it."""


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("tell", help=__doc__, description=__doc__)
    parser.add_argument(
        "cartridge", nargs="?", help="its label, or the id that --list --json gives"
    )
    parser.add_argument(
        "--list", action="store_true", help="say what is to be told; changes nothing"
    )
    parser.add_argument("--to", metavar="WHO", help="person, guardian, other, or office")
    parser.add_argument("--how", metavar="HOW", help="spoken, phone, slip, or message")
    parser.add_argument("--by", metavar="OPERATOR", help="who told it; with --list, who looks")
    parser.add_argument("--person", metavar="ID", help="as they read it back; - asks for it")
    parser.add_argument("--words", help="whom exactly, or what else is to be known")
    parser.add_argument("--journal", type=Path, metavar="FILE", help="default: this computer's own")
    parser.add_argument("--json", action="store_true", help="one JSON object a line")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Do what was asked for, and say what came of it."""
    from readbell.cli.asking_the_bay import ask_the_bay
    from readbell.cli.signing_in import after_signing_in
    from readbell.toml_tables import WrongFileError

    if options.list:
        of_one = [each for each in OF_ONE if getattr(options, each) is not None]
        if of_one:
            out = ", ".join(each if each == "cartridge" else f"--{each}" for each in of_one)
            raise WrongFileError([f"--list says all that is to be told: leave {out} out"])
        return _list(options)
    missing = [name for name in ("cartridge", "to", "how", "by") if getattr(options, name) is None]
    if missing:
        named = ", ".join(name if name == "cartridge" else f"--{name}" for name in missing)
        raise WrongFileError([f"{named}: missing: say what was told to whom, how, and by whom"])
    requests = after_signing_in(options.journal, options.by, _requests(options))
    return ask_the_bay(options.journal, requests, as_json=options.json)


def _requests(options: argparse.Namespace) -> Iterator[Request]:
    """Yield what is asked of the bay.

    Raises:
        WrongFileError: something given is wrong.
    """
    from typing import cast

    from readbell.cli.asked_line import asked_line
    from readbell.cli.bearers import to_be_told
    from readbell.cli.looking_on import look
    from readbell.cli.record_asked import the_id

    found: dict[str, Any] = {"do": "tell"}
    for key in ("by", "cartridge", "to", "how", "person", "words"):
        said = getattr(options, key)
        if said is not None:
            found[key] = the_id(said) if key == "person" else said
    found["cartridge"] = to_be_told(look(options.journal), found["cartridge"], found.get("person"))
    yield cast("Request", asked_line(found))


def _list(options: argparse.Namespace) -> int:
    from readbell.cli.looking_on import face_of, look
    from readbell.cli.record_asked import journal_at, who_looks
    from readbell.cli.spelt_out import spelt_out
    from readbell.core.board.staff import seen_back_to
    from readbell.core.board.worklist import worklist
    from readbell.phrases.slip_words import WORDS
    from readbell.phrases.telling_words import what_is_to_tell

    seen = look(options.journal)
    face = face_of(seen)
    by = who_looks(journal_at(options.journal), options.by, seen)
    back_to = seen_back_to(seen.board, by, seen.day_began)
    if options.json:
        for each in worklist(seen.board, seen.now, back_to).waiting:
            print(json.dumps(_fields(each, seen, face), ensure_ascii=False))
        return DONE
    if _is_practice(seen):
        print(WORDS["rehearsal"])
    for said in what_is_to_tell(seen.board, seen.now, face, back_to):
        print(spelt_out(said))
    return DONE


def _is_practice(seen: Glance) -> bool:
    from readbell.core.board.events import Mode

    return seen.board.founded is not None and seen.board.founded.mode is Mode.REHEARSAL


def _fields(each: ToTell, seen: Glance, face: ClockFace) -> dict[str, Any]:
    result, board = each.result, seen.board
    notice = each.notice
    return {
        "rehearsal": _is_practice(seen),
        "id": result.cartridge,
        "cartridge": result.label,
        "person": board.name(result.subject),
        "assay": result.assay.id,
        "urgency": str(each.urgency),
        "status": str(result.status),
        "outcome": None if result.outcome is None else str(result.outcome),
        "version": result.version,
        "since": face.local(each.at).isoformat(),
        "may_hear": [str(who) for who in each.may_hear],
        "office": None if notice is None else notice.office,
        "due": None if notice is None else face.local(notice.due).isoformat(),
        "overdue": notice is not None and notice.due <= seen.now,
        "misled": [str(told.to) for told in each.misled],
        "told": [
            {
                "at": face.local(told.at).isoformat(),
                "by": board.name(told.by),
                "to": str(told.to),
                "how": str(told.how),
                "status": str(told.status),
                "outcomes": {each.line: str(each.outcome) for each in told.outcomes},
            }
            for told in each.told
        ],
    }

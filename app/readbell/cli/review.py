"""Release, amend or take back results as a supervisor, and list what waits, while no board runs."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from readbell.cli.exit_codes import DONE

if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterator

    from readbell.bay.glance import Glance
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.phrases.clock_time import ClockFace
    from readbell.scenarios.line import Request

PRESENT, ABSENT = "present", "absent"


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("review", help=__doc__, description=__doc__)
    parser.set_defaults(run=run)
    does = parser.add_subparsers(required=True, metavar="WHAT", dest="what")
    listed = does.add_parser("list", help="say what waits for a supervisor; changes nothing")
    _common(listed)
    _one(does, "release", "let a reading that is held stand")
    amend = _one(does, "amend", "say anew what was on a strip, line by line")
    amend.add_argument("--reason", required=True, metavar="CODE", help="such as wrongly-seen")
    amend.add_argument("--control", choices=(PRESENT, ABSENT), help="the control line")
    amend.add_argument(
        "--line",
        action="append",
        default=[],
        metavar="LINE=HOW",
        help="each test line by key or printed letter: absent, faint or clear",
    )
    amend.add_argument("--unreadable", metavar="WHY", help="in place of the lines: such as smear")
    back = _one(does, "withdraw", "take a result back, and all that was mixed up with it")
    back.add_argument("--reason", required=True, metavar="CODE", help="such as another-person")
    back.add_argument("--other", action="append", default=[], metavar="LABEL", dest="others")
    back.add_argument("--person", action="append", default=[], metavar="ID", dest="persons")


def _one(
    does: argparse._SubParsersAction[argparse.ArgumentParser], name: str, says: str
) -> argparse.ArgumentParser:
    parser = does.add_parser(name, help=says, description=says)
    parser.add_argument("cartridge", help="its label, or the id that list --json gives")
    parser.add_argument("--by", required=True, metavar="OPERATOR", help="the supervisor")
    parser.add_argument("--why", required=True, help="in your own words")
    _common(parser)
    return parser


def _common(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--journal", type=Path, metavar="FILE", help="default: this computer's own")
    parser.add_argument("--json", action="store_true", help="one JSON object a line")


def run(options: argparse.Namespace) -> int:
    """Do what was asked for, and say what came of it."""
    from readbell.cli.asking_the_bay import ask_the_bay
    from readbell.cli.signing_in import after_signing_in

    if options.what == "list":
        return _list(options)
    requests = after_signing_in(options.journal, options.by, _requests(options))
    return ask_the_bay(options.journal, requests, as_json=options.json)


def _requests(options: argparse.Namespace) -> Iterator[Request]:
    """Yield what is asked of the bay.

    Raises:
        WrongFileError: something given is wrong.
    """
    from typing import cast

    from readbell.cli.asked_line import asked_line
    from readbell.cli.bearers import held_for_review, reviewed
    from readbell.cli.looking_on import look
    from readbell.cli.record_asked import the_id

    meant = held_for_review if options.what == "release" else reviewed
    found: dict[str, Any] = {
        "by": options.by,
        "cartridge": meant(look(options.journal), options.cartridge),
        "why": options.why,
    }
    match options.what:
        case "release":
            found["do"] = "release-reading"
        case "amend":
            found |= {"do": "amend-result", "reason": options.reason, **_strip(options)}
        case _:
            found |= {"do": "withdraw-result", "reason": options.reason}
            found |= {"others": options.others} if options.others else {}
            if options.persons:
                found["persons"] = [the_id(each) for each in options.persons]
    yield cast("Request", asked_line(found))


def _strip(options: argparse.Namespace) -> dict[str, Any]:
    """Return what was on the strip; what was left out stays unanswered.

    Raises:
        WrongFileError: a line is not written as LINE=HOW, or what is said does not go together.
    """
    from readbell.toml_tables import WrongFileError

    if options.unreadable is not None:
        if options.control is not None or options.line:
            msg = "--unreadable stands in the place of the lines: leave --control and --line out"
            raise WrongFileError([msg])
        return {"unreadable": options.unreadable}
    lines = {}
    for each in options.line:
        name, sign, how = each.partition("=")
        if not sign:
            raise WrongFileError([f'--line "{each}": write a line and how strong it is: T=faint'])
        if name in lines:
            raise WrongFileError([f'--line "{each}": that line was said already: say each once'])
        lines[name] = how
    control = None if options.control is None else options.control == PRESENT
    return {"control": control, "test": lines or None}


def _list(options: argparse.Namespace) -> int:
    from readbell.cli.looking_on import face_of, look
    from readbell.cli.spelt_out import spelt_out
    from readbell.core.board.review import awaiting_review
    from readbell.phrases.review_words import what_is_held

    seen = look(options.journal)
    face = face_of(seen)
    if not options.json:
        for said in what_is_held(seen.board, face):
            print(spelt_out(said))
        return DONE
    for each in awaiting_review(seen.board):
        print(json.dumps(_fields(each, seen, face), ensure_ascii=False))
    for person, mixed_up in seen.board.new_specimen.items():
        found = {
            "new_specimen": seen.board.name(person),
            "since": face.local(mixed_up.at).isoformat(),
            "cartridges": list(mixed_up.cartridges),
        }
        print(json.dumps(found, ensure_ascii=False))
    return DONE


def _fields(each: Cartridge, seen: Glance, face: ClockFace) -> dict[str, Any]:
    reading = each.reading
    return {
        "id": each.id,
        "cartridge": each.label,
        "person": seen.board.name(each.labelled.subject),
        "outcome": None if each.outcome is None else str(each.outcome),
        "held": [str(reason) for reason in each.held],
        "read": None
        if reading is None
        else {
            "at": face.local(reading.at).isoformat(),
            "by": seen.board.name(reading.by),
        },
        "second": None
        if each.second is None
        else {
            "at": face.local(each.second.at).isoformat(),
            "by": seen.board.name(each.second.by),
        },
    }

"""Register operators, give roles, PINs and clearances, and list them, while no board runs."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from readbell.cli.exit_codes import DONE
from readbell.cli.signing_in import look_at, signing_in, typed_pin

if TYPE_CHECKING:
    import argparse

    from readbell.core.board.board import Board
    from readbell.scenarios.line import Request

ROLES = "roles, with commas between: tester,reader,supervisor"


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("operator", help=__doc__, description=__doc__)
    parser.set_defaults(run=run)
    does = parser.add_subparsers(required=True, metavar="WHAT", dest="what")
    add = _one(does, "add", "register an operator; the first needs no --by")
    add.add_argument("--roles", help=ROLES)
    _one(does, "roles", "say what an operator may do").add_argument("roles", help=ROLES)
    _one(does, "pin", "set a PIN; it is asked for, or read from standard input")
    _one(does, "retire", "say that an operator works here no more")
    _one(does, "unlock", "let an operator sign in again after too many wrong PINs")
    clear = _one(does, "clear", "say for which assay an operator is cleared")
    clear.add_argument("assay", help="the assay's id")
    clear.add_argument("--until", required=True, metavar="DAY", help="2027-12-31")
    clear.add_argument("--vision-checked", metavar="DAY", help="when their eyes were looked at")
    _common(does.add_parser("list", help="list everybody, with roles and clearances"))


def _one(
    does: argparse._SubParsersAction[argparse.ArgumentParser], name: str, says: str
) -> argparse.ArgumentParser:
    parser = does.add_parser(name, help=says, description=says)
    parser.add_argument("id", help="the operator's ID")
    parser.add_argument("--by", metavar="OPERATOR", help="who decides it: a supervisor")
    _common(parser)
    return parser


def _common(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--journal", type=Path, metavar="FILE", help="default: this computer's own")
    parser.add_argument("--json", action="store_true", help="one JSON object a line")


def run(options: argparse.Namespace) -> int:
    """Do what is asked, and say what became of it."""
    from readbell.cli.asking_the_bay import ask_the_bay
    from readbell.settings.places import default_journal

    if options.what == "list":
        return _list(options)
    path = options.journal or default_journal()
    board = look_at(path)
    _refuse_while_running(path, board)
    requests = [*signing_in(board, options.by), *_requests(options)]
    return ask_the_bay(options.journal, iter(requests), as_json=options.json)


def _requests(options: argparse.Namespace) -> list[Request]:
    """Return what `options` ask of the bay.

    Raises:
        WrongFileError: something that was given is wrong.
    """
    from readbell.cli.asked_line import asked_line

    by = {} if options.by is None else {"by": options.by}
    named = {"by": options.by or options.id, "operator": options.id}
    asked: list[dict[str, Any]] = []
    match options.what:
        case "add":
            asked.append({"do": "register-operator", "id": options.id, **by})
            if options.roles is not None:
                asked.append({"do": "set-roles", **named, "roles": options.roles.split(",")})
        case "roles":
            asked.append({"do": "set-roles", **named, "roles": options.roles.split(",")})
        case "pin":
            asked.append({"do": "set-pin", **named, "pin": typed_pin(f"New PIN of {options.id}")})
        case "retire":
            asked.append({"do": "retire-operator", **named})
        case "unlock":
            asked.append({"do": "unlock-operator", **named})
        case _:
            vision = options.vision_checked
            seen = {} if vision is None else {"vision_checked": vision}
            asked.append(
                {
                    "do": "state-competence",
                    **named,
                    "assay": options.assay,
                    "until": options.until,
                    **seen,
                }
            )
    lines = (asked_line(each) for each in asked)
    return list(lines)  # type: ignore[arg-type]  # none of them is a question


def _refuse_while_running(path: Path, board: Board) -> None:
    """Leave a bay alone that has something running: nobody would hear what falls due meanwhile.

    Raises:
        JournalError: cartridges run.
    """
    from readbell.journal.errors import JournalError

    running = len(board.running)
    if running:
        msg = f"{path}: {running} running: open the board and do it there, in the room of operators"
        raise JournalError(msg)


def _list(options: argparse.Namespace) -> int:
    from readbell.phrases.staff_words import say_standing
    from readbell.settings.places import default_journal

    board = look_at(options.journal or default_journal())
    for key in board.roster.standings:
        if options.json:
            print(json.dumps(_fields(board, key), ensure_ascii=False))
        else:
            print(say_standing(board, key))
    return DONE


def _fields(board: Board, key: str) -> dict[str, Any]:
    from readbell.core.board.staff import attempts_that_lock
    from readbell.core.staff.pins import is_locked_out

    standing = board.roster.standing(key)
    return {
        "operator": board.name(key),
        "roles": list(board.roster.roles_of(key)),
        "retired": standing.is_retired,
        "signed_in": standing.is_signed_in,
        "pin": standing.has_pin,
        "locked_out": is_locked_out(standing, attempts_that_lock(board)),
        "cleared": [
            {
                "assay": each.assay,
                "until": each.until.isoformat(),
                "vision_checked": None
                if each.vision_checked is None
                else each.vision_checked.isoformat(),
            }
            for each in standing.cleared
        ],
    }

"""See to the shift while no board runs: open it, close it, sign its day sheet, list them all."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from readbell.cli.exit_codes import DONE

if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterator

    from readbell.scenarios.shift_lines import ShiftLine

DOES = {
    "open": ("open-shift", "make the opening checks and begin a shift"),
    "close": ("close-shift", "end the running shift, and say what is left undone"),
    "sign": ("sign-day-sheet", "stand for the day sheet of a closed shift; a supervisor does"),
}
"""What the line of a bay is called, and what it does."""


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("shift", help=__doc__, description=__doc__)
    parser.set_defaults(run=run)
    deeds = parser.add_subparsers(dest="deed", required=True, metavar="WHAT")
    listing = deeds.add_parser("list", help="say how each shift stands", description="List them.")
    _common(listing)
    for name, (_, does) in DOES.items():
        each = deeds.add_parser(name, help=does, description=does)
        each.add_argument("--by", required=True, metavar="OPERATOR", help="who does it")
        _common(each)
        if name == "open":
            each.add_argument("--light", action="store_true", help="say that strips are well lit")
        if name == "close":
            each.add_argument("--why", help="wanted where cartridges still run")
        if name == "sign":
            each.add_argument(
                "--shift", type=int, metavar="N", help="default: the oldest that nobody has signed"
            )


def run(options: argparse.Namespace) -> int:
    """Do what was asked for, and say what came of it."""
    from readbell.cli.asking_the_bay import ask_the_bay
    from readbell.cli.signing_in import after_signing_in

    if options.deed == "list":
        return _list(options.journal, as_json=options.json)
    requests = after_signing_in(options.journal, options.by, _requests(options))
    return ask_the_bay(options.journal, requests, as_json=options.json)


def _common(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--journal", type=Path, metavar="FILE", help="default: this computer's own")
    parser.add_argument("--json", action="store_true", help="one JSON object a line")


def _requests(options: argparse.Namespace) -> Iterator[ShiftLine]:
    """Yield what is asked of the bay.

    Raises:
        WrongFileError: something given is wrong.
    """
    from typing import cast

    from readbell.cli.asked_line import asked_line

    found: dict[str, Any] = {"do": DOES[options.deed][0], "by": options.by}
    found |= {
        key: said
        for key in ("light", "why", "shift")
        if (said := getattr(options, key, None)) is not None
    }
    yield cast("ShiftLine", asked_line(found))


def _list(path: Path | None, *, as_json: bool) -> int:
    from readbell.cli.kept_shifts import open_kept
    from readbell.cli.spelt_out import spelt_out
    from readbell.phrases.shift_words import say_closed

    with open_kept(path) as kept:
        for number, each in kept.shifts.items():
            opened, closed, signed = each.shift.opened, each.shift.closed, each.signed
            at = None if closed is None else kept.local(closed.at).isoformat()
            state = "open" if closed is None else say_closed(closed.left)
            stands = "signed" if signed is not None else "" if closed is None else "not signed"
            fields = {
                "shift": number,
                "opened": kept.local(opened.at).isoformat(),
                "closed": at,
                "left": []
                if closed is None
                else [{"kind": str(left.kind), "about": list(left.about)} for left in closed.left],
                "signed": None if signed is None else kept.local(signed.at).isoformat(),
                "head": None if signed is None else signed.head,
                "sequence": None if signed is None else signed.sequence,
            }
            day, time = kept.local(opened.at).date(), kept.face.minute(opened.at)
            words = f"shift {number}: opened {day} {time}, {state}"
            words = f"{words}, {stands}" if stands else words
            print(json.dumps(fields, ensure_ascii=False) if as_json else spelt_out(words))
        if not kept.shifts and not as_json:
            print("No shift is on record.")
    return DONE

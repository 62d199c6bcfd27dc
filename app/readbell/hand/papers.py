"""The forms of the small register: what each asks, and what it asks of the bay when it is whole."""

from __future__ import annotations

import re
from datetime import date
from typing import TYPE_CHECKING

from readbell.hand.doing import Filling, Paper
from readbell.hand.finding import holds_another
from readbell.hand.question import Option, Question
from readbell.scenarios.line import AdoptionLine, LotLine, OperatorLine

if TYPE_CHECKING:
    from readbell.hand.scene import Scene
    from readbell.scenarios.line import Request

TITLES: dict[Paper, str] = {
    Paper.LOT: "A new box",
    Paper.OPERATOR: "A new operator",
    Paper.ASSAY: "An assay is adopted",
}


def questions(doing: Filling, scene: Scene) -> tuple[Question, ...]:
    """Return what the form asks, answered or open."""
    answers = dict(doing.answers)
    return tuple(
        Question(
            key=key,
            asks=asks,
            options=options,
            answer=answers.get(key),
            shown="" if options else answers.get(key, ""),
            is_list=True,
        )
        for key, asks, options in _asked(doing.paper, scene)
    )


def fault_of(key: str, text: str, scene: Scene) -> str | None:
    """Say in one sentence what is wrong with `text` as an answer, or None if nothing is."""
    match key:
        case "expires":
            try:
                date.fromisoformat(text)
            except ValueError:
                return f'"{text}" is no day. Type it as year, month, day: 2027-12-31.'
            return None
        case "units":
            if re.fullmatch(r"\d{1,5}", text, re.ASCII):
                return None
            return f'"{text}" is no number of units. Type a whole number, such as 20.'
        case "number" if text in scene.board.lots:
            return f"Lot {text} was received already. Scan it on the board to open it."
        case "operator" if text in scene.board.operators:
            return f"{text} is registered already. Scan the badge on the board to act."
        case "operator" | "number" if holds_another(text, scene.board.operators):
            return "That was two labels at once. Scan one."
        case _:
            return None


def request_of(doing: Filling, by: str | None) -> Request:
    """Return what a whole form asks of the bay."""
    said = dict(doing.answers)
    match doing.paper:
        case Paper.LOT:
            return LotLine(
                do="receive-lot",
                by=by or "",
                number=said["number"],
                assay=said["assay"],
                expires=date.fromisoformat(said["expires"]),
                units=int(said["units"]),
            )
        case Paper.OPERATOR:
            return OperatorLine(do="register-operator", by=by, id=said["operator"])
        case Paper.ASSAY:
            return AdoptionLine(
                do="adopt-assay",
                by=by or "",
                assay=said["assay"],
                instructions=said["instructions"],
            )


def _asked(paper: Paper, scene: Scene) -> tuple[tuple[str, str, tuple[Option, ...]], ...]:
    match paper:
        case Paper.LOT:
            adopted = {each.assay.id: each.assay.title for each in scene.board.assays.values()}
            return (
                ("number", "Lot number: scan the box", ()),
                ("assay", "Assay", tuple(Option(key, title) for key, title in adopted.items())),
                ("expires", "Good to the end of (year-month-day)", ()),
                ("units", "Units in the box", ()),
            )
        case Paper.OPERATOR:
            return (("operator", "Operator's ID: scan the badge or type it", ()),)
        case Paper.ASSAY:
            shelf = tuple(Option(each.id, f"{each.title}  ({each.id})") for each in scene.shelf)
            return (
                ("assay", "Assay", shelf),
                ("instructions", "Version of the kit's instructions for use", ()),
                (
                    "checked",
                    "Every figure held against them",
                    (Option("no", "not yet"), Option("yes", "yes, all agree")),
                ),
            )

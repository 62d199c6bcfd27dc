"""The forms of the small register: what each asks, and what it asks of the bay when it is whole."""

from __future__ import annotations

import re
from datetime import date
from typing import TYPE_CHECKING

from readbell.hand import (
    left_form,
    paper_form,
    patients_room,
    person_form,
    plan_form,
    review_papers,
    shift_room,
    staff_papers,
    stock_forms,
    telling_room,
)
from readbell.hand.doing import Filling, Paper
from readbell.hand.finding import Thing, find, holds_another
from readbell.hand.question import Option, Question
from readbell.hand.temperature_room import ASKED, fault_of_degrees, line_of
from readbell.hand.typed_day import no_last_day
from readbell.scenarios.line import AdoptionLine, OperatorLine

if TYPE_CHECKING:
    from readbell.hand.scene import Scene
    from readbell.scenarios.line import Request

ABOUT_A_PERSON = frozenset({*person_form.PAPERS, Paper.AHEAD, Paper.LEFT})
TITLES: dict[Paper, str] = {
    Paper.LOT: "A new box",
    Paper.DEED: "What was done with a lot",
    Paper.SAMPLE: "A control material",
    Paper.OPERATOR: "A new operator",
    Paper.ASSAY: "An assay is adopted",
    Paper.TEMPERATURE: "How warm it is",
    Paper.CLOSING: "The shift ends over what runs",
    Paper.PLAN: "A plan for a batch",
    Paper.TELL: "Somebody is told a result",
    Paper.AHEAD: "A device labelled ahead",
    Paper.LEFT: left_form.TITLE,
    Paper.PAPER_RUN: "A run that was done on paper",
    **staff_papers.TITLES,
    **person_form.TITLES,
}


def person_of(doing: Filling) -> str:
    """Return the ID of the person that a form is about; nothing if it is about none."""
    return dict(doing.answers).get("person", "") if doing.paper in ABOUT_A_PERSON else ""


def about(doing: Filling, scene: Scene) -> str:
    """Return the person, or the result, that a form is about; nothing if it is about none."""
    if doing.paper is Paper.TELL:
        return telling_room.about(dict(doing.answers), scene)
    return person_of(doing)


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
        for key, asks, options in _asked(doing, scene)
    )


def fault_of(key: str, text: str, scene: Scene) -> str | None:
    """Say in one sentence what is wrong with `text` as an answer, or None if nothing is."""
    match key:
        case "expires":
            try:
                date.fromisoformat(text)
            except ValueError:
                return no_last_day(text)
            return None
        case "units":
            if re.fullmatch(r"\d{1,5}", text, re.ASCII):
                return None
            return f'"{text}" is no number of units. Type a whole number, such as 20.'
        case "until" | "vision" | "leaver":
            return staff_papers.fault_of(key, text, scene)
        case "withdrawn" | "amended" | "others" | "persons":
            return review_papers.fault_of(key, text, scene)
        case "celsius":
            return fault_of_degrees(text)
        case "people" | "operators" | "slack" | "breaks":
            return plan_form.fault_of(key, text)
        case "born":
            return person_form.fault_of(key, text)
        case "ahead":
            return patients_room.fault_of_label(text, scene)
        case "number" if text in scene.board.lots:
            return f"Lot {text} was received already. Scan it on the board to open it."
        case "operator" if text in scene.board.operators:
            return f"{text} is registered already. Scan the badge on the board to act."
        case "operator" | "number" if (other := _known_as(key, text, scene)) is not None:
            what = "badge of an operator" if key == "operator" else "number of a box"
            return (
                f"{text} is a known {other}, and not the {what}. Nothing was taken. "
                "Scan or type another."
            )
        case "operator" | "number" if holds_another(text, scene.board.operators):
            return "That was two labels at once. Scan one."
        case _:
            return None


def _known_as(key: str, text: str, scene: Scene) -> Thing | None:
    """Return what else `text` is here, exactly so written; None where it may be entered anew."""
    found = find(scene.board, text)
    own = {Thing.OPERATOR} if key == "operator" else {Thing.LOT, Thing.SAMPLE}
    fine = {Thing.UNKNOWN, Thing.TWO_IN_ONE, *own}
    return None if found.thing in fine or found.text != text else found.thing


def request_of(doing: Filling, by: str | None, scene: Scene) -> Request:
    """Return what a whole form asks of the bay."""
    said = dict(doing.answers)
    match doing.paper:
        case Paper.LOT | Paper.DEED | Paper.SAMPLE:
            return stock_forms.request_of(doing, by or "")
        case Paper.OPERATOR:
            return OperatorLine(do="register-operator", by=by, id=said["operator"])
        case Paper.TEMPERATURE:
            return line_of(said, by or "")
        case Paper.CLOSING:
            return shift_room.line_of(said, by or "")
        case Paper.PLAN:
            return plan_form.line_of(said, by or "", scene)
        case Paper.PARTICULAR:
            return patients_room.line_of(said, by or "", scene)
        case Paper.TELL:
            return telling_room.line_of(said, by or "")
        case Paper.AHEAD:
            return patients_room.line_ahead(said, by or "")
        case Paper.LEFT:
            return left_form.line_of(said, by or "", scene)
        case Paper.PAPER_RUN:
            return paper_form.line_of(said, by or "", scene)
        case Paper.PERSON | Paper.CONSENT:
            return person_form.line_of(doing, by or "")
        case Paper.ROLES | Paper.CLEARANCE | Paper.RETIRE | Paper.RELEASE:
            return staff_papers.line_of(doing.paper, said, by or "")
        case Paper.AMEND | Paper.WITHDRAW:
            return review_papers.line_of(doing.paper, said, by or "", scene)
        case Paper.ASSAY:
            return AdoptionLine(
                do="adopt-assay",
                by=by or "",
                assay=said["assay"],
                instructions=said["instructions"],
            )


def _asked(doing: Filling, scene: Scene) -> tuple[tuple[str, str, tuple[Option, ...]], ...]:
    match doing.paper:
        case Paper.LOT | Paper.DEED | Paper.SAMPLE:
            return stock_forms.asked(doing, scene)
        case Paper.OPERATOR:
            return (("operator", "Operator's ID: scan the badge or type it", ()),)
        case Paper.TEMPERATURE:
            return ASKED
        case Paper.CLOSING:
            return shift_room.ASKED
        case Paper.PLAN:
            return plan_form.ASKED
        case Paper.PARTICULAR:
            return patients_room.asked(dict(doing.answers), scene)
        case Paper.TELL:
            return telling_room.asked(dict(doing.answers), scene)
        case Paper.AHEAD:
            return patients_room.asked_ahead(scene)
        case Paper.LEFT:
            return left_form.questions(dict(doing.answers), scene)
        case Paper.PAPER_RUN:
            return paper_form.asked(dict(doing.answers), scene)
        case Paper.PERSON | Paper.CONSENT:
            return person_form.asked(doing, scene)
        case Paper.ROLES | Paper.CLEARANCE | Paper.RETIRE | Paper.RELEASE:
            return staff_papers.asked(doing.paper, scene)
        case Paper.AMEND | Paper.WITHDRAW:
            return review_papers.asked(doing.paper, dict(doing.answers), scene)
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

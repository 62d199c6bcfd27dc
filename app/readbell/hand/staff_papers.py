"""The forms about those who work here and about results under review."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from readbell.core.board.review import awaiting_review
from readbell.core.staff.roles import Role
from readbell.hand import paper_form
from readbell.hand.doing import Paper
from readbell.hand.question import Option
from readbell.hand.typed_day import no_day
from readbell.scenarios.staff_lines import (
    CompetenceLine,
    ReleaseLine,
    RetireLine,
    RolesLine,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readbell.hand.scene import Scene
    from readbell.scenarios.staff_lines import StaffLine

YES_NO = (Option("no", "no"), Option("yes", "yes"))
NOT_CHECKED = "-"
TITLES: dict[Paper, str] = {
    Paper.ROLES: "What an operator may do",
    Paper.CLEARANCE: "An operator is cleared for an assay",
    Paper.RETIRE: "Somebody works here no more",
    Paper.RELEASE: "A held reading is released",
    Paper.WITHDRAW: "A result is taken back",
    Paper.AMEND: "What was on a strip is said anew",
}

Asked = tuple[str, str, tuple[Option, ...]]


def asked(paper: Paper, scene: Scene) -> tuple[Asked, ...]:
    """Return what one of these forms asks: key, question and options."""
    operators = tuple(Option(each, each) for each in scene.board.operators)
    match paper:
        case Paper.ROLES:
            return (
                ("operator", "Operator", operators),
                *((str(role), f"May act as {role}", YES_NO) for role in Role),
            )
        case Paper.CLEARANCE:
            adopted = {each.assay.id: each.assay.title for each in scene.board.assays.values()}
            return (
                ("assay", "Assay", tuple(Option(key, title) for key, title in adopted.items())),
                ("operator", "Operator", operators),
                ("until", "Cleared to the end of (year-month-day)", ()),
                ("vision", "Faint lines and colours seen well on (day, or - )", ()),
            )
        case Paper.RETIRE:
            return (("leaver", "ID of whoever leaves: scan the badge or type it", ()),)
        case _:
            return (
                ("cartridge", "Cartridge", _held(scene)),
                ("why", "Why the result may stand", ()),
            )


def fault_of(key: str, text: str, scene: Scene) -> str | None:
    """Say in one sentence what is wrong with `text` as an answer, or None if nothing is."""
    match key:
        case "until":
            return _fault_of_day(text)
        case "vision":
            return None if text == NOT_CHECKED else _fault_of_day(text)
        case "leaver" if text not in scene.board.operators:
            return f"No operator {text} works here. Scan the badge again."
        case _:
            return None


def line_of(paper: Paper, said: Mapping[str, str], by: str) -> StaffLine:
    """Return what a whole form asks of the bay."""
    match paper:
        case Paper.ROLES:
            roles = tuple(role for role in Role if said[role] == "yes")
            return RolesLine(do="set-roles", by=by, operator=said["operator"], roles=roles)
        case Paper.CLEARANCE:
            seen = said["vision"]
            return CompetenceLine(
                do="state-competence",
                by=by,
                operator=said["operator"],
                assay=said["assay"],
                until=date.fromisoformat(said["until"]),
                vision_checked=None if seen == NOT_CHECKED else date.fromisoformat(seen),
            )
        case Paper.RETIRE:
            return RetireLine(do="retire-operator", by=by, operator=said["leaver"])
        case _:
            return ReleaseLine(
                do="release-reading", by=by, cartridge=said["cartridge"], why=said["why"]
            )


def takes_badge(paper: Paper, cursor: int) -> bool:
    """Say whether the question in hand is answered by a badge."""
    if paper is Paper.PAPER_RUN:
        return cursor in paper_form.BADGES
    return cursor == 0 and paper in (Paper.OPERATOR, Paper.RETIRE)


def _held(scene: Scene) -> tuple[Option, ...]:
    return tuple(Option(each.id, each.label) for each in awaiting_review(scene.board))


def _fault_of_day(text: str) -> str | None:
    try:
        date.fromisoformat(text)
    except ValueError:
        return no_day(text)
    return None

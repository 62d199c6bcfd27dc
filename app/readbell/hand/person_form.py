"""What a site asks about a person before their turn: who they are beside the ID, and consent.

Where the site asks nothing there is no form. What is known already is not asked again.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.patients import ASKED, file_of, is_minor, second_known
from readbell.core.people.events import ConsentNoted
from readbell.core.people.file import day_of
from readbell.core.people.particulars import (
    ConsentBy,
    ConsentHow,
    DeclineReason,
    Particular,
    ToldTo,
)
from readbell.hand.doing import Filling, Paper
from readbell.hand.question import Option
from readbell.phrases.patient_words import (
    DECLINED,
    GIVERS,
    HOW_GIVEN,
    TOLD_TO,
)
from readbell.scenarios.patient_lines import (
    ConsentLine,
    NotePersonLine,
    PatientLine,
    RefuseConsentLine,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readbell.core.cartridge.events import How
    from readbell.hand.scene import Scene

Asked = tuple[str, str, tuple[Option, ...]]
"""Key, words and answers of one line of a form."""

PAPERS = frozenset({Paper.PERSON, Paper.CONSENT, Paper.PARTICULAR})
TITLES: dict[Paper, str] = {
    Paper.PERSON: "Who this person is",
    Paper.CONSENT: "Consent",
    Paper.PARTICULAR: "Something about a person",
}
NAME = "Name, as the person says it"
BORN = "Date of birth: year, month, day, as 1980-02-03"
NO = "no: "
"""Begins the answer that there is no consent, before the reason."""


def first(scene: Scene, person: str, how: How) -> Filling | None:
    """Return the form that comes before a person's turn, or None if nothing is asked any more."""
    board = scene.board
    key = board.persons.get(person)
    about = (("person", person), ("how", str(how)))
    if key is None:
        return None
    if ASKED[board.policy.second_identifier] is not None and second_known(board, key) is None:
        return Filling(paper=Paper.PERSON, answers=about)
    today = scene.face.local(scene.now).date()
    if board.policy.ask_consent or is_minor(board, key, today):
        consent = file_of(board, key).consent
        began = scene.day_began
        if not isinstance(consent, ConsentNoted) or consent.at < began:
            return Filling(paper=Paper.CONSENT, answers=about)
    return None


def asked(doing: Filling, scene: Scene) -> tuple[Asked, ...]:
    """Return the lines of the form, in their order."""
    if doing.paper is Paper.PERSON:
        is_name = ASKED[scene.board.policy.second_identifier] is Particular.NAME
        return (("name", NAME, ()),) if is_name else (("born", BORN, ()),)
    giver = dict(doing.answers).get("giver", "")
    givers = tuple(Option(each, GIVERS[each]) for each in ConsentBy)
    no = tuple(Option(f"{NO}{each}", f"NO: {DECLINED[each]}") for each in DeclineReason)
    who: Asked = ("giver", "Who consents", (*givers, *no))
    if giver.startswith(NO):
        return (who,)
    return (
        who,
        ("given", "How it was given", tuple(Option(each, HOW_GIVEN[each]) for each in ConsentHow)),
        ("told", "The result is for", tuple(Option(each, TOLD_TO[each]) for each in ToldTo)),
    )


def fault_of(key: str, text: str) -> str | None:
    """Say in one sentence what is wrong with `text` as an answer, or None if nothing is."""
    if key == "born" and day_of(text) is None:
        return f'"{text}" is no day. Type it as year, month, day: 1980-02-03.'
    return None


def line_of(doing: Filling, by: str) -> PatientLine:
    """Return what a whole form asks of the bay."""
    said = dict(doing.answers)
    if doing.paper is Paper.PERSON:
        return NotePersonLine(
            do="note-person",
            by=by,
            person=said["person"],
            name=said.get("name"),
            born=said.get("born"),
        )
    return _consent(said, by)


def _consent(said: Mapping[str, str], by: str) -> PatientLine:
    giver = said["giver"]
    if giver.startswith(NO):
        return RefuseConsentLine(
            do="refuse-consent",
            by=by,
            person=said["person"],
            reason=DeclineReason(giver.removeprefix(NO)),
        )
    return ConsentLine(
        do="note-consent",
        by=by,
        person=said["person"],
        giver=ConsentBy(giver),
        how=ConsentHow(said["given"]),
        told_to=ToldTo(said["told"]),
    )

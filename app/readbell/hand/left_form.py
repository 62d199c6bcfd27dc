"""Somebody who was entered has left before their turn, and whoever is back waits again.

They are not asked about by a scan: whoever has gone cannot be scanned. So they are chosen among
those of today, or it is said when their turn is called and nobody comes.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.leaving import left_with, may_leave
from readbell.core.board.to_start import to_start
from readbell.core.people.particulars import LeaveReason
from readbell.hand.asking import NOBODY, asked, told
from readbell.hand.doing import Filling, Paper, Room, Visiting
from readbell.hand.hand import Hand, Said, Turn, only
from readbell.hand.question import Option
from readbell.phrases.patient_words import LEFT, say_left_together
from readbell.scenarios.line import PartyLine
from readbell.scenarios.patient_lines import LeftLine

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readbell.bay.news import Answer
    from readbell.core.board.board import Board
    from readbell.hand.scene import Scene

ROOM = "room"
"""Among the answers of a form: it was opened in the room of those who are tested."""
ONE, PARTY = "one", "party"
TITLE = "Somebody has left"

Asked = tuple[str, str, tuple[Option, ...]]


def begin(hand: Hand, who: str, *kept: tuple[str, str]) -> Hand:
    """Return the hand that is about to say that `who` has left, or that nobody says who acts.

    Args:
        hand: the hand.
        who: their ID.
        kept: what else the form keeps: that it leads back to the room, or to which turn.
    """
    if hand.operator is None:
        return hand.saying(NOBODY, fine=False)
    return hand.now_doing(Filling(paper=Paper.LEFT, answers=(("person", who), *kept)))


def why_not(who: str, scene: Scene) -> str | None:
    """Say why nothing is noted of `who` leaving, without a full stop; None: they may have left."""
    board = scene.board
    key = board.persons[who]
    if may_leave(board, key):
        return None
    if key in board.gone:
        return f"{who} has left already"
    runs = [each.label for each in scene.in_order() if each.labelled.subject == key]
    if not runs:
        return f"{who} does not wait: nothing is to be begun for them"
    return f"{who} does not wait: {', '.join(runs)} runs for them"


def left_in_room(hand: Hand, who: str, scene: Scene) -> Turn:
    """Return what becomes of the key for whoever has left; `who` is chosen in the room."""
    against = why_not(who, scene)
    if against is None:
        return only(begin(hand, who, (ROOM, ROOM)))
    key = scene.board.persons[who]
    tail = ""
    if key in scene.board.gone:
        tail = " F6 takes them back in."
    elif any(each.labelled.subject == key for each in scene.in_order()):
        tail = " Scan it on the board; F12 there gives it up."
    return only(hand.saying(f"{against}.{tail}", fine=False))


def back_in(hand: Hand, who: str, scene: Scene) -> Turn:
    """Return what becomes of the key for whoever is back: they wait again, with all who left with them."""
    board = scene.board
    if hand.operator is None:
        return only(hand.saying(NOBODY, fine=False))
    key = board.persons[who]
    if key not in board.gone:
        words = f"{who} has not left. F12 is for whoever waits and has gone."
        return only(hand.saying(words, fine=False))
    party = board.party_of(key)
    names = tuple(name for each in left_with(board, key) if (name := board.name(each)) is not None)
    line = PartyLine(
        do="register-party",
        by=hand.operator,
        id=f"party {len(board.parties) + 1}",
        persons=names,
        lane=None if party is None else party.lane,
    )

    def then(hand: Hand, answer: Answer, scene: Scene) -> Hand:
        if not answer.accepted:
            return hand.now_doing(hand.doing, told(answer, scene))
        # They stand among those who wait now: the chosen one is still the chosen one.
        here = [answer.board.name(each) for each in to_start(answer.board)]
        there = Visiting(room=Room.PATIENTS, cursor=here.index(who))
        return hand.now_doing(there, Said(f"Back in, and waiting: {', '.join(names)}.", fine=True))

    return asked(hand, line, then)


def questions(said: Mapping[str, str], scene: Scene) -> tuple[Asked, ...]:
    """Return the lines of the form: who, if others of their party wait too; why."""
    together = _waiting_with(scene.board, said.get("person", ""))
    whole = f"all {together} of their party who wait"
    who: Asked = ("who", "Who has left", (Option(ONE, "this person alone"), Option(PARTY, whole)))
    reasons = tuple(Option(each, LEFT[each]) for each in LeaveReason)
    words: Asked = ("said", "In your own words", ())
    return (
        *((who,) if together > 1 else ()),
        ("reason", "Why", reasons),
        *((words,) if said.get("reason") == LeaveReason.OTHER else ()),
    )


def line_of(said: Mapping[str, str], by: str, scene: Scene) -> LeftLine:
    """Return what a whole form asks of the bay."""
    board, person = scene.board, said["person"]
    party = board.party_of(board.persons.get(person, ""))
    whole = None if party is None or said.get("who") != PARTY else board.name(party.key)
    return LeftLine(
        do="note-left",
        by=by,
        person=person if whole is None else None,
        party=whole,
        reason=LeaveReason(said["reason"]),
        words=said.get("said"),
    )


def saved(answer: Answer, said: Said) -> Said:
    """Return what is told of it: of several who left together one line is enough."""
    together = say_left_together(answer.events)
    return said if together is None else Said(together, fine=True)


def _waiting_with(board: Board, person: str) -> int:
    """Return how many of the party of `person` wait, themselves among them; 0: they wait in none."""
    party = board.waiting.get(board.persons.get(person, ""))
    return 0 if party is None else sum(theirs == party for theirs in board.waiting.values())

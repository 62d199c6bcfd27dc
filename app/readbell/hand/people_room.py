"""The room of those who work here, and the room of what is held for review."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.board.review import awaiting_review
from readbell.core.board.staff import attempts_that_lock
from readbell.core.policy.staffing import SignInBy
from readbell.core.staff.pins import is_locked_out
from readbell.hand.asking import NOBODY, asked, stay, told
from readbell.hand.doing import ChoosingPin, Filling, Paper, Visiting
from readbell.hand.finding import Thing, find
from readbell.hand.given import Key, Scanned
from readbell.hand.hand import Hand, Turn, only
from readbell.hand.question import Option
from readbell.hand.signing import sign_out, take_over
from readbell.scenarios.staff_lines import RecordLine, UnlockLine

if TYPE_CHECKING:
    from readbell.bay.news import Answer
    from readbell.hand.scene import Scene

HINT = (
    "F2 registers a new operator, F3 lets the chosen one act, F4 sets a PIN, F5 gives roles, "
    "F6 signs out or unlocks, F12 is for whoever leaves."
)


REVIEW_HINT = (
    "F3 releases the chosen reading, F6 says anew what was on a strip, F12 takes a result back."
)


def people_pressed(hand: Hand, doing: Visiting, key: Key, who: str | None, scene: Scene) -> Turn:
    """Return what becomes of `key` in the room of operators; `who` is chosen there."""
    match key:
        case Key.START:
            return only(hand.now_doing(Filling(paper=Paper.OPERATOR)))
        case Key.DONE if who:
            return _acts(hand, who, scene)
        case Key.LOOK | Key.READ | Key.SECOND | Key.VOID if hand.operator is None:
            return only(hand.saying(NOBODY, fine=False))
        case Key.LOOK if who:
            words = f"New PIN of {who}: type it, then Enter."
            return only(hand.now_doing(ChoosingPin(operator=who, before=doing)).saying(words))
        case Key.READ if who:
            filling = Filling(paper=Paper.ROLES, answers=(("operator", who),), cursor=1)
            return only(hand.now_doing(filling))
        case Key.SECOND if who:
            return _out_or_unlocked(hand, who, scene)
        case Key.VOID:
            return only(hand.now_doing(Filling(paper=Paper.RETIRE)))
        case _:
            return only(hand.saying(HINT))


def review_pressed(hand: Hand, key: Key, cartridge: str | None) -> Turn:
    """Return what becomes of `key` in the room of review; the id of `cartridge` is chosen there."""
    match key:
        case Key.DONE | Key.SECOND | Key.VOID if hand.operator is None:
            return only(hand.saying(NOBODY, fine=False))
        case Key.SECOND if cartridge:
            filling = Filling(paper=Paper.AMEND, answers=(("cartridge", cartridge),), cursor=1)
            return only(hand.now_doing(filling))
        case Key.SECOND:
            return only(hand.now_doing(Filling(paper=Paper.AMEND)))
        case Key.DONE if cartridge:
            filling = Filling(paper=Paper.RELEASE, answers=(("cartridge", cartridge),), cursor=1)
            return only(hand.now_doing(filling))
        case Key.VOID:
            return only(hand.now_doing(Filling(paper=Paper.WITHDRAW)))
        case _:
            return only(hand.saying(REVIEW_HINT))


def held_things(scene: Scene) -> tuple[Option, ...]:
    """Return what may be chosen in the room of review."""
    return tuple(Option(each.id, each.label) for each in awaiting_review(scene.board))


def _acts(hand: Hand, who: str, scene: Scene) -> Turn:
    key = scene.board.operators[who]
    signed_in = scene.board.roster.standing(key).is_signed_in
    if scene.board.policy.sign_in is SignInBy.BADGE and not signed_in:
        return only(hand.saying(f"Scan the badge of {who}: here it is what signs in.", fine=False))
    return take_over(hand, who, scene)


def _out_or_unlocked(hand: Hand, who: str, scene: Scene) -> Turn:
    board = scene.board
    standing = board.roster.standing(board.operators[who])
    if is_locked_out(standing, attempts_that_lock(board)):
        line = UnlockLine(do="unlock-operator", by=hand.operator or "", operator=who)
        return asked(hand, line, stay())
    if not standing.is_signed_in:
        return only(hand.saying(f"{who} is not signed in, and not locked out.", fine=False))
    return sign_out(hand, who)


def cleared(hand: Hand, assay: str, scene: Scene) -> Turn:
    """Return the hand that is about to clear somebody for the assay of this id."""
    if hand.operator is None:
        return only(hand.saying(NOBODY, fine=False))
    if scene.board.assay_called(assay) is None:
        return only(hand.saying("This assay is not adopted here. F2 adopts it first.", fine=False))
    filling = Filling(paper=Paper.CLEARANCE, answers=(("assay", assay),), cursor=1)
    return only(hand.now_doing(filling))


def opened_record(hand: Hand, doing: Visiting, given: Scanned, scene: Scene) -> Turn | None:
    """Open the record of the person whose ID was given in the room of results; it is recorded."""
    found = find(scene.board, given.text)
    if found.thing is not Thing.PERSON:
        return None
    if hand.operator is None:
        return only(hand.saying(NOBODY, fine=False))
    line = RecordLine(do="open-record", by=hand.operator, person=found.text)

    def then(hand: Hand, answer: Answer, scene: Scene) -> Hand:
        said = told(answer, scene)
        if not answer.accepted:
            return replace(hand, said=said)
        words = f"{found.text}: the record is open, and that is recorded. Left or Right closes it."
        return hand.now_doing(replace(doing, person=found.text)).saying(words, fine=True)

    return asked(hand, line, then)

"""Who acts: signing in by badge or PIN, signing out, and a station that is locked.

A badge that somebody still has to sign in by is taken before anything else sees
it, and whatever was in hand stays there. A PIN is typed by hand alone: what a
scanner sends is never taken for one.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.board.allowed import must_sign_in
from readbell.core.board.staff import attempts_that_lock
from readbell.core.cartridge.at_instant import stage_at
from readbell.core.cartridge.events import How
from readbell.core.cartridge.stage import Stage
from readbell.core.policy.staffing import SignInBy
from readbell.core.refusal import RefusalCode
from readbell.core.staff.pins import LONGEST, SHORTEST, is_guessed_first, is_locked_out, is_pin
from readbell.hand import following, judging, person_form
from readbell.hand.asking import Then, asked, stay, told
from readbell.hand.doing import (
    ChoosingPin,
    Filling,
    Helping,
    Judging,
    Labelling,
    Leaving,
    Paper,
    Proving,
    Purpose,
    Stepping,
    Watching,
)
from readbell.hand.finding import Thing, find
from readbell.hand.given import Given, Idle, Key, Pressed, Scanned
from readbell.hand.hand import Hand, Said, Turn, only
from readbell.hand.staff_papers import takes_badge
from readbell.scenarios.line import HearLine
from readbell.scenarios.staff_lines import LockLine, PinLine, Secret, SignInLine, SignOutLine

if TYPE_CHECKING:
    from readbell.bay.news import Answer
    from readbell.hand.doing import Doing
    from readbell.hand.scene import Scene

LOCKED = "Locked. Scan your badge, or type your ID, to go on. Countdowns and alarms go on."
NOT_SCANNED = "A PIN is typed by hand, never scanned. Type it, then Enter."
NO_PIN = f"That is no PIN. Choose {SHORTEST} to {LONGEST} digits."
EASY = "Everybody tries that one first. Choose digits that are not all alike and do not count."
DIFFERENT = "The two were not the same. Nothing was set. Type the new PIN anew."
AGAIN = "Once more, to make sure."
_UNDER_LOCK = frozenset(
    {
        Key.UP,
        Key.DOWN,
        Key.PAGE_UP,
        Key.PAGE_DOWN,
        Key.HOME,
        Key.READ,
        Key.HELP,
        Key.LEAVE,
        Key.BACK,
    }
)
"""Keys that show nothing of anybody; a strip in its window is read under a typed name."""


def first(hand: Hand, given: Given, scene: Scene) -> Turn | None:
    """Return what becomes of `given` where it is about who acts; None if it is not."""
    if isinstance(given, Idle):
        return lock(hand, scene)
    badge = _badge(hand, given, scene)
    if badge is not None:
        return take_over(hand, badge, scene)
    if hand.locked and isinstance(hand.doing, Watching):
        return _under_lock(hand, given, scene)
    return None


def take_over(hand: Hand, operator: str, scene: Scene) -> Turn:
    """Let `operator` act from now on: at once, or once they have signed in."""
    board = scene.board
    key = board.operators[operator]
    if not must_sign_in(board, key):
        return only(_acting(hand, operator, Said(f"{operator} acts now.", fine=True)))
    if board.policy.sign_in is SignInBy.BADGE:
        return asked(hand, SignInLine(do="sign-in", by=operator), _signed_in(operator, hand.doing))
    before = _before(hand.doing)
    if not any(each.has_pin for each in board.roster.standings.values()):
        words = f"Nobody has a PIN here yet. {operator}, choose yours: type it, then Enter."
        return only(hand.now_doing(ChoosingPin(operator=operator, before=before)).saying(words))
    proving = Proving(operator=operator, before=before)
    return only(hand.now_doing(proving).saying(f"PIN of {operator}: type it, then Enter."))


def prove_given(hand: Hand, doing: Proving, given: Given, scene: Scene) -> Turn | None:
    """Return what becomes of `given` while a PIN is asked for."""
    match given:
        case Scanned(text=text, how=How.TYPED):
            line = SignInLine(do="sign-in", by=doing.operator, pin=Secret(text))
            return asked(hand, line, _signed_in(doing.operator, doing.before))
        case Scanned(text=text) if find(scene.board, text).thing is Thing.OPERATOR:
            return take_over(hand.now_doing(doing.before), find(scene.board, text).text, scene)
        case Scanned():
            return only(hand.saying(NOT_SCANNED, fine=False))
        case Pressed(key=Key.BACK):
            return only(hand.now_doing(doing.before).saying("Nobody signed in."))
        case _:
            return None


def choose_given(hand: Hand, doing: ChoosingPin, given: Given) -> Turn | None:
    """Return what becomes of `given` while somebody chooses a PIN: twice the same."""
    match given:
        case Scanned(how=How.SCANNED):
            return only(hand.saying(NOT_SCANNED, fine=False))
        case Scanned(text=text) if not is_pin(text):
            return only(hand.saying(NO_PIN, fine=False))
        case Scanned(text=text) if is_guessed_first(text):
            return only(hand.saying(EASY, fine=False))
        case Scanned(text=text) if doing.first is None:
            return only(hand.now_doing(replace(doing, first=text)).saying(AGAIN))
        case Scanned(text=text) if text != doing.first:
            return only(hand.now_doing(replace(doing, first=None)).saying(DIFFERENT, fine=False))
        case Scanned(text=text):
            by = hand.operator or doing.operator
            line = PinLine(do="set-pin", by=by, operator=doing.operator, pin=Secret(text))
            return asked(hand, line, _pin_set(doing))
        case Pressed(key=Key.BACK):
            return only(hand.now_doing(doing.before).saying("No PIN was set."))
        case _:
            return None


def sign_out(hand: Hand, operator: str) -> Turn:
    """Sign `operator` out; with nobody left the station is locked."""

    def then(hand: Hand, answer: Answer, scene: Scene) -> Hand:
        said = told(answer, scene)
        if not answer.accepted:
            return replace(hand, said=said)
        acting = None if hand.operator == operator else hand.operator
        if scene.board.roster.signed_in or scene.board.policy.sign_in is SignInBy.NONE:
            return replace(hand, operator=acting, said=said)
        return replace(hand, operator=None, locked=True).now_doing(Watching(), said)

    return asked(hand, SignOutLine(do="sign-out", by=operator), then)


def lock(hand: Hand, scene: Scene) -> Turn:
    """Lock the station: nobody acts until somebody says again who they are."""
    locked = locked_hand(hand)
    if not scene.board.roster.signed_in:
        return only(locked)
    return asked(locked, LockLine(do="lock-station"), _locked)


def locked_hand(hand: Hand) -> Hand:
    """Return the hand of a locked station; what was in hand is let go, as nothing of it was saved."""
    shut = replace(hand, operator=None, locked=True, opened=False)
    return shut.now_doing(Watching()).saying(LOCKED)


def _locked(hand: Hand, _answer: Answer, _scene: Scene) -> Hand:
    return hand


def _under_lock(hand: Hand, given: Given, scene: Scene) -> Turn | None:
    match given:
        case Pressed(key=Key.HEARD):
            cartridge = scene.cartridge(scene.sounding)
            if cartridge is None:
                return only(hand.saying("Nothing is ringing."))
            line = HearLine(do="hear-alert", cartridge=cartridge.label)
            return asked(hand, line, stay(cartridge.label))
        case Pressed(key=key) if key in _UNDER_LOCK:
            return None
        case Scanned(text=text, how=how):
            found = scene.board.labelled(find(scene.board, text).text)
            if found is not None and stage_at(found, scene.now) in (
                Stage.READ_WINDOW,
                Stage.CLOSING,
            ):
                return only(judging.begin(hand, found, Purpose.READ, how))
            return only(hand.saying(LOCKED, fine=False))
        case Pressed():
            return only(hand.saying(LOCKED, fine=False))
        case _:
            return None


def _badge(hand: Hand, given: Given, scene: Scene) -> str | None:
    """Return whose badge was given, if they have to sign in by it or unlock the station first."""
    if not isinstance(given, Scanned) or _takes_text(hand.doing):
        return None
    found = find(scene.board, given.text)
    if found.thing is not Thing.OPERATOR:
        return None
    key = scene.board.operators[found.text]
    if not hand.locked and not must_sign_in(scene.board, key):
        return None  # whatever is in hand knows what to do with it
    if isinstance(hand.doing, Judging) and hand.doing.asks_name:
        # Who is locked out types a name all the same, be it their own ID.
        standing = scene.board.roster.standing(key)
        return None if is_locked_out(standing, attempts_that_lock(scene.board)) else found.text
    return found.text


def _takes_text(doing: Doing) -> bool:
    """Say whether the next text is an answer, even if it is somebody's badge."""
    match doing:
        case Proving() | ChoosingPin():
            return True
        case Filling(paper=paper) if paper in person_form.PAPERS:
            return paper is not Paper.CONSENT  # a name may be that of somebody who works here
        case Filling(paper=paper, cursor=cursor):
            return takes_badge(paper, cursor)
        case Labelling():
            return doing.asks_place or doing.asks_witness
        case Stepping(asks_when=asks_when):
            return asks_when
        case _:
            return False


def _before(doing: Doing) -> Doing:
    """Return what goes on once somebody has signed in; no question of a PIN is kept under another."""
    if isinstance(doing, (Proving, ChoosingPin, Helping, Leaving)):
        return doing.before
    return doing


def _signed_in(operator: str, before: Doing) -> Then:
    def then(hand: Hand, answer: Answer, scene: Scene) -> Hand:
        if answer.accepted:
            said = Said(f"{operator} signed in and acts now.", fine=True)
            return _acting(hand.now_doing(before), operator, said)
        said = told(answer, scene)
        refusal = answer.refusal
        if refusal is not None and refusal.code is RefusalCode.LOCKED_OUT:
            return hand.now_doing(before, said)
        return replace(hand, said=said)

    return then


def _pin_set(doing: ChoosingPin) -> Then:
    def then(hand: Hand, answer: Answer, scene: Scene) -> Hand:
        said = told(answer, scene)
        if not answer.accepted:
            return replace(hand, said=said).now_doing(replace(doing, first=None), said)
        return hand.now_doing(doing.before, said)

    return then


def _acting(hand: Hand, operator: str, said: Said) -> Hand:
    if isinstance(hand.doing, Judging):
        hand = hand.now_doing(judging.unnamed(hand.doing))
    unread = following.closed_for(hand, operator)
    return replace(unread, operator=operator, locked=False, said=said)

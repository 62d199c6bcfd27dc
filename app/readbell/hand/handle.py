"""One thing is given to a hand: what becomes of it, and what is asked of the bay.

Laws, held by tests: no scan ever saves an outcome; a scan's own Enter does
nothing; no letter does anything; Esc loses no list without saying so.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.cartridge.events import How
from readbell.hand import signing
from readbell.hand.box_scan import as_box
from readbell.hand.deaf import deafened, noted
from readbell.hand.doing import (
    ChoosingPin,
    Figuring,
    Filling,
    Following,
    Gathering,
    Helping,
    Judging,
    Labelling,
    Leaving,
    Proving,
    Stepping,
    TakingBack,
    Visiting,
    Voiding,
    Watching,
)
from readbell.hand.figuring import figure_given
from readbell.hand.filling import fill_given
from readbell.hand.finding import is_no_id
from readbell.hand.following import follow_given
from readbell.hand.gathering import gather_given
from readbell.hand.given import Faulty, Given, Key, Pressed, Scanned
from readbell.hand.hand import Hand, Turn, only
from readbell.hand.judging import judge_given
from readbell.hand.labelling import label_given
from readbell.hand.stepping import step_given
from readbell.hand.taking_back import take_back_given
from readbell.hand.visiting import visit_given
from readbell.hand.voiding import void_given
from readbell.hand.watching import watch_given

if TYPE_CHECKING:
    from readbell.hand.doing import Doing
    from readbell.hand.scene import Scene


NO_ID = "Signs in it cannot be seen, or it is too long. Nothing was taken. Scan it again."


def handle(hand: Hand, given: Given, scene: Scene) -> Turn:
    """Return what becomes of `given`."""
    deaf = deafened(hand, given, scene.now)
    if deaf is not None:
        return only(noted(hand, deaf, given, scene.now))
    turn = _taken(hand, given, scene)
    return replace(turn, hand=noted(hand, turn.hand, given, scene.now))


def _taken(hand: Hand, given: Given, scene: Scene) -> Turn:
    if isinstance(given, Pressed) and given.typed:
        # What stood in the scan line was meant for this key: it goes first.
        first = _one(hand, Scanned(given.typed, How.TYPED), scene)
        refused = first.hand.said is not None and first.hand.said.fine is False
        if first.ask is not None or refused or not _same_matter(hand.doing, first.hand.doing):
            # What has only now come up is shown first; the key is for what was seen.
            return first
        hand = first.hand
    return _one(hand, given, scene)


def _one(hand: Hand, given: Given, scene: Scene) -> Turn:
    boxed = as_box(hand, given, scene)
    if isinstance(boxed, Turn):
        return boxed
    given = boxed
    turn = signing.first(hand, given, scene) or _by_doing(hand, given, scene)
    if turn is not None:
        return turn
    if isinstance(given, Pressed) and given.key is Key.BACK:
        return only(_back(hand))
    return _of_one_cartridge(watch_given(hand, given, scene))


def _of_one_cartridge(turn: Turn) -> Turn:
    """Let an offer go when another cartridge is chosen: row and panel must speak of the same one."""
    hand = turn.hand
    if isinstance(hand.doing, Stepping) and hand.chosen != hand.doing.cartridge:
        return replace(turn, hand=hand.now_doing(Watching(), hand.said))
    return turn


def _same_matter(before: Doing, after: Doing) -> bool:
    about = (getattr(each, "cartridge", None) for each in (before, after))
    return type(before) is type(after) and len(set(about)) == 1


def _by_doing(hand: Hand, given: Given, scene: Scene) -> Turn | None:
    if isinstance(given, Scanned) and is_no_id(given.text):
        return only(hand.saying(NO_ID, fine=False))
    if isinstance(given, Faulty):
        return only(hand.saying(given.why, fine=False))
    if isinstance(given, Pressed) and given.key is Key.HEARD and scene.sounding is not None:
        return None  # stopping a sound is the same everywhere
    match hand.doing:
        case Watching():
            return None
        case Stepping() as doing:
            return step_given(hand, doing, given, scene)
        case Labelling() as doing:
            return _labelling(hand, doing, given, scene)
        case Gathering() as doing:
            return _keys_held(hand, gather_given(hand, doing, given, scene), given)
        case Judging() as doing:
            return _held(hand, judge_given(hand, doing, given, scene), given)
        case Voiding() as doing:
            return _held(hand, void_given(hand, doing, given, scene), given)
        case TakingBack() as doing:
            return _taking_back(hand, doing, given, scene)
        case Visiting() as doing:
            return visit_given(hand, doing, given, scene)
        case Filling() as doing:
            return _held(hand, fill_given(hand, doing, given, scene), given)
        case Proving() as doing:
            return _held(hand, signing.prove_given(hand, doing, given, scene), given)
        case ChoosingPin() as doing:
            return _held(hand, signing.choose_given(hand, doing, given), given)
        case Following() as doing:
            return follow_given(hand, doing, given)
        case Figuring() as doing:
            return figure_given(hand, doing, given, scene)
        case Helping() as doing:
            return _helping(hand, doing, given, scene)
        case Leaving(before=before):
            return _leaving(hand, before, given, scene)


def _labelling(hand: Hand, doing: Labelling, given: Given, scene: Scene) -> Turn | None:
    turn = label_given(hand, doing, given, scene)
    if turn is None and doing.again and isinstance(given, Scanned):
        # Nothing was begun: whoever scans something else goes on with that.
        return _one(hand.now_doing(Watching()), given, scene)
    return _keys_held(hand, turn, given)


def _taking_back(hand: Hand, doing: TakingBack, given: Given, scene: Scene) -> Turn | None:
    turn = take_back_given(hand, doing, given, scene)
    if turn is None and isinstance(given, Scanned):
        # Nothing was taken back, and nothing is asked that a scan could answer: work goes on with it.
        return _one(hand.now_doing(Watching()), given, scene)
    return _held(hand, turn, given)


def _keys_held(hand: Hand, turn: Turn | None, given: Given) -> Turn | None:
    """Let no key of the board drop what is in hand; scans of badges and boxes go on to it."""
    if turn is not None or isinstance(given, Scanned):
        return turn
    held = _held(hand, None, given)
    if held is None or not isinstance(given, Pressed):
        return held
    return only(hand.saying("Not now: finish this first, or Esc puts it off.", fine=False))


def _held(hand: Hand, turn: Turn | None, given: Given) -> Turn | None:
    """Keep a form open: only Esc, help and leaving get out of it."""
    if turn is not None:
        return turn
    if isinstance(given, Pressed) and given.key in (Key.BACK, Key.HELP, Key.LEAVE, Key.HEARD):
        return None
    return only(hand)


def _helping(hand: Hand, doing: Helping, given: Given, scene: Scene) -> Turn:
    """Turn the pages of the help, or go back to what it covers; nothing covered is ever saved."""
    before = replace(hand, doing=doing.before)
    match given:
        case Pressed(key=Key.DOWN | Key.RIGHT | Key.PAGE_DOWN):
            return only(replace(hand, doing=replace(doing, page=doing.page + 1)))
        case Pressed(key=Key.UP | Key.LEFT | Key.PAGE_UP):
            return only(replace(hand, doing=replace(doing, page=doing.page - 1)))
        case Pressed(key=Key.LEAVE):
            return only(hand.now_doing(Leaving(before=doing.before)))
        case Scanned():
            return _one(before, given, scene)
        case _:
            return only(before)


def _leaving(hand: Hand, before: Doing, given: Given, scene: Scene) -> Turn:
    match given:
        case Pressed(key=Key.LEAVE):
            return Turn(hand=hand, leave=True)
        case Scanned():
            # Whoever scans goes on working; no scan is lost.
            return _one(hand.now_doing(before), given, scene)
        case _:
            return only(hand.now_doing(before).saying("Work goes on."))


def _back(hand: Hand) -> Hand:
    match hand.doing:
        case Watching():
            return replace(hand, opened=False, said=None)
        case Gathering(persons=persons) if persons:
            people = "1 person was" if len(persons) == 1 else f"{len(persons)} people were"
            words = f"{people} on the list; none was entered."
            return hand.now_doing(Watching()).saying(words)
        case Judging():
            return hand.now_doing(Watching()).saying("Nothing was saved of this look.")
        case _:
            return hand.now_doing(Watching()).saying("Back at the board. Nothing was saved.")

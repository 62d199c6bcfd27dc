"""The board is watched: a scan finds something and offers its next act."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.board.allowed import may_hear_unsigned
from readbell.core.board.correcting import refuse_correction
from readbell.core.board.repeats import gets_no_repeat
from readbell.core.board.stations import held_out_of_reach
from readbell.core.cartridge.at_instant import stage_at, window
from readbell.core.cartridge.correction import refuse_mending
from readbell.core.cartridge.ending import refuse_void
from readbell.core.cartridge.events import How
from readbell.core.cartridge.stage import Stage
from readbell.core.cartridge.taking_back import refuse_taking_back
from readbell.core.instant import between
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.span_text import write_left
from readbell.hand import (
    following,
    gathering,
    judging,
    labelling,
    stepping,
    taking_back,
    voiding,
)
from readbell.hand.asking import NOBODY, asked, stay
from readbell.hand.doing import Helping, Leaving, Purpose, Visiting, Watching
from readbell.hand.finding import Found, Thing, find
from readbell.hand.given import Faulty, Given, Key, PointedAt, Pressed, Scanned
from readbell.hand.hand import Hand, Turn, only
from readbell.hand.which_box import ONE_VISIT
from readbell.phrases.of_cartridges import OUTCOMES, REPEAT, say_after_void
from readbell.phrases.refusals import Tried, say_refusal
from readbell.phrases.review_words import NO_FURTHER, WITHDRAW_REASONS, WITHDRAWN, say_referral
from readbell.phrases.spared import say_spared
from readbell.phrases.station_words import refused_stations
from readbell.scenarios.line import HearLine, OpenLotLine

if TYPE_CHECKING:
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.cartridge.window import Window
    from readbell.hand.scene import Scene

_MOVES = frozenset({Key.UP, Key.DOWN, Key.PAGE_UP, Key.PAGE_DOWN, Key.HOME})


def watch_given(hand: Hand, given: Given, scene: Scene) -> Turn:
    """Return what becomes of `given` when nothing else is in hand."""
    match given:
        case Scanned():
            return scanned(hand, find(scene.board, given.text), given.how, scene)
        case Faulty():
            return only(hand.saying(given.why, fine=False))
        case PointedAt(cartridge=cartridge) if scene.cartridge(cartridge) is not None:
            return only(hand.choosing(cartridge, How.PICKED))
        case Pressed(key=key) if key in _MOVES:
            return only(_moved(hand, key, scene))
        case Pressed(key=Key.HEARD):
            return _heard(hand, scene)
        # In plain lines nothing lies open beside the list: the story is what is asked for.
        case Pressed(key=Key.RIGHT, in_words=in_words) if (
            hand.opened or in_words
        ) and hand.chosen is not None:
            chosen = scene.cartridge(hand.chosen)
            return only(hand) if chosen is None else following.begin(hand, chosen)
        case Pressed(key=Key.RIGHT):
            return only(replace(hand, opened=hand.chosen is not None))
        case Pressed(key=Key.LEFT | Key.BACK):
            return only(replace(hand, opened=False, said=None, doing=Watching()))
        case Pressed(key=Key.HELP):
            return only(hand.now_doing(Helping(before=hand.doing), hand.said))
        case Pressed(key=Key.LEAVE):
            return only(hand.now_doing(Leaving(before=hand.doing)))
        case Pressed(key=Key.ROOMS):
            return only(hand.now_doing(Visiting()))
        case Pressed(key=Key.START):
            return only(gathering.begin(hand, scene))
        case Pressed(key=key):
            return only(_on_chosen(hand, key, scene))
        case _:
            return only(hand)


def scanned(hand: Hand, found: Found, how: How, scene: Scene) -> Turn:
    """Return what becomes of a scan: each thing leads to what it wants next."""
    match found.thing:
        case Thing.CARTRIDGE:
            cartridge = scene.board.labelled(found.text)
            return only(hand if cartridge is None else next_act(hand, cartridge, how, scene))
        case Thing.PERSON:
            return only(_person(hand, found.text, how, scene))
        case Thing.SAMPLE:
            return only(labelling.turn_of(hand, found.text, how, scene, is_sample=True))
        case Thing.OPERATOR:
            # Whatever is in hand stays there: only who does it has changed.
            changed = replace(following.closed_for(hand, found.text), operator=found.text)
            return only(changed.saying(f"{found.text} acts now.", fine=True))
        case Thing.LOT:
            if hand.operator is None:
                return only(hand.saying(NOBODY, fine=False))
            line = OpenLotLine(do="open-lot", by=hand.operator, lot=found.text)
            return asked(hand, line, stay())
        case Thing.TWO_IN_ONE:
            return only(hand.saying("That was two labels at once. Scan one.", fine=False))
        case _:
            words = (
                f'"{found.text}" is nothing we know. Scan again; a new person begins with F2, '
                "a new box with F9."
            )
            return only(hand.now_doing(Watching()).saying(words, fine=False))


def next_act(hand: Hand, cartridge: Cartridge, how: How, scene: Scene) -> Hand:
    """Return the hand with `cartridge` chosen and its next act offered."""
    hand = hand.choosing(cartridge.id, how).now_doing(Watching())
    elsewhere = _held_elsewhere(cartridge, scene)
    if elsewhere is not None:
        return hand.saying(elsewhere, fine=False)
    stage = stage_at(cartridge, scene.now)
    if cartridge.next_step is not None and not cartridge.has_ended:
        return stepping.offer(hand, cartridge, how, is_named=how is not How.PICKED)
    if stage in (Stage.READ_WINDOW, Stage.CLOSING):
        return _read(hand, cartridge, how, scene)
    return hand.saying(_nothing_due(cartridge, stage, scene))


def _held_elsewhere(cartridge: Cartridge, scene: Scene) -> str | None:
    """Return that its clock runs at a station that cannot be reached, before a form is filled in."""
    if scene.around is None:
        return None
    station = held_out_of_reach(scene.board, cartridge.id, scene.around.here)
    if station is None:
        return None
    return refused_stations(Refusal(code=RefusalCode.HELD_ELSEWHERE, subject=station))


def _nothing_due(cartridge: Cartridge, stage: Stage, scene: Scene) -> str:
    label = cartridge.label
    if cartridge.withdrawn is not None:
        why = WITHDRAW_REASONS[cartridge.withdrawn.reason]
        return f"{label} {WITHDRAWN}: {why}. {say_spared(scene.board, cartridge) or REPEAT}"
    if stage is Stage.READ and cartridge.outcome is not None:
        mends = " F6 puts an own slip right." if _may_be_put_right(cartridge, scene) else ""
        return f"{label} was read: {OUTCOMES[cartridge.outcome]}.{mends}"
    if stage in (Stage.LAPSED, Stage.VOID):
        follows = say_spared(scene.board, cartridge) or _after(cartridge)
        return f"{label} has ended: {stage}. {follows}"
    span = window(cartridge)
    if cartridge.unsure or span is None:
        return (
            f"The clock may have lied since {label} had its drops. No outcome may come of it "
            "until the time of the drops is stated with a witness."
        )
    if scene.now >= span.opens:
        until = "" if span.closes is None else f" until {scene.face.time(span.closes)}"
        return f"The window of {label} is open{until}. F5 reads it."
    left = write_left(between(scene.now, span.opens))
    early = span.early_from is not None and scene.now >= span.early_from
    tail = " F4 for an early look." if early else ""
    return f"{label} develops. It opens at {scene.face.time_from(span.opens)}, in {left}.{tail}"


def _may_be_put_right(cartridge: Cartridge, scene: Scene) -> bool:
    """Say whether its reader may still mend a slip: while it can be read, and nobody was told."""
    by = scene.board.operators.get(scene.acting or "")
    refused = refuse_correction(scene.board, cartridge) or refuse_mending(cartridge, by, scene.now)
    return refused is None


def _person(hand: Hand, person: str, how: How, scene: Scene) -> Hand:
    subject = scene.board.persons[person]
    theirs = [each for each in scene.in_order() if each.labelled.subject == subject]
    if theirs:
        labels = ", ".join(each.label for each in theirs)
        why = f"{person}: {labels} running. Scan the cartridge itself to go on."
        return labelling.one_more(hand, person, how, why)
    before = _lately(subject, scene)
    if before is not None:
        return labelling.one_more(hand, person, how, f"{person}: {_how_it_ended(before, scene)}")
    return labelling.turn_of(hand, person, how, scene)


def _lately(subject: str, scene: Scene) -> Cartridge | None:
    """Return the last cartridge of a person that ended in this visit, as far as one can tell."""
    ids = scene.board.history.get(subject, ())
    last = scene.cartridge(ids[-1]) if ids else None
    if last is None or between(last.labelled.at, scene.now) > ONE_VISIT:
        return None
    return last


def _how_it_ended(cartridge: Cartridge, scene: Scene) -> str:
    label, spared = cartridge.label, say_spared(scene.board, cartridge)
    if cartridge.withdrawn is not None:
        return f"the result of {label} was taken back. {spared or REPEAT}"
    if cartridge.voided is not None or cartridge.outcome is None:
        return f"{label} is void. {spared or _after(cartridge)}"
    read = cartridge.reading
    when = "lapsed unread" if read is None else f"read at {scene.face.time(read.at)}"
    if spared:
        return f"{label} {when}: {OUTCOMES[cartridge.outcome]}. {spared}"
    if gets_no_repeat(scene.board, cartridge):
        said = f"{label} {when}: {OUTCOMES[cartridge.outcome]}. {NO_FURTHER}"
        return f"{said} {say_referral(scene.board.policy.referral)}"
    repeat = {
        Outcome.INVALID: " A repeat is due.",
        Outcome.WITHHELD: " Tell a supervisor; a repeat is due.",
    }.get(cartridge.outcome, "")
    return f"{label} {when}: {OUTCOMES[cartridge.outcome]}.{repeat}"


def _after(cartridge: Cartridge) -> str:
    """Return what follows on a cartridge of which nothing came."""
    voided = cartridge.voided
    return say_after_void(None if voided is None else voided.reason)


def _moved(hand: Hand, key: Key, scene: Scene) -> Hand:
    order = [each.id for each in scene.in_order()]
    if not order:
        return hand
    place = order.index(hand.chosen) if hand.chosen in order else 0
    steps = {
        Key.UP: -1,
        Key.DOWN: 1,
        Key.PAGE_UP: -scene.page,
        Key.PAGE_DOWN: scene.page,
        Key.HOME: -len(order),
    }
    # Without a choice the first arrow chooses the first row.
    further = place + steps[key] if hand.chosen in order else 0
    return replace(hand, said=None).choosing(
        order[min(max(further, 0), len(order) - 1)], How.PICKED
    )


def _on_chosen(hand: Hand, key: Key, scene: Scene) -> Hand:
    cartridge = scene.cartridge(hand.chosen)
    if cartridge is None:
        words = "No cartridge is chosen. Scan one, or choose a row with the arrows."
        if key is Key.VOID and scene.board.waiting:
            words = f"{words} Whoever waits and has left: F9, Patients, F12."
        return hand.saying(words)
    running = not cartridge.has_ended
    elsewhere = _held_elsewhere(cartridge, scene)
    if elsewhere is not None:
        return hand.saying(elsewhere, fine=False)
    stage = stage_at(cartridge, scene.now)
    match key:
        case Key.DONE if running and cartridge.next_step is not None:
            return stepping.offer(hand, cartridge, hand.chosen_by, is_named=False)
        case Key.LOOK if running and _may_look(cartridge, scene):
            return judging.begin(hand, cartridge, Purpose.LOOK, hand.chosen_by)
        case Key.READ if stage in (Stage.READ_WINDOW, Stage.CLOSING):
            return _read(hand, cartridge, hand.chosen_by, scene)
        case Key.SECOND if cartridge.withdrawn is None and (
            stage is Stage.READ or cartridge.awaits_second
        ):
            return _mend(hand, cartridge, scene)
        case Key.SECOND if running and stage is not Stage.LAPSED:
            refused = refuse_taking_back(cartridge)
            if refused is None:
                return taking_back.begin(hand, cartridge)
            return _refused(hand, cartridge, refused, scene)
        case Key.VOID if running and stage is not Stage.LAPSED:
            refused = refuse_void(cartridge)
            if refused is None:
                return voiding.begin(hand, cartridge)
            return _refused(hand, cartridge, refused, scene)
        case _:
            return hand.saying(_not_now(key, cartridge, stage, scene), fine=False)


def _mend(hand: Hand, cartridge: Cartridge, scene: Scene) -> Hand:
    """Return the hand that puts a slip right, or says why nobody does, before a line is answered."""
    by = scene.board.operators.get(hand.operator or "")
    refused = refuse_correction(scene.board, cartridge) or refuse_mending(cartridge, by, scene.now)
    if refused is None:
        return judging.begin(hand, cartridge, Purpose.CORRECT, hand.chosen_by)
    if refused.code is RefusalCode.NOT_ALLOWED:
        return _refused(hand, cartridge, refused, scene)
    words = f"Nothing is put right on {cartridge.label} any more. A supervisor amends it: F9, Review, F6."
    return hand.saying(words, fine=False)


def _refused(hand: Hand, cartridge: Cartridge, refused: Refusal, scene: Scene) -> Hand:
    """Return the hand with what the rule itself says; nothing was tried, so nothing is recorded."""
    what = Tried(cartridge=cartridge.label, now=scene.now)
    return hand.saying(say_refusal(refused, what, scene.face), fine=False)


def _read(hand: Hand, cartridge: Cartridge, how: How, scene: Scene) -> Hand:
    """Return the hand that reads the strip; of two readers the second is somebody else."""
    reading = cartridge.reading
    if reading is None:
        return judging.begin(hand, cartridge, Purpose.READ, how)
    if hand.operator is not None and scene.board.operators.get(hand.operator) == reading.by:
        words = (
            f"You read {cartridge.label} already. A second reader is somebody else: they scan "
            "their badge, then the cartridge. F6 puts an own slip right."
        )
        return hand.saying(words, fine=False)
    words = f"{cartridge.label} was read once. You read it second: say what you see yourself."
    return judging.begin(hand, cartridge, Purpose.READ, how).saying(words)


def _may_look(cartridge: Cartridge, scene: Scene) -> bool:
    span = window(cartridge)
    return (
        span is not None
        and span.early_from is not None
        and span.early_from <= scene.now < span.opens
        and not cartridge.unsure
    )


def _not_now(key: Key, cartridge: Cartridge, stage: Stage, scene: Scene) -> str:
    if cartridge.next_step is not None and not cartridge.has_ended:
        before = _BEFORE.get(key, "is not there yet")
        return f"{cartridge.label} {before}. Next: {cartridge.next_step.title}."
    if key is Key.LOOK and stage in (Stage.READ_WINDOW, Stage.CLOSING):
        return f"The window of {cartridge.label} is open: F5 reads it."
    span = window(cartridge)
    if key is Key.LOOK and stage is Stage.DEVELOPING and span is not None and not cartridge.unsure:
        return _early_from(cartridge.label, span, scene)
    if key is Key.READ and stage is Stage.DEVELOPING and span is not None and not cartridge.unsure:
        left = write_left(between(scene.now, span.opens))
        return f"Too early. A negative counts from {scene.face.time_from(span.opens)}, in {left}."
    return _nothing_due(cartridge, stage, scene)


_BEFORE: dict[Key, str] = {
    Key.LOOK: "has nothing to look at yet",
    Key.READ: "is not to be read yet",
}
"""What a key is too soon for while steps are still to be done."""


def _early_from(label: str, span: Window, scene: Scene) -> str:
    """Return from when an early look is possible, to somebody who asked for one before that."""
    if span.early_from is None:
        return "This assay gives no leave for an early look. Read it in its window."
    left = write_left(between(scene.now, span.early_from))
    possible = scene.face.time_from(span.early_from)
    return f"Too early for an early look of {label}. One is possible from {possible}, in {left}."


def _heard(hand: Hand, scene: Scene) -> Turn:
    cartridge = scene.cartridge(scene.sounding)
    if cartridge is None:
        return only(hand.saying("Nothing is ringing."))
    if hand.operator is None and not may_hear_unsigned(scene.board):
        return only(hand.saying(NOBODY, fine=False))
    line = HearLine(do="hear-alert", by=hand.operator, cartridge=cartridge.label)
    return asked(hand, line, stay(cartridge.label))

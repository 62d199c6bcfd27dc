"""The rooms beside the board: lots, operators, assays, sound, and what was read today."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.board.alarm import muted_until
from readbell.core.board.entry import Do, Entry
from readbell.hand import (
    figuring,
    following,
    paper_form,
    patients_room,
    plan_form,
    samples_room,
    stations_room,
    telling_room,
)
from readbell.hand.asking import NOBODY, asked, asked_of, stay
from readbell.hand.doing import Filling, Paper, Room, Visiting, Watching
from readbell.hand.finding import Thing, find
from readbell.hand.given import Chose, Given, Key, Pressed, Scanned
from readbell.hand.hand import Hand, Turn, only
from readbell.hand.people_room import (
    cleared,
    held_things,
    opened_record,
    people_pressed,
    review_pressed,
)
from readbell.hand.question import Option, Question, moved
from readbell.hand.shift_room import in_shift
from readbell.phrases.of_sound import MUTE_REASONS
from readbell.scenarios.line import (
    MuteLine,
    OpenLotLine,
    TestAlarmLine,
    UnmuteLine,
)

if TYPE_CHECKING:
    from readbell.hand.scene import Scene

MUTED_FOR = "5:00"
"""A mute ends by itself after this (our own choice)."""


def rooms_of(scene: Scene, here: Room | None = None) -> tuple[Room, ...]:
    """Return the rooms in their order, and the one where somebody is `here` in any case.

    That of the stations is there where a bay may have several.
    """
    shared = scene.around is not None or here is Room.STATIONS
    return tuple(each for each in Room if each is not Room.STATIONS or shared)


def questions(doing: Visiting, scene: Scene) -> tuple[Question, ...]:
    """Return what the room asks: which of its things is meant, or why it is to be silent."""
    if doing.room is Room.SOUND and muted_until(scene.board, scene.now) is not None:
        return ()  # it rests already: F2 ends that
    if doing.room is Room.SOUND:
        return (
            Question(
                key="reason",
                asks="Why the sound is to rest",
                options=tuple(Option(each, words) for each, words in MUTE_REASONS.items()),
                answer=doing.reason,
                is_list=True,
            ),
        )
    options = things_in(doing.room, scene)
    if not options:
        return ()
    place = min(doing.cursor, len(options) - 1)
    return (
        Question(
            key="thing",
            asks=doing.room.capitalize(),
            options=options,
            answer=options[place].value,
            is_list=True,
        ),
    )


def things_in(room: Room, scene: Scene) -> tuple[Option, ...]:
    """Return what lies in `room` and may be chosen there."""
    match room:
        case Room.LOTS:
            return tuple(Option(number, number) for number in scene.board.lots)
        case Room.PEOPLE:
            return tuple(Option(each, each) for each in scene.board.operators)
        case Room.REVIEW:
            return held_things(scene)
        case Room.PATIENTS:
            return patients_room.things(scene)
        case Room.TELLING:
            return telling_room.things(scene)
        case Room.ASSAYS:
            return tuple(Option(each.id, each.title) for each in scene.shelf)
        case Room.SAMPLES:
            return samples_room.materials(scene)
        case Room.STATIONS:
            return stations_room.things(scene)
        case Room.SOUND | Room.TEMPERATURE | Room.TODAY | Room.SHIFT | Room.PLAN | Room.FIGURES:
            return ()


def visit_given(hand: Hand, doing: Visiting, given: Given, scene: Scene) -> Turn | None:
    """Return what becomes of `given`, or None if the board is to deal with it."""
    match given:
        case Pressed(key=Key.ROOMS):
            return only(hand.now_doing(Watching()))
        case Pressed(key=Key.LEFT | Key.RIGHT as key):
            step, rooms = 1 if key is Key.RIGHT else -1, rooms_of(scene, doing.room)
            room = rooms[(rooms.index(doing.room) + step) % len(rooms)]
            return only(hand.now_doing(Visiting(room=room)))
        case Pressed(key=Key.UP | Key.DOWN as key):
            return only(_moved(hand, doing, key, scene))
        case Chose(question="thing", answer=answer):
            values = [each.value for each in things_in(doing.room, scene)]
            place = values.index(answer) if answer in values else doing.cursor
            return only(hand.now_doing(replace(doing, cursor=place)))
        case Chose(question="room", answer=answer) if answer in rooms_of(scene):
            return only(hand.now_doing(Visiting(room=Room(answer))))
        case Chose(question="reason", answer=answer) if answer in MUTE_REASONS:
            return only(hand.now_doing(replace(doing, reason=answer)))
        case Scanned() if doing.room is Room.TODAY:
            return opened_record(hand, doing, given, scene)
        case Scanned() if doing.room is Room.LOTS:
            return _scanned_lot(hand, doing, given, scene)
        case Pressed(key=Key.HELP | Key.LEAVE | Key.BACK):
            return None
        case Pressed(key=Key.PAGE_DOWN) if doing.room in following.STORIED:
            return following.begin_in_room(hand, doing, _thing(doing, scene), scene)
        case Pressed(key=key):
            return _in_room(hand, doing, key, scene)
        case _:
            return None


def _in_room(hand: Hand, doing: Visiting, key: Key, scene: Scene) -> Turn:
    match doing.room:
        case Room.LOTS:
            return _lots(hand, doing, key, scene)
        case Room.SAMPLES:
            return samples_room.in_samples(hand, _thing(doing, scene), key, scene)
        case Room.PEOPLE:
            return people_pressed(hand, doing, key, _thing(doing, scene), scene)
        case Room.REVIEW:
            return review_pressed(hand, key, _thing(doing, scene))
        case Room.PATIENTS:
            return patients_room.pressed(hand, key, _thing(doing, scene), scene)
        case Room.TELLING:
            return telling_room.pressed(hand, key, _thing(doing, scene), scene)
        case Room.ASSAYS:
            return _assays(hand, doing, key, scene)
        case Room.SOUND:
            return _sound(hand, doing, key, scene)
        case Room.TEMPERATURE if key is Key.START:
            return only(hand.now_doing(Filling(paper=Paper.TEMPERATURE)))
        case Room.TEMPERATURE:
            return only(hand.saying("F2 notes a temperature."))
        case Room.TODAY if key is Key.START:
            return paper_form.begin(hand, scene)
        case Room.TODAY:
            words = (
                "This room is there to be read; F2 enters a run that was done on paper. "
                "A person's ID opens their record, PgDn the whole story; that is recorded."
            )
            return only(hand.saying(words))
        case Room.SHIFT:
            return in_shift(hand, doing, key, scene)
        case Room.PLAN:
            return plan_form.in_plan(hand, key, scene)
        case Room.FIGURES:
            return figuring.pressed_in_room(hand, key, scene)
        case Room.STATIONS:
            return stations_room.in_stations(hand, doing, _thing(doing, scene), key, scene)


def _lots(hand: Hand, doing: Visiting, key: Key, scene: Scene) -> Turn:
    lot = _thing(doing, scene)
    match key:
        case Key.START if not scene.board.assays:
            return only(hand.saying("No assay is adopted yet. Adopt one first: Right.", fine=False))
        case Key.START:
            return only(hand.now_doing(_new_lot(scene)))
        case Key.SECOND if lot:
            return only(hand.now_doing(Filling(paper=Paper.DEED, answers=(("lot", lot),))))
        case Key.DONE | Key.VOID if hand.operator is None:
            return only(hand.saying(NOBODY, fine=False))
        case Key.DONE if lot and hand.operator and doing.scanned == lot:
            return asked(hand, OpenLotLine(do="open-lot", by=hand.operator, lot=lot), stay())
        case Key.VOID if lot and hand.operator and doing.scanned == lot:
            entry = Entry(do=Do.HOLD_LOT, by=hand.operator, lot=lot)
            return asked_of(hand, entry, stay())
        case Key.DONE | Key.VOID if lot:
            does = "F3 opens" if key is Key.DONE else "F12 holds"
            return only(hand.saying(f"Scan the box of {lot} itself, then {does} it.", fine=False))
        case _:
            return only(hand.saying(NOBODY if hand.operator is None else "Nothing is chosen."))


def _new_lot(scene: Scene) -> Filling:
    ids = list(dict.fromkeys(each.assay.id for each in scene.board.assays.values()))
    # With one assay adopted there is nothing to choose.
    answers = (("assay", ids[0]),) if len(ids) == 1 else ()
    return Filling(paper=Paper.LOT, answers=answers)


def _assays(hand: Hand, doing: Visiting, key: Key, scene: Scene) -> Turn:
    assay = _thing(doing, scene)
    if key is Key.START and assay:
        return only(
            hand.now_doing(Filling(paper=Paper.ASSAY, answers=(("assay", assay),), cursor=1))
        )
    if key is Key.DONE and assay:
        return cleared(hand, assay, scene)
    words = "F2 adopts the chosen assay, once it was checked against the kit. F3 clears somebody."
    return only(hand.saying(words))


def _sound(hand: Hand, doing: Visiting, key: Key, scene: Scene) -> Turn:
    if hand.operator is None:
        return only(hand.saying(NOBODY, fine=False))
    match key:
        case Key.DONE:
            words = "The alarm rings. F8: heard. F6: not heard."
            return Turn(hand=hand.saying(words), ring=True)
        case Key.HEARD:
            line = TestAlarmLine(do="test-alarm", by=hand.operator, heard=True)
            return asked(hand, line, stay())
        case Key.SECOND:
            line = TestAlarmLine(do="test-alarm", by=hand.operator, heard=False)
            return asked(hand, line, stay())
        case Key.START if muted_until(scene.board, scene.now) is not None:
            return asked(hand, UnmuteLine(do="unmute", by=hand.operator), stay())
        case Key.START if doing.reason is None:
            return only(hand.saying("Choose why with Up and Down first.", fine=False))
        case Key.START:
            return asked(hand, _mute(hand.operator, doing.reason or ""), stay())
        case _:
            return only(hand)


def _mute(by: str, reason: str) -> MuteLine:
    return MuteLine.model_validate({"do": "mute", "by": by, "reason": reason, "for": MUTED_FOR})


def _thing(doing: Visiting, scene: Scene) -> str | None:
    options = things_in(doing.room, scene)
    return options[min(doing.cursor, len(options) - 1)].value if options else None


def _moved(hand: Hand, doing: Visiting, key: Key, scene: Scene) -> Hand:
    if doing.room is Room.SOUND:
        asked_for = questions(doing, scene)
        if not asked_for:
            return hand.saying("The sound rests already. F2 lets it sound again.")
        return hand.now_doing(replace(doing, reason=moved(asked_for[0], key)), hand.said)
    last = len(things_in(doing.room, scene)) - 1
    place = doing.cursor + (1 if key is Key.DOWN else -1)
    place = min(max(place, 0), max(last, 0))
    return hand.now_doing(replace(doing, cursor=place, scanned=None, asked_about=None))


def _scanned_lot(hand: Hand, doing: Visiting, given: Scanned, scene: Scene) -> Turn | None:
    found = find(scene.board, given.text)
    if found.thing is not Thing.LOT:
        return None
    place = [each.value for each in things_in(Room.LOTS, scene)].index(found.text)
    changed = replace(doing, cursor=place, scanned=found.text)
    return only(
        hand.now_doing(changed).saying(f"{found.text}: F3 opens it, F12 holds it, F6 more.")
    )

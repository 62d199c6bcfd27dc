"""The whole story of what is chosen, on the board or in a room; that it was opened is recorded."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.keeping.events import TraceOpened
from readbell.core.staff.events import RecordOpened
from readbell.hand.asking import NOBODY, asked, told
from readbell.hand.doing import Figuring, Following, Room, Watching
from readbell.hand.given import Given, Key, Pressed
from readbell.hand.hand import Hand, Turn, only
from readbell.phrases.many_stories import stories_of
from readbell.scenarios.staff_lines import RecordLine, TraceLine

if TYPE_CHECKING:
    from readbell.bay.news import Answer
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.hand.doing import Visiting
    from readbell.hand.scene import Scene

_ONWARD = frozenset({Key.DOWN, Key.PAGE_DOWN})
_BACK = frozenset({Key.UP, Key.PAGE_UP})
STORIED = frozenset({Room.LOTS, Room.PEOPLE, Room.PATIENTS, Room.TODAY})
"""The rooms in which a story can be opened."""
TODAY = "Today"


def begin(hand: Hand, cartridge: Cartridge) -> Turn:
    """Open the story of `cartridge`, for whoever acts and may see it."""
    if hand.operator is None:
        return only(hand.saying(NOBODY, fine=False))
    # By its opaque id: after a shift the label may be another one's.
    line = TraceLine(do="open-trace", by=hand.operator, cartridge=cartridge.id)

    def then(hand: Hand, answer: Answer, scene: Scene) -> Hand:
        said = told(answer, scene, cartridge=cartridge.label)
        if not answer.accepted:
            return replace(hand, said=said)
        return hand.now_doing(Following(cartridge=cartridge.id), said)

    return asked(hand, line, then)


def begin_in_room(hand: Hand, doing: Visiting, thing: str | None, scene: Scene) -> Turn:
    """Open the story of what is chosen in a room; in that of results, of the day.

    Where a person's record lies open there, it is theirs.
    """
    if hand.operator is None:
        return only(hand.saying(NOBODY, fine=False))
    line = _line(doing, hand.operator, thing, scene)
    if line is None:
        return only(hand.saying("Nothing is chosen."))
    called = (line.person if isinstance(line, RecordLine) else line.lot or line.operator) or TODAY

    def then(hand: Hand, answer: Answer, scene: Scene) -> Hand:
        said = told(answer, scene)
        if not answer.accepted:
            return replace(hand, said=said)
        began = scene.day_began
        lines = [
            words
            for event in answer.events
            if isinstance(event, (TraceOpened, RecordOpened))
            for words in stories_of(event, began, scene.board, scene.face)
        ]
        return hand.now_doing(Following(of=called, told=tuple(lines), before=doing), said)

    return asked(hand, line, then)


def _line(
    doing: Visiting, by: str, thing: str | None, scene: Scene
) -> TraceLine | RecordLine | None:
    person = doing.person if doing.room is Room.TODAY else thing
    match doing.room:
        case Room.PATIENTS | Room.TODAY if person:
            return RecordLine(do="open-record", by=by, person=person, whole=True)
        case Room.TODAY:
            return TraceLine(do="open-trace", by=by, day=scene.face.local(scene.now).date())
        case Room.LOTS if thing:
            return TraceLine(do="open-trace", by=by, lot=thing)
        case Room.PEOPLE if thing:
            return TraceLine(do="open-trace", by=by, operator=thing)
        case _:
            return None


def closed_for(hand: Hand, operator: str) -> Hand:
    """Return the hand with no story and no figures open that somebody else than `operator` opened.

    They may see less of it, and it is not on record that they looked.
    """
    if isinstance(hand.doing, (Following, Figuring)) and operator != hand.operator:
        return hand.now_doing(Watching())
    return hand


def follow_given(hand: Hand, doing: Following, given: Given) -> Turn | None:
    """Turn its pages, or go back; a scan goes on to the board."""
    match given:
        case Pressed(key=key) if key in _ONWARD:
            return only(hand.now_doing(replace(doing, page=doing.page + 1)))
        case Pressed(key=key) if key in _BACK:
            return only(hand.now_doing(replace(doing, page=doing.page - 1)))
        case Pressed(key=Key.LEFT | Key.BACK):
            return only(hand.now_doing(doing.before))
        case Pressed(key=Key.HELP | Key.LEAVE | Key.HEARD | Key.ROOMS):
            return None
        case Pressed():
            return only(hand)
        case _:
            return None

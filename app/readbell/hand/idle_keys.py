"""Which keys do nothing as things stand: what is offered has to be so."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.leaving import may_leave
from readbell.core.cartridge.at_instant import stage_at
from readbell.core.cartridge.ending import refuse_void
from readbell.core.cartridge.stage import ENDS
from readbell.core.cartridge.taking_back import refuse_taking_back
from readbell.core.cartridge.together import steps_together
from readbell.core.policy.shifts import Shifts
from readbell.hand.doing import Filling, Labelling, Room, Stepping, Visiting, Watching
from readbell.hand.given import Key

if TYPE_CHECKING:
    from readbell.hand.doing import Doing
    from readbell.hand.scene import Scene


def idle_keys(doing: Doing, scene: Scene, chosen: str | None = None) -> frozenset[Key]:
    """Return the keys that would only say why they do nothing.

    Args:
        doing: what is in hand.
        scene: the bay.
        chosen: opaque id of the cartridge that is chosen on the board.
    """
    match doing:
        case Watching():
            return frozenset(_of_board(chosen, scene))
        case Visiting(room=Room.SHIFT):
            return frozenset(_of_shift(scene))
        case Visiting(room=Room.STATIONS, cursor=cursor):
            return frozenset(_of_stations(cursor, scene))
        case Visiting(room=Room.PATIENTS, cursor=cursor):
            return frozenset(_of_patients(cursor, scene))
        case Labelling():
            return frozenset(_of_turn(doing, scene))
        case Stepping():
            return frozenset(_of_steps(doing, scene))
        case Filling():
            return frozenset(_of_form(doing, scene))
        case _:
            return frozenset()


def _of_board(chosen: str | None, scene: Scene) -> set[Key]:
    """Return what is not to be done with the chosen one: give it up, take its last step back."""
    cartridge = scene.cartridge(chosen)
    if cartridge is None:
        return {Key.SECOND}
    ended = stage_at(cartridge, scene.now) in ENDS
    void = {Key.VOID} if ended or refuse_void(cartridge) is not None else set()
    back = {Key.SECOND} if ended or refuse_taking_back(cartridge) is not None else set()
    return void | back


def _of_turn(doing: Labelling, scene: Scene) -> set[Key]:
    """Return what is not to be done at a turn: they cannot be gone, or no other box stands open."""
    from readbell.hand.which_box import other_boxes  # a first picture does without

    key = scene.board.persons.get(doing.person)
    leaves = not doing.is_sample and key is not None and may_leave(scene.board, key)
    gone = set() if leaves else {Key.VOID}
    return gone if other_boxes(doing, scene) else gone | {Key.LOOK}


def _of_steps(doing: Stepping, scene: Scene) -> set[Key]:
    """Return the arrows that lead no further: on a short line they would take the place of Esc."""
    from readbell.hand.stepping import offered  # a first picture does without

    cartridge = scene.cartridge(doing.cartridge)
    if cartridge is None:
        return {Key.UP, Key.DOWN}
    count = len(offered(doing, cartridge))
    further = set() if count < len(steps_together(cartridge)) else {Key.DOWN}
    return further if count > 1 else further | {Key.UP}


def _of_form(doing: Filling, scene: Scene) -> set[Key]:
    """Return the arrow that chooses, where the question in hand is answered in words."""
    from readbell.hand.papers import questions

    asked = questions(doing, scene)
    chooses = doing.cursor < len(asked) and bool(asked[doing.cursor].options)
    return set() if chooses else {Key.DOWN}


def _of_patients(cursor: int, scene: Scene) -> set[Key]:
    """Return the keys that do nothing about the chosen one: who waits may leave, who left be back."""
    from readbell.hand.patients_room import things

    found = things(scene)
    idle = set() if scene.board.policy.label_ahead else {Key.LOOK}
    if not found:
        return idle | {Key.SECOND, Key.VOID}
    key = scene.board.persons[found[min(cursor, len(found) - 1)].value]
    idle |= set() if key in scene.board.gone else {Key.SECOND}
    return idle if may_leave(scene.board, key) else idle | {Key.VOID}


def _of_stations(cursor: int, scene: Scene) -> set[Key]:
    """Return the keys that do nothing about the chosen one."""
    from readbell.hand.stations_room import APART, may_be_given_up, things

    found = things(scene)
    settles, gives_up = {Key.DONE, Key.SECOND}, {Key.VOID}
    if not found:
        return settles | gives_up
    chosen = found[min(cursor, len(found) - 1)]
    if chosen.value.startswith(APART):
        return gives_up
    return settles if may_be_given_up(scene, chosen.words) else settles | gives_up


def _of_shift(scene: Scene) -> set[Key]:
    book = scene.board.shift_book
    idle = {Key.SECOND} if book.running is None else {Key.START, Key.DONE}
    if book.running is None and scene.board.policy.shifts is Shifts.OFF:
        idle |= {Key.START, Key.DONE}
    return idle if book.unsigned else idle | {Key.READ}

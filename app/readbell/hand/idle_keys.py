"""Which keys of a room do nothing as things stand: what is offered there has to be so."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.policy.shifts import Shifts
from readbell.hand.doing import Room, Visiting
from readbell.hand.given import Key

if TYPE_CHECKING:
    from readbell.hand.doing import Doing
    from readbell.hand.scene import Scene


def idle_keys(doing: Doing, scene: Scene) -> frozenset[Key]:
    """Return the keys that would only say why they do nothing."""
    match doing:
        case Visiting(room=Room.SHIFT):
            return frozenset(_of_shift(scene))
        case Visiting(room=Room.STATIONS, cursor=cursor):
            return frozenset(_of_stations(cursor, scene))
        case Visiting(room=Room.PATIENTS) if not scene.board.policy.label_ahead:
            return frozenset({Key.LOOK})
        case _:
            return frozenset()


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

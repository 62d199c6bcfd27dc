"""The room of the stations: who is here and who is away, and what was done alone and kept apart."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.board.stations import GIVEN_UP_ALREADY, OWN_STATION, UNKNOWN_STATION
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.stations.apart import Settling
from readbell.core.stations.station import StationState
from readbell.hand.asking import NOBODY, asked, stay
from readbell.hand.given import Key
from readbell.hand.hand import Hand, Turn, only
from readbell.hand.question import Option
from readbell.phrases.apart_words import say_what_it_said
from readbell.phrases.around_words import (
    say_ears,
    say_giving_up,
    say_holds,
    say_refused,
    say_state,
    say_what_to_do,
    tell_mirror,
    tell_twin,
)
from readbell.phrases.station_words import NOT_ALLOWED, refused_stations, say_apart
from readbell.scenarios.station_lines import GiveUpLine, SettleLine

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from readbell.bay.around import Around
    from readbell.core.board.board import Board
    from readbell.core.stations.events import ActKeptApart
    from readbell.hand.doing import Visiting
    from readbell.hand.scene import Scene

STATION, APART = "station ", "apart "
"""What a choice of this room begins with; a name or a number follows."""
HINT = "Choose with Up and Down: a station, or what is kept apart."
NOT_APART = "That is a station. What is kept apart stands above them, if anything is."
NOT_A_STATION = "Only a station is given up. Choose one that is away."
NOT_AWAY = "Only a station that is away is given up."
HAS_LEFT = "That station left and holds nothing. Nothing is to be done about it."

_SETTLES: Mapping[Key, Settling] = {
    Key.DONE: Settling.ENTERED_ANEW,
    Key.SECOND: Settling.LEFT,
}


def things(scene: Scene) -> tuple[Option, ...]:
    """Return what may be chosen: what waits for a person first, then every station."""
    return (
        *(Option(f"{APART}{number}", number) for number in scene.board.apart),
        *(Option(f"{STATION}{name}", name) for name in scene.board.stations),
    )


def in_stations(hand: Hand, doing: Visiting, thing: str | None, key: Key, scene: Scene) -> Turn:
    """Return what becomes of `key`; `thing` is chosen."""
    if thing is None or key not in (Key.DONE, Key.SECOND, Key.VOID):
        return only(hand.saying(HINT))
    if hand.operator is None:
        return only(hand.saying(NOBODY, fine=False))
    if key is Key.VOID:
        return _give_up(hand, doing, thing, scene)
    if not thing.startswith(APART):
        return only(hand.saying(NOT_APART, fine=False))
    line = SettleLine(
        do="settle-apart",
        by=hand.operator,
        number=int(thing.removeprefix(APART)),
        how=_SETTLES[key],
    )
    return asked(hand, line, stay())


def _give_up(hand: Hand, doing: Visiting, thing: str, scene: Scene) -> Turn:
    """Give a station up, once it was said what that means: it cannot be taken back."""
    name = thing.removeprefix(STATION)
    if not thing.startswith(STATION):
        return only(hand.saying(NOT_A_STATION, fine=False))
    why_not = why_not_given_up(scene, name)
    if why_not:
        return only(hand.saying(why_not, fine=False))
    if doing.asked_about != thing:
        words = say_giving_up(name, held_by(scene.board)[name])
        return only(hand.now_doing(replace(doing, asked_about=thing)).saying(words))
    line = GiveUpLine(do="give-up-station", by=hand.operator or "", station=name)
    return asked(hand.now_doing(replace(doing, asked_about=None)), line, stay())


def may_be_given_up(scene: Scene, name: str) -> bool:
    """Say whether the station `name` is one that could be given up here and now."""
    return not why_not_given_up(scene, name)


def why_not_given_up(scene: Scene, name: str) -> str:
    """Return why the station `name` cannot be given up here and now; empty: it can."""
    around, found = scene.around, scene.board.stations.get(name)
    if around is None or found is None:
        return NOT_ALLOWED[UNKNOWN_STATION]
    if around.alone is not None:
        return refused_stations(Refusal(code=RefusalCode.ALONE)) or ""
    if name == around.station:
        return NOT_ALLOWED[OWN_STATION]
    match found.state:
        case StationState.GIVEN_UP:
            return NOT_ALLOWED[GIVEN_UP_ALREADY]
        case StationState.LEFT:  # what it held is held by others since
            return HAS_LEFT
        case StationState.HERE:
            return "" if name in around.away else NOT_AWAY


def held_by(board: Board) -> Counter[str]:
    """Return how many clocks run at each station."""
    return Counter(board.holders.values())


def row_of(name: str, scene: Scene, around: Around) -> tuple[str, str, str, str, str]:
    """Return a station in words: its name, mark, state, what it hears and what it holds."""
    station, pulse = scene.board.stations[name], around.pulse_of(name)
    state = say_state(
        station,
        is_this=name == around.station,
        is_here=pulse is not None,
        is_away=name in around.away,
        alone=around.alone is not None,
    )
    ears = "" if pulse is None else say_ears(pulse.hears, pulse.lanes)
    return name, station.mark, state, ears, say_holds(held_by(scene.board)[name])


def is_held(event: ActKeptApart, board: Board) -> bool:
    """Say whether the cartridge that it is about waits for a supervisor."""
    return event.cartridge is not None and event.cartridge in board.held


def aloud(scene: Scene, *, masked: bool = False) -> Iterator[str]:
    """Yield a line for each thing that is kept apart, and for each station."""
    board, around = scene.board, scene.around
    if around is not None and around.alone is not None and around.alone.refused:
        yield f"  {say_refused(around.alone.refused)}"
    elif around is not None and around.has_twin:
        yield f"  {tell_twin(around.station)}"
    if around is not None and around.mirror_ailment:
        yield f"  {tell_mirror(around.mirror_ailment)}"
    for number, event in board.apart.items():
        said = say_apart(event, board)
        what = "" if masked else f" {say_what_it_said(event, board, scene.face)}"
        todo = say_what_to_do(is_held=is_held(event, board))
        yield f"  Kept apart, {number}: {said}.{what} {todo}"
    if around is None:
        return
    for name in board.stations:
        _, mark, state, ears, holds = row_of(name, scene, around)
        hears = f" Hears {ears}." if ears else ""
        yield f"  Station {name}, mark {mark}: {state}.{hears} Holds {holds}."

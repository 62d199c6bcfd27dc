"""The room of what is to be told, and the form on which it is noted that somebody was."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.results import result_called
from readbell.core.board.staff import seen_back_to
from readbell.core.board.worklist import worklist
from readbell.core.cartridge.events import How
from readbell.core.results.telling import Channel, Hearer
from readbell.core.results.to_tell import Urgency
from readbell.hand.asking import NOBODY
from readbell.hand.doing import Filling, Paper
from readbell.hand.given import Key
from readbell.hand.hand import Hand, Turn, only
from readbell.hand.question import Option
from readbell.phrases.telling_words import (
    CHANNELS,
    HEARERS,
    NOTHING_TO_TELL,
    say_now,
    what_is_to_tell,
)
from readbell.scenarios.telling_lines import TellLine

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from readbell.core.board.worklist import ToTell, Worklist
    from readbell.core.instant import Instant
    from readbell.hand.scene import Scene

HINT = "F3 notes that the chosen one was told: to whom, and how."
BACK = "back"
"""Key of the line on which an ID is read back."""
BACK_BY = "back_by"
"""Beside it: whether it was scanned or typed."""
Asked = tuple[str, str, tuple[Option, ...]]


def work_here(scene: Scene) -> Worklist:
    """Return what is to be told, as far as whoever acts may see it."""
    return worklist(scene.board, scene.now, _back_to(scene))


def value_of(waiting: ToTell) -> str:
    """Return what a line is chosen by: one result may be told and notified."""
    office = f" {Hearer.OFFICE}" if waiting.urgency is Urgency.NOTICE else ""
    return f"{waiting.result.cartridge}{office}"


def things(scene: Scene) -> tuple[Option, ...]:
    """Return what may be chosen in the room."""
    return tuple(Option(value_of(each), each.result.label) for each in work_here(scene).waiting)


def aloud(scene: Scene) -> Iterator[str]:
    """Yield a line for each thing that is to be told."""
    return what_is_to_tell(scene.board, scene.now, scene.face, _back_to(scene))


def pressed(hand: Hand, key: Key, chosen: str | None, scene: Scene) -> Turn:
    """Return what becomes of `key` in the room; `chosen` is which line."""
    if chosen is None:
        return only(hand.saying(NOTHING_TO_TELL))
    if key is not Key.DONE:
        return only(hand.saying(HINT))
    if hand.operator is None:
        return only(hand.saying(NOBODY, fine=False))
    waiting = next(each for each in work_here(scene).waiting if value_of(each) == chosen)
    about = (
        ("cartridge", waiting.result.cartridge),
        ("version", str(waiting.result.version)),
        ("office", "yes" if waiting.urgency is Urgency.NOTICE else "no"),
    )
    return only(hand.now_doing(Filling(paper=Paper.TELL, answers=about)))


def asked(answers: Mapping[str, str], scene: Scene) -> tuple[Asked, ...]:
    """Return the lines of the form; of an office no ID is read back."""
    how: Asked = ("how", "How", tuple(Option(each, CHANNELS[each]) for each in Channel))
    if answers.get("office") == "yes":
        office = Option(Hearer.OFFICE, HEARERS[Hearer.OFFICE])
        return (("to", "Who is notified", (office,)), how)
    may = _may_hear(answers.get("cartridge", ""), scene)
    back: Asked = (BACK, "Patient ID, name or date of birth, as they say it", ())
    return (
        ("to", "Who is told", tuple(Option(each, HEARERS[each]) for each in may)),
        how,
        back,
    )


def about(said: Mapping[str, str], scene: Scene) -> str:
    """Return which result somebody is about to be told, and what is to be said of it."""
    result = result_called(scene.board, said.get("cartridge", ""))
    return "" if result is None else f"{result.label}  {say_now(result, scene.board)}"


def line_of(said: Mapping[str, str], by: str) -> TellLine:
    """Return what a whole form asks of the bay."""
    return TellLine(
        do="tell",
        by=by,
        cartridge=said["cartridge"],
        to=Hearer(said["to"]),
        how=Channel(said["how"]),
        person=said.get(BACK),
        person_by=How(said.get(BACK_BY, How.TYPED)),
        version=int(said["version"]),
    )


def _may_hear(cartridge: str, scene: Scene) -> tuple[Hearer, ...]:
    """Return who may be told; nobody any more once somebody else has told it meanwhile."""
    found = (
        each
        for each in work_here(scene).waiting
        if each.result.cartridge == cartridge and each.urgency is not Urgency.NOTICE
    )
    waiting = next(found, None)
    return (Hearer.PERSON,) if waiting is None else waiting.may_hear


def _back_to(scene: Scene) -> Instant | None:
    began = scene.day_began
    return seen_back_to(scene.board, scene.acting, began)

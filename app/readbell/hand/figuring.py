"""All the figures, table by table; that they were opened is recorded, and nothing is done by them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.figures.view import TOLD_APART, Asked, By, Sheet, Stretch
from readbell.hand.asking import NOBODY, asked, told
from readbell.hand.doing import Figuring, Room, Visiting, Watching
from readbell.hand.given import Chose, Given, Key, Pressed
from readbell.hand.hand import Hand, Turn, only
from readbell.phrases.view_words import say_state, say_view
from readbell.scenarios.staff_lines import TraceLine

if TYPE_CHECKING:
    from collections.abc import Iterator
    from enum import StrEnum
    from typing import TypeVar

    from readbell.bay.news import Answer
    from readbell.hand.scene import Scene

    Each = TypeVar("Each", bound=StrEnum)

NONE_HERE = (
    "All the figures are not at hand here: readbell figures tells them, at the command line."
)
READS = "F2 shows all the figures of the record; that they were opened is recorded."
NOT_APART = "This table is of all together: nothing is told apart in it."
FEW_ROWS = 10
WIDE_IN_LINES = 79
_STEPS = {Key.UP: -1, Key.DOWN: 1, Key.PAGE_UP: -FEW_ROWS, Key.PAGE_DOWN: FEW_ROWS}


def pressed_in_room(hand: Hand, key: Key, scene: Scene) -> Turn:
    """Return what a key does in the room that shows this week: F2 opens all of it, for whoever may."""
    if key is not Key.START:
        return only(
            hand.saying(READS if scene.figures is not None else "This room is there to be read.")
        )
    if scene.figures is None:
        return only(hand.saying(NONE_HERE, fine=False))
    if hand.operator is None:
        return only(hand.saying(NOBODY, fine=False))
    line = TraceLine(do="open-trace", by=hand.operator, figures=True)

    def then(hand: Hand, answer: Answer, scene: Scene) -> Hand:
        said = told(answer, scene)
        if not answer.accepted:
            return replace(hand, said=said)
        return hand.now_doing(Figuring(before=Visiting(room=Room.FIGURES)), said)

    return asked(hand, line, then)


def figure_given(hand: Hand, doing: Figuring, given: Given, scene: Scene) -> Turn | None:
    """Turn to another table, row or stretch of days, or go back; a scan goes on to the board."""
    match given:
        case Pressed(key=Key.RIGHT | Key.LEFT as key):
            sheet = _next(Sheet, doing.sheet, 1 if key is Key.RIGHT else -1)
            return _now(hand, replace(doing, sheet=sheet, row=0))
        case Chose(question="sheet", answer=answer) if answer in set(Sheet):
            return _now(hand, replace(doing, sheet=Sheet(answer), row=0))
        case Chose(question="row", answer=answer):
            return _now(hand, replace(doing, row=_row_of(answer, doing, scene)))
        case Pressed(key=key) if key in _STEPS:
            return _now(hand, replace(doing, row=_kept(doing.row + _STEPS[key], scene)))
        case Pressed(key=Key.HOME):
            return _now(hand, replace(doing, row=0))
        case Pressed(key=Key.START) if doing.sheet not in TOLD_APART:
            return only(hand.saying(NOT_APART))
        case Pressed(key=Key.START):
            return _now(hand, replace(doing, by=_next(By, doing.by, 1), row=0))
        case Pressed(key=Key.SECOND):
            return _now(hand, replace(doing, stretch=_next(Stretch, doing.stretch, 1), row=0))
        case Pressed(key=Key.DONE):
            return _now(hand, replace(doing, round=doing.round + 1))
        case Pressed(key=Key.LOOK):
            return _now(hand, replace(doing, draws=not doing.draws))
        case Pressed(key=Key.BACK):
            return only(hand.now_doing(doing.before))
        case Pressed(key=Key.ROOMS):
            return only(hand.now_doing(Watching()))
        case Pressed(key=Key.HELP | Key.LEAVE | Key.HEARD):
            return None
        case Pressed() | Chose():
            return only(hand)
        case _:
            return None


def figures_aloud(doing: Figuring, scene: Scene) -> Iterator[str]:
    """Yield what is looked at as lines, or how far the counting is; it waits for nothing."""
    if scene.figures is None:
        return
    asked = Asked(
        sheet=doing.sheet,
        by=doing.by,
        stretch=doing.stretch,
        wide=WIDE_IN_LINES,
        picture=None,
        plain_signs=True,
        round=doing.round,
    )
    seen = scene.figures.ask(asked)
    answered = seen.answered
    as_of = "" if answered is None else answered.as_of
    yield say_view(doing.sheet, doing.by, doing.stretch, as_of)
    if answered is None or answered.asked != asked:
        yield f"{say_state(seen.state)} .up says it again. .back leaves."
        return
    if answered.head:
        yield f"  {answered.head}"
    yield from (f"  {text}" for _, text in answered.rows)
    yield from answered.notes


def _now(hand: Hand, doing: Figuring) -> Turn:
    return only(hand.now_doing(doing))


def _next(kind: type[Each], now: Each, step: int) -> Each:
    every = tuple(kind)
    return every[(every.index(now) + step) % len(every)]


def _kept(row: int, scene: Scene) -> int:
    """Return `row`, kept among those that are shown."""
    answered = None if scene.figures is None else scene.figures.last.answered
    last = 0 if answered is None else len(answered.rows) - 1
    return min(max(row, 0), max(last, 0))


def _row_of(key: str, doing: Figuring, scene: Scene) -> int:
    answered = None if scene.figures is None else scene.figures.last.answered
    keys = [] if answered is None else [each for each, _ in answered.rows]
    return keys.index(key) if key in keys else doing.row

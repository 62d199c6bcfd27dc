"""The rooms beside the board, and the forms of the small register."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.bay.site_time import day_began
from readbell.core.board.staff import results_seen
from readbell.hand.doing import Filling, Room, Visiting
from readbell.hand.papers import TITLES
from readbell.hand.papers import questions as paper_questions
from readbell.hand.visiting import ROOMS
from readbell.hand.visiting import questions as room_questions
from readbell.phrases.of_cartridges import OUTCOMES, say_lines
from readbell.phrases.of_sound import how_it_sounds
from readbell.phrases.review_words import WITHDRAWN
from readbell.phrases.standing import where_all_stand
from readbell.ui.at_rest import at_rest
from readbell.ui.form import Painted, Spot, paint_form
from readbell.ui.ink import Line, Piece, Token, line
from readbell.ui.paper_rows import paper_rows
from readbell.ui.patients_room import patients_room
from readbell.ui.people_rooms import people_room, review_room
from readbell.ui.plan_room import plan_room
from readbell.ui.shift_room import shift_room
from readbell.ui.stock_rooms import lots_room, samples_room
from readbell.ui.table import in_columns, table
from readbell.ui.temperature_room import temperature_room
from readbell.ui.wrapped import wrapped

if TYPE_CHECKING:
    from readbell.bay.news import News
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.hand.scene import Scene

NAMES: dict[Room, str] = {
    Room.LOTS: "Lots",
    Room.SAMPLES: "Control samples",
    Room.PEOPLE: "People",
    Room.ASSAYS: "Assays",
    Room.SOUND: "Sound",
    Room.TEMPERATURE: "Temperature",
    Room.TODAY: "Results",
    Room.REVIEW: "Review",
    Room.PATIENTS: "Patients",
    Room.SHIFT: "Shift",
    Room.PLAN: "Plan",
}
ROOMY = 10
"""From so many rows on a blank one stands below the heading."""
TABLE_FROM = 80
HIDDEN = "hidden"


def room_page(
    doing: Visiting,
    scene: Scene,
    news: News,
    width: int,
    height: int,
    *,
    masked: bool,
    acting: str | None = None,
) -> Painted:
    """Return the body of a room: everything between the alert line and the scan line."""
    top = _rooms(doing.room, width)
    if height >= ROOMY:
        top = top.then(Painted((line(),)))
    room = max(1, height - len(top.lines))
    match doing.room:
        case Room.LOTS:
            below = lots_room(doing, scene, width, room)
        case Room.SAMPLES:
            below = samples_room(doing, scene, width, room)
        case Room.PEOPLE:
            below = people_room(doing, scene, width, room)
        case Room.PATIENTS:
            below = patients_room(doing, scene, width, room, masked=masked)
        case Room.REVIEW:
            below = review_room(doing, scene, width, room, masked=masked)
        case Room.ASSAYS:
            below = _assays(doing, scene, width, room)
        case Room.SOUND:
            below = _sound(doing, scene, news, width, room)
        case Room.TEMPERATURE:
            below = Painted(temperature_room(scene, width, room))
        case Room.SHIFT:
            below = Painted(shift_room(doing, scene, width, room))
        case Room.PLAN:
            below = Painted(plan_room(scene, width, room))
        case Room.TODAY:
            results = _results(doing, scene, width, room, masked=masked, acting=acting)
            below = Painted(tuple(results))
    return top.then(below).rows(0, height).fitted(width)


def paper_page(
    doing: Filling, scene: Scene, width: int, height: int, *, masked: bool = False
) -> Painted:
    """Return the body of a form that is filled in line by line; `masked` hides what was typed."""
    title = [line(" ", Piece(TITLES[doing.paper], Token.TEXT, bold=True))]
    if height >= ROOMY:
        title.append(line())
    asked = paper_questions(doing, scene)
    if masked:
        asked = tuple(replace(each, shown=HIDDEN) if each.shown else each for each in asked)
    form = paint_form(asked, min(doing.cursor, len(asked) - 1), width, max(1, height - len(title)))
    return Painted(tuple(title)).then(form).rows(0, height).fitted(width)


def leaving_page(scene: Scene, width: int, height: int, *, masked: bool) -> Painted:
    """Return what runs, before the board is left."""
    running = len(scene.board.running)
    said = (
        f"{running} running. Nobody watches them once the board is left; no alarm rings. "
        "They are here when it is opened again."
        if running
        else "Nothing runs. The journal is closed when the board is left."
    )
    lines = [line(" ", Piece("Leave the board", Token.TEXT, bold=True))]
    lines += [line("  ", Piece(each, Token.TEXT)) for each in _wrapped(said, width)]
    if running:
        lines.append(line())
        lines += [
            line("  ", Piece(each, Token.SOFT))
            for each in where_all_stand(scene.board, scene.now, scene.face, masked=masked)
        ]
    return Painted(tuple(_cut(lines, height))).fitted(width)


def _cut(lines: list[Line], height: int) -> list[Line]:
    if len(lines) <= height:
        return lines
    more = len(lines) - height + 1
    return [*lines[: height - 1], line("  ", Piece(f"and {more} more", Token.SOFT))]


def _wrapped(said: str, width: int) -> list[str]:
    return wrapped(said, max(1, width - 4))


def _rooms(room: Room, width: int) -> Painted:
    """Return the names of the rooms; where they do not fit, those around the one visited."""
    names = [f"[{NAMES[each]}]" if each is room else f" {NAMES[each]} " for each in ROOMS]
    shown = list(zip(ROOMS, names, strict=True))
    here = ROOMS.index(room)
    while len(shown) > 1 and 1 + sum(len(name) + 2 for _, name in shown) > width:
        # The end that is farther from the room visited goes first.
        first, last = ROOMS.index(shown[0][0]), ROOMS.index(shown[-1][0])
        shown.pop(0 if here - first > last - here else -1)
    pieces, spots, at = [Piece(" ")], [], 1
    for each, name in shown:
        is_here = each is room
        spots.append(Spot(0, at, at + len(name), "room", each))
        pieces += [Piece(name, Token.TEXT if is_here else Token.SOFT, bold=is_here), Piece("  ")]
        at += len(name) + 2
    return Painted((line(*pieces).fitted(width),), tuple(spots))


def _empty(said: str, width: int) -> Painted:
    return Painted(tuple(line("  ", Piece(each, Token.SOFT)) for each in _wrapped(said, width)))


def _assays(doing: Visiting, scene: Scene, width: int, height: int) -> Painted:
    adopted = {each.assay.id: each for each in scene.board.assays.values()}
    if not scene.shelf:
        return _empty("No assay file is at hand here.", width)
    titles = Counter(each.title for each in scene.shelf)
    at = (3, width * 2 // 3)
    head = ("", ((at[0], "assay"), (at[1], "adopted by instructions")))
    rows = []
    for each in scene.shelf:
        found = adopted.get(each.id)
        how = "not adopted" if found is None else found.instructions_version
        # Of two with one title the id comes first, as a long title loses its end.
        named = each.title if titles[each.title] == 1 else f"{each.id}: {each.title}"
        rows.append((each.id, ((at[0], named), (at[1], how))))
    return table(head, rows, doing.cursor, width, height)


def _sound(doing: Visiting, scene: Scene, news: News, width: int, height: int) -> Painted:
    said = list(how_it_sounds(scene.board, news.sounding, scene.now, scene.face))
    said = (
        said or ["The alarm was tested and heard."]
        if scene.board.alarm_test
        else [*said, NOT_TESTED]
    )
    told = [
        line("  ", Piece(each, Token.TEXT)) for words in said for each in _wrapped(words, width)
    ]
    asked = room_questions(doing, scene)
    gap = [line()] if height >= ROOMY else []
    form = paint_form(asked, 0, width, max(2, height - len(told) - len(gap)))
    told = told[: max(0, height - len(form.lines) - len(gap))]
    return Painted((*told, *gap)).then(form)


NOT_TESTED = "The alarm was not tested since this start. F3 rings it; then F8 heard, F6 not heard."


def _results(
    doing: Visiting,
    scene: Scene,
    width: int,
    height: int,
    *,
    masked: bool,
    acting: str | None,
) -> list[Line]:
    owed = {each.id for each in at_rest(scene.board).owed}
    face, now = scene.face, scene.now
    began = day_began(now, now + face.apart, face.zone)
    ended = results_seen(scene.board, acting, began, doing.person)
    on_paper = paper_rows(scene, began, doing.person, width, masked=masked)
    if not ended and on_paper:
        return on_paper[:height]
    if not ended:
        return [line("  ", Piece("Nothing was read yet.", Token.SOFT))]
    at = (3, 12, 26, 42, 54, 66) if width >= TABLE_FROM else (1, 8, 16, 28, 38, 46)
    names = ("cart.", "patient", "outcome", "when", "by", "")
    made = [in_columns(tuple(zip(at, names, strict=True)), Token.SOFT, width)]
    made = made if height > 1 else []
    latest = sorted(ended, key=_when, reverse=True)
    lines: list[Line] = []
    room, shown = height - len(made), 0
    for each in latest:
        said = (
            each.label,
            HIDDEN if masked else scene.person_of(each),
            HIDDEN if masked else _outcome(each),
            scene.face.time(_when(each)),
            "" if each.reading is None else scene.board.name(each.reading.by) or "erased",
            "" if masked else _marks(each, is_owed=each.id in owed),
        )
        row = [in_columns(tuple(zip(at, said, strict=True)), Token.TEXT, width)]
        row += [] if masked else _by_line(each, at[1], width)
        # One row is kept for how many more there are; a result is shown whole or not at all.
        if len(lines) + len(row) > room - (shown + 1 < len(latest)):
            break
        lines += row
        shown += 1
    if shown < len(latest):
        more = f"and {len(latest) - shown} earlier ones"
        lines = [*lines[: max(0, room - 1)], line("  ", Piece(more, Token.SOFT))]
    # Below those that were timed, and never among them.
    return made + lines + on_paper[: max(0, room - len(lines))]


def _outcome(cartridge: Cartridge) -> str:
    return WITHDRAWN if cartridge.outcome is None else OUTCOMES[cartridge.outcome]


def _marks(cartridge: Cartridge, *, is_owed: bool) -> str:
    held = "held" if cartridge.held and cartridge.withdrawn is None else ""
    return " ".join(each for each in (held, "repeat" if is_owed else "") if each)


def _by_line(cartridge: Cartridge, column: int, width: int) -> list[Line]:
    """Return the outcome of each analyte, where there are several."""
    said = say_lines(cartridge.outcomes, cartridge)
    return [
        line(" " * column, Piece(each, Token.SOFT))
        for each in (wrapped(said, max(1, width - column - 1)) if said else ())
    ]


def _when(cartridge: Cartridge) -> Instant:
    if cartridge.reading is not None:
        return cartridge.reading.at
    return cartridge.last_mark.done.said

"""The rooms beside the board, and the forms of the small register."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.board.repeats import gets_no_repeat
from readbell.core.board.staff import SEEN_AT_MOST, results_seen
from readbell.core.cartridge.at_instant import closed_unread
from readbell.hand.doing import Filling, Paper, Room, Visiting
from readbell.hand.papers import TITLES, about
from readbell.hand.papers import questions as paper_questions
from readbell.hand.visiting import questions as room_questions
from readbell.hand.visiting import rooms_of
from readbell.phrases.around_words import say_who_watches
from readbell.phrases.board_words import say_owed
from readbell.phrases.of_cartridges import OUTCOMES, say_lines
from readbell.phrases.of_sound import how_it_sounds
from readbell.phrases.review_words import WITHDRAWN, say_mark
from readbell.phrases.standing import where_all_stand
from readbell.ui.assays_room import assays_room, figures_of
from readbell.ui.at_rest import at_rest
from readbell.ui.figures_room import figures_room
from readbell.ui.form import Painted, paint_form
from readbell.ui.glyphs import UNICODE
from readbell.ui.ink import Line, Piece, Token, line
from readbell.ui.paper_rows import paper_rows
from readbell.ui.patients_room import patients_room
from readbell.ui.people_rooms import people_room, review_room
from readbell.ui.plan_room import plan_room
from readbell.ui.shift_room import shift_room
from readbell.ui.stations_room import stations_room
from readbell.ui.stock_rooms import lots_room, samples_room
from readbell.ui.table import in_columns
from readbell.ui.tabs import tabs
from readbell.ui.telling_room import telling_room
from readbell.ui.temperature_room import temperature_room
from readbell.ui.wrapped import PROSE, wrapped

if TYPE_CHECKING:
    from readbell.bay.around import Around
    from readbell.bay.news import News
    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.hand.scene import Scene
    from readbell.ui.glyphs import Glyphs

NAMES: dict[Room, str] = {
    Room.LOTS: "Lots",
    Room.SAMPLES: "Control samples",
    Room.PEOPLE: "Operators",
    Room.ASSAYS: "Assays",
    Room.SOUND: "Sound",
    Room.TEMPERATURE: "Temperature",
    Room.TODAY: "Results",
    Room.REVIEW: "Review",
    Room.PATIENTS: "Patients",
    Room.TELLING: "Tell",
    Room.SHIFT: "Shift",
    Room.PLAN: "Plan",
    Room.FIGURES: "Figures",
    Room.STATIONS: "Stations",
}
ROOMY = 10
"""From so many rows on a blank one stands below the heading."""
TABLE_FROM = 80
LEAST_FORM = 6
"""Rows of a form that what is to be checked leaves it: the question in hand and the others folded."""
HIDDEN = "hidden"
MORE_ROOMS = "  >"
"""Behind the last name that there is room for, while rooms follow."""


def room_page(
    doing: Visiting,
    scene: Scene,
    news: News,
    width: int,
    height: int,
    *,
    masked: bool,
    acting: str | None = None,
    glyphs: Glyphs = UNICODE,
) -> Painted:
    """Return the body of a room: everything between the alert line and the scan line."""
    top = _rooms(doing.room, rooms_of(scene, doing.room), width)
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
        case Room.TELLING:
            below = telling_room(doing, scene, width, room, masked=masked)
        case Room.REVIEW:
            below = review_room(doing, scene, width, room, masked=masked)
        case Room.ASSAYS:
            below = assays_room(doing, scene, width, room)
        case Room.SOUND:
            below = _sound(doing, scene, news, width, room)
        case Room.TEMPERATURE:
            below = Painted(temperature_room(scene, width, room))
        case Room.SHIFT:
            below = Painted(shift_room(doing, scene, width, room))
        case Room.PLAN:
            below = Painted(plan_room(scene, width, room))
        case Room.FIGURES:
            below = Painted(figures_room(scene, glyphs, width, room, masked=masked))
        case Room.STATIONS:
            below = stations_room(doing, scene, width, room, masked=masked)
        case Room.TODAY:
            results = _results(doing, scene, width, room, masked=masked, acting=acting)
            below = Painted(tuple(results))
    return top.then(below).rows(0, height).fitted(width)


def paper_page(
    doing: Filling, scene: Scene, width: int, height: int, *, masked: bool = False
) -> Painted:
    """Return the body of a form that is filled in line by line; `masked` hides what was typed."""
    # Whom it is about has to be seen while it is filled in: a slip of the row is a wrong person.
    said = about(doing, scene)
    whom = f"   {HIDDEN if masked else said}" if said else ""
    title = [line(" ", Piece(TITLES[doing.paper], Token.TEXT, bold=True), Piece(whom, Token.TEXT))]
    if height >= ROOMY:
        title.append(line())
    asked = paper_questions(doing, scene)
    if masked:
        asked = tuple(replace(each, shown=HIDDEN) if each.shown else each for each in asked)
    room = max(1, height - len(title))
    below = Painted(())
    if doing.paper is Paper.ASSAY:
        below = _to_check(doing, scene, width, room - LEAST_FORM)
    form = paint_form(
        asked, min(doing.cursor, len(asked) - 1), width, max(1, room - len(below.lines))
    )
    return Painted(tuple(title)).then(form).then(below).rows(0, height).fitted(width)


def _to_check(doing: Filling, scene: Scene, width: int, height: int) -> Painted:
    """Return the figures of the assay that is about to be adopted: they are what is agreed to."""
    chosen = dict(doing.answers).get("assay")
    assay = next((each for each in scene.shelf if each.id == chosen), None)
    return Painted(()) if assay is None else figures_of(assay, width, height)


def leaving_page(scene: Scene, width: int, height: int, *, masked: bool) -> Painted:
    """Return what runs, before the board is left."""
    running = len(scene.board.running)
    owed = [""] * len(at_rest(scene.board).owed)  # how many, and nobody's name
    undone = f" {say_owed(owed)}." if owed else ""
    said = (
        f"{running} running. {say_who_watches(_others(scene.around))}"
        if running
        else f"Nothing runs.{undone} The journal is closed when the board is left."
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


def _others(around: Around | None) -> list[str]:
    """Return which other stations are here; alone nothing is known of any."""
    if around is None or around.alone is not None:
        return []
    return sorted({each.station for each in around.seen} - {around.station})


def _cut(lines: list[Line], height: int) -> list[Line]:
    if len(lines) <= height:
        return lines
    more = len(lines) - height + 1
    return [*lines[: height - 1], line("  ", Piece(f"and {more} more", Token.SOFT))]


def _wrapped(said: str, width: int) -> list[str]:
    return wrapped(said, max(1, min(width - 4, PROSE)))


def _rooms(room: Room, rooms: tuple[Room, ...], width: int) -> Painted:
    names: dict[str, str] = {
        each: f"[{NAMES[each]}]" if each is room else f" {NAMES[each]} " for each in rooms
    }
    return tabs(names, room, width, "room", before="<", behind=MORE_ROOMS)


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
    form = (
        paint_form(asked, 0, width, max(2, height - len(told) - len(gap))) if asked else Painted(())
    )
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
    began = scene.day_began
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
            "" if masked else _marks(each, scene.board, is_owed=each.id in owed),
        )
        row = [in_columns(tuple(zip(at, said, strict=True)), Token.TEXT, width)]
        row += [] if masked else _by_line(each, at[1], width)
        # One row is kept for how many more there are; a result is shown whole or not at all.
        if len(lines) + len(row) > room - (shown + 1 < len(latest)):
            break
        lines += row
        shown += 1
    if shown < len(latest):
        count = len(latest) - shown
        more = f"and {count} earlier ones"
        if len(latest) >= SEEN_AT_MOST:
            more = f"and {count} or more earlier ones: scan a person to see theirs"
        lines = [*lines[: max(0, room - 1)], line("  ", Piece(more, Token.SOFT))]
    # Below those that were timed, and never among them.
    return made + lines + on_paper[: max(0, room - len(lines))]


def _outcome(cartridge: Cartridge) -> str:
    return WITHDRAWN if cartridge.outcome is None else OUTCOMES[cartridge.outcome]


def _marks(cartridge: Cartridge, board: Board, *, is_owed: bool) -> str:
    mark = "" if cartridge.withdrawn is not None else say_mark(cartridge)
    follows = ""
    if is_owed:
        follows = "refer" if gets_no_repeat(board, cartridge) else "repeat"
    return " ".join(each for each in (mark, follows) if each)


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
    return closed_unread(cartridge) or cartridge.last_mark.done.said

"""The rooms beside the board, and the forms of the small register."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.board.to_repeat import to_repeat
from readbell.hand.doing import Filling, Leaving, Room, Visiting
from readbell.hand.papers import TITLES
from readbell.hand.papers import questions as paper_questions
from readbell.hand.visiting import ROOMS, things_in
from readbell.hand.visiting import questions as room_questions
from readbell.phrases.of_cartridges import OUTCOMES
from readbell.phrases.of_sound import how_it_sounds
from readbell.phrases.standing import where_all_stand
from readbell.ui.form import Painted, paint_form
from readbell.ui.ink import Line, Piece, Token, at_columns, line

if TYPE_CHECKING:
    from readbell.bay.news import News
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.core.stock.lot import Lot
    from readbell.hand.scene import Scene

NAMES: dict[Room, str] = {
    Room.LOTS: "Lots",
    Room.PEOPLE: "People",
    Room.ASSAYS: "Assays",
    Room.SOUND: "Sound",
    Room.TODAY: "Results",
}


def room_page(
    doing: Visiting, scene: Scene, news: News, width: int, height: int, *, masked: bool
) -> Painted:
    """Return the body of a room: everything between the alert line and the scan line."""
    lines = [_rooms(doing.room, width), line()]
    match doing.room:
        case Room.LOTS:
            lines += _lots(doing, scene, width)
        case Room.PEOPLE:
            lines += _people(doing, scene, width)
        case Room.ASSAYS:
            lines += _assays(doing, scene, width)
        case Room.SOUND:
            return _sound(lines, doing, scene, news, width, height)
        case Room.TODAY:
            lines += _results(scene, width, height - len(lines), masked=masked)
    return Painted(tuple(each.fitted(width) for each in lines[:height]))


def paper_page(doing: Filling, scene: Scene, width: int, height: int) -> Painted:
    """Return the body of a form that is filled in line by line."""
    lines = [line(" ", Piece(TITLES[doing.paper], Token.TEXT, bold=True)), line()]
    form = paint_form(paper_questions(doing, scene), doing.cursor, width)
    spots = tuple(replace(each, row=each.row + len(lines)) for each in form.spots)
    lines += form.lines
    return Painted(tuple(each.fitted(width) for each in lines[:height]), spots)


def leaving_page(doing: Leaving, scene: Scene, width: int, height: int) -> Painted:  # noqa: ARG001  # told apart by its type
    """Return what runs, before the board is left."""
    running = len(scene.board.running)
    said = (
        f"{running} running. Nobody watches them once the board is left; no alarm rings. "
        "They are here when it is opened again."
        if running
        else "Nothing runs. The journal is closed when the board is left."
    )
    lines = [
        line(" ", Piece("Leave the board", Token.TEXT, bold=True)),
        line(),
        line("  ", Piece(said, Token.TEXT)),
        line(),
    ]
    if running:
        lines += [
            line("  ", Piece(each, Token.SOFT))
            for each in where_all_stand(scene.board, scene.now, scene.face)
        ]
    lines = _cut(lines, height)
    return Painted(tuple(each.fitted(width) for each in lines))


def _cut(lines: list[Line], height: int) -> list[Line]:
    if len(lines) <= height:
        return lines
    more = len(lines) - height + 1
    return [*lines[: height - 1], line("  ", Piece(f"and {more} more", Token.SOFT))]


def _rooms(room: Room, width: int) -> Line:
    pieces: list[Piece] = [Piece(" ")]
    for each in ROOMS:
        here = each is room
        name = f"[{NAMES[each]}]" if here else f" {NAMES[each]} "
        pieces += [Piece(name, Token.TEXT if here else Token.SOFT, bold=here), Piece("  ")]
    return line(*pieces).fitted(width)


def _row(place: int, doing: Visiting, width: int, *columns: tuple[int, str]) -> Line:
    here = place == doing.cursor
    token = Token.TEXT if here else Token.SOFT
    parts = [(at, line(Piece(words, token, bold=here))) for at, words in columns]
    return at_columns(
        (1, line(Piece(">" if here else " ", Token.TEXT, bold=True))), *parts, width=width
    )


def _head(width: int, *columns: tuple[int, str]) -> Line:
    return at_columns(*((at, line(Piece(words, Token.SOFT))) for at, words in columns), width=width)


def _lots(doing: Visiting, scene: Scene, width: int) -> list[Line]:
    lots = list(scene.board.lots.values())
    if not lots:
        return [line("  ", Piece("No box was taken in yet. F2 takes one in.", Token.SOFT))]
    at = (3, 20, 36, 50)
    made = [_head(width, (at[0], "lot"), (at[1], "state"), (at[2], "good to"), (at[3], "left"))]
    for place, lot in enumerate(lots):
        made.append(
            _row(
                place,
                doing,
                width,
                (at[0], lot.number),
                (at[1], _state(lot, scene)),
                (at[2], lot.expires.isoformat()),
                (
                    at[3],
                    "not counted"
                    if lot.units is None
                    else f"{lot.units - lot.used} of {lot.units}",
                ),
            )
        )
    return made


def _state(lot: Lot, scene: Scene) -> str:
    today = scene.face.local(scene.now).date()
    if lot.on_hold:
        return "ON HOLD"
    if lot.expires < today:
        return "EXPIRED"
    if lot.units is not None and lot.used >= lot.units:
        return "used up"
    return "open" if lot.number == scene.board.open_lot else "in store"


def _people(doing: Visiting, scene: Scene, width: int) -> list[Line]:
    options = things_in(Room.PEOPLE, scene)
    if not options:
        return [line("  ", Piece("Nobody is registered yet. F2 registers the first.", Token.SOFT))]
    return [
        _head(width, (3, "operator")),
        *(_row(place, doing, width, (3, each.words)) for place, each in enumerate(options)),
    ]


def _assays(doing: Visiting, scene: Scene, width: int) -> list[Line]:
    adopted = {each.assay.id: each for each in scene.board.assays.values()}
    made = [_head(width, (3, "assay"), (52, "adopted by the instructions for use"))]
    for place, each in enumerate(scene.shelf):
        found = adopted.get(each.id)
        how = "not adopted" if found is None else found.instructions_version
        made.append(_row(place, doing, width, (3, each.title), (52, how)))
    return made


def _sound(
    lines: list[Line], doing: Visiting, scene: Scene, news: News, width: int, height: int
) -> Painted:
    said = list(how_it_sounds(scene.board, news.sounding, scene.now, scene.face))
    said = (
        said or ["The alarm was tested and heard."]
        if scene.board.alarm_test
        else [*said, NOT_TESTED]
    )
    lines += [line("  ", Piece(each, Token.TEXT)) for each in said]
    lines.append(line())
    form = paint_form(room_questions(doing, scene), 0, width)
    spots = tuple(replace(each, row=each.row + len(lines)) for each in form.spots)
    lines += form.lines
    return Painted(tuple(each.fitted(width) for each in lines[:height]), spots)


NOT_TESTED = "The alarm was not tested since this start. F3 rings it; then F8 heard, F6 not heard."


def _results(scene: Scene, width: int, height: int, *, masked: bool) -> list[Line]:
    owed = {each.id for each in to_repeat(scene.board)}
    ended = [each for each in scene.board.ended.values() if each.outcome is not None]
    if not ended:
        return [line("  ", Piece("Nothing was read yet.", Token.SOFT))]
    made = [_head(width, (3, "cart."), (12, "patient"), (26, "outcome"), (42, "when"), (54, "by"))]
    latest = sorted(ended, key=_when, reverse=True)[: max(1, height - 1)]
    for each in latest:
        outcome = OUTCOMES[each.outcome] if each.outcome is not None and not masked else "hidden"
        note = "repeat" if each.id in owed else ""
        by = "" if each.reading is None else scene.board.name(each.reading.by) or "erased"
        made.append(
            at_columns(
                (3, line(each.label)),
                (12, line(Piece("hidden" if masked else scene.person_of(each), Token.SOFT))),
                (26, line(Piece(outcome, Token.TEXT, bold=True))),
                (42, line(Piece(scene.face.time(_when(each)), Token.SOFT))),
                (54, line(Piece(f"{by}  {note}", Token.SOFT))),
                width=width,
            )
        )
    return made


def _when(cartridge: Cartridge) -> Instant:
    if cartridge.reading is not None:
        return cartridge.reading.at
    return cartridge.last_mark.done.said

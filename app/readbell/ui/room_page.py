"""The rooms beside the board, and the forms of the small register."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from readbell.hand.doing import Filling, Room, Visiting
from readbell.hand.papers import TITLES
from readbell.hand.papers import questions as paper_questions
from readbell.hand.visiting import ROOMS, things_in
from readbell.hand.visiting import questions as room_questions
from readbell.phrases.of_cartridges import OUTCOMES, say_lines
from readbell.phrases.of_sound import how_it_sounds
from readbell.phrases.standing import where_all_stand
from readbell.ui.at_rest import at_rest
from readbell.ui.form import MARGIN, Painted, Spot, paint_form
from readbell.ui.ink import Line, Piece, Token, at_columns, line
from readbell.ui.wrapped import shortened, wrapped

if TYPE_CHECKING:
    from collections.abc import Sequence

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
ROOMY = 10
"""From so many rows on a blank one stands below the heading."""
TABLE_FROM = 80
HIDDEN = "hidden"


def room_page(
    doing: Visiting, scene: Scene, news: News, width: int, height: int, *, masked: bool
) -> Painted:
    """Return the body of a room: everything between the alert line and the scan line."""
    top = _rooms(doing.room, width)
    if height >= ROOMY:
        top = top.then(Painted((line(),)))
    room = max(1, height - len(top.lines))
    match doing.room:
        case Room.LOTS:
            below = _lots(doing, scene, width, room)
        case Room.PEOPLE:
            below = _people(doing, scene, width, room)
        case Room.ASSAYS:
            below = _assays(doing, scene, width, room)
        case Room.SOUND:
            below = _sound(doing, scene, news, width, room)
        case Room.TODAY:
            below = Painted(tuple(_results(scene, width, room, masked=masked)))
    return top.then(below).rows(0, height).fitted(width)


def paper_page(doing: Filling, scene: Scene, width: int, height: int) -> Painted:
    """Return the body of a form that is filled in line by line."""
    title = [line(" ", Piece(TITLES[doing.paper], Token.TEXT, bold=True))]
    if height >= ROOMY:
        title.append(line())
    asked = paper_questions(doing, scene)
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
    """Return the names of the rooms; where they do not fit, the one that is visited."""
    names = [f"[{NAMES[each]}]" if each is room else f" {NAMES[each]} " for each in ROOMS]
    shown = list(zip(ROOMS, names, strict=True))
    if 1 + sum(len(name) + 2 for _, name in shown) > width:
        shown = [each for each in shown if each[0] is room]
    pieces, spots, at = [Piece(" ")], [], 1
    for each, name in shown:
        here = each is room
        spots.append(Spot(0, at, at + len(name), "room", each))
        pieces += [Piece(name, Token.TEXT if here else Token.SOFT, bold=here), Piece("  ")]
        at += len(name) + 2
    return Painted((line(*pieces).fitted(width),), tuple(spots))


def _empty(said: str, width: int) -> Painted:
    return Painted(tuple(line("  ", Piece(each, Token.SOFT)) for each in _wrapped(said, width)))


Row = tuple[str, tuple[tuple[int, str], ...]]
"""What a row is picked by, and its words with their columns."""


def _table(head: Row, rows: Sequence[Row], cursor: int, width: int, height: int) -> Painted:
    """Return the rows in sight, the chosen one always among them; a click chooses one."""
    place = min(cursor, len(rows) - 1)
    painted = Painted((_columns(head[1], Token.SOFT, width),)) if height > 1 else Painted(())
    room = height - len(painted.lines)
    first = min(max(0, place - room + 1), max(0, len(rows) - room))
    for number, (value, words) in enumerate(rows[first : first + room], start=first):
        here = number == place
        mark = (1, ">") if here else (1, " ")
        made = _columns((mark, *words), Token.TEXT if here else Token.SOFT, width, bold=here)
        painted = painted.then(Painted((made,), (Spot(0, 0, width, "thing", value),)))
    return painted


def _columns(
    words: Sequence[tuple[int, str]], token: Token, width: int, *, bold: bool = False
) -> Line:
    """Return words at their columns; a column that has no room at all is left out."""
    ends = [*(at for at, _ in words), width + 1][1:]
    parts = [
        (
            at,
            line(Piece(shortened(said, end - at - 1) or said[: max(0, end - at - 1)], token, bold)),
        )
        for (at, said), end in zip(words, ends, strict=True)
        if at + MARGIN < width or at < MARGIN
    ]
    return at_columns(*parts, width=width)


def _lots(doing: Visiting, scene: Scene, width: int, height: int) -> Painted:
    lots = list(scene.board.lots.values())
    if not lots:
        return _empty("No box was taken in yet. F2 takes one in.", width)
    at = (3, 20, 36, 50) if width >= TABLE_FROM else (3, 16, 26, 40)
    head = ("", ((at[0], "lot"), (at[1], "state"), (at[2], "good to"), (at[3], "left")))
    rows = [
        (
            lot.number,
            (
                (at[0], lot.number),
                (at[1], _state(lot, scene)),
                (at[2], lot.expires.isoformat()),
                (at[3], _left(lot)),
            ),
        )
        for lot in lots
    ]
    return _table(head, rows, doing.cursor, width, height)


def _left(lot: Lot) -> str:
    return "not counted" if lot.units is None else f"{lot.units - lot.used} of {lot.units}"


def _state(lot: Lot, scene: Scene) -> str:
    today = scene.face.local(scene.now).date()
    if lot.on_hold:
        return "ON HOLD"
    if lot.expires < today:
        return "EXPIRED"
    if lot.units is not None and lot.used >= lot.units:
        return "used up"
    return "open" if lot.number == scene.board.open_lot else "in store"


def _people(doing: Visiting, scene: Scene, width: int, height: int) -> Painted:
    options = things_in(Room.PEOPLE, scene)
    if not options:
        return _empty("Nobody is registered yet. F2 registers the first.", width)
    rows = [(each.value, ((3, each.words),)) for each in options]
    return _table(("", ((3, "operator"),)), rows, doing.cursor, width, height)


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
    return _table(head, rows, doing.cursor, width, height)


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


def _results(scene: Scene, width: int, height: int, *, masked: bool) -> list[Line]:
    owed = {each.id for each in at_rest(scene.board).owed}
    ended = [each for each in scene.board.ended.values() if each.outcome is not None]
    if not ended:
        return [line("  ", Piece("Nothing was read yet.", Token.SOFT))]
    at = (3, 12, 26, 42, 54, 66) if width >= TABLE_FROM else (1, 8, 16, 28, 38, 46)
    names = ("cart.", "patient", "outcome", "when", "by", "")
    made = [_columns(tuple(zip(at, names, strict=True)), Token.SOFT, width)]
    made = made if height > 1 else []
    latest = sorted(ended, key=_when, reverse=True)
    lines: list[Line] = []
    room, shown = height - len(made), 0
    for each in latest:
        assert each.outcome is not None  # noqa: S101  # left out above
        said = (
            each.label,
            HIDDEN if masked else scene.person_of(each),
            HIDDEN if masked else OUTCOMES[each.outcome],
            scene.face.time(_when(each)),
            "" if each.reading is None else scene.board.name(each.reading.by) or "erased",
            "repeat" if each.id in owed and not masked else "",
        )
        row = [_columns(tuple(zip(at, said, strict=True)), Token.TEXT, width)]
        row += [] if masked else _by_line(each, at[1], width)
        # One row is kept for how many more there are; a result is shown whole or not at all.
        if len(lines) + len(row) > room - (shown + 1 < len(latest)):
            break
        lines += row
        shown += 1
    if shown < len(latest):
        more = f"and {len(latest) - shown} earlier ones"
        lines = [*lines[: max(0, room - 1)], line("  ", Piece(more, Token.SOFT))]
    return made + lines


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

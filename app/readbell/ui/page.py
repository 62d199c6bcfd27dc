"""The whole screen as lines, and where on it something can be clicked: a function of what is so."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass
from readbell.hand.doing import (
    Gathering,
    Labelling,
    Stepping,
    TakingBack,
    Voiding,
    Watching,
)
from readbell.hand.given import Chose, Given, Key, PointedAt, Pressed
from readbell.phrases.record_words import in_the_header
from readbell.ui.alert_line import alert_line
from readbell.ui.at_rest import at_rest
from readbell.ui.call import call, left_out
from readbell.ui.called import most_urgent
from readbell.ui.dues import dues_of, station_of
from readbell.ui.extras import ERASED
from readbell.ui.foot import foot_keys, said_lines, scan_line
from readbell.ui.form import Painted
from readbell.ui.header import header, notice
from readbell.ui.health import health_of
from readbell.ui.ink import Line, Piece, Token, line
from readbell.ui.listing import (
    ABOVE,
    PAGE_DOWN,
    PAGE_UP,
    Pointed,
    in_order,
    listing,
    rows_in_sight,
    top_showing,
)
from readbell.ui.load import load
from readbell.ui.look import is_away, is_masked, new_calls
from readbell.ui.making_room import making_room
from readbell.ui.measures import Measures, measures
from readbell.ui.next_start import next_start_pieces
from readbell.ui.row import mask
from readbell.ui.standings import standings
from readbell.ui.who import page_words, signed_on
from readbell.ui.wrapped import shortened

if TYPE_CHECKING:
    from readbell.core.board.stations import Here
    from readbell.hand.doing import Doing
    from readbell.hand.scene import Scene
    from readbell.ui.front import Present
    from readbell.ui.glyphs import Glyphs
    from readbell.ui.look import Look

SAID_ROWS = 2
ROWS_KEPT_FROM = 16
HINT = "Make the window larger to see the axis of time."


@dataclass(frozen=True, slots=True)
class Place:
    """Cells of one row that give something when they are clicked."""

    row: int
    begins: int
    ends: int
    gives: Given


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """What stands on the screen."""

    lines: tuple[Line, ...]
    places: tuple[Place, ...] = ()
    top: int = 0
    """The first row of the list in sight."""
    list_rows: int = 1

    def given_at(self, column: int, row: int) -> Given | None:
        """Return what a click there gives, or None."""
        for place in self.places:
            if place.row == row and place.begins <= column < place.ends:
                return place.gives
        return None


@dataclass(slots=True, kw_only=True)
class _Draft:
    """The lines while they are put together."""

    width: int
    height: int
    lines: dict[int, Line] = field(default_factory=dict)
    places: list[Place] = field(default_factory=list)
    top: int = 0
    list_rows: int = 1

    def put(self, row: int, *lines: Line) -> None:
        for offset, each in enumerate(lines):
            self.lines[row + offset] = each

    def beside(self, row: int, column: int, made: Line) -> None:
        """Put `made` on a row behind what stands there before `column`."""
        before = self.lines.get(row, Line())
        self.lines[row] = before.fitted(column) + made

    def page(self) -> Page:
        empty = Line()
        lines = tuple(self.lines.get(row, empty).fitted(self.width) for row in range(self.height))
        return Page(lines=lines, places=tuple(self.places), top=self.top, list_rows=self.list_rows)


def compose(
    present: Present,
    look: Look,
    width: int,
    height: int,
    *,
    typed: str = "",
    top: int = 0,
    lent: int = 0,
) -> Page:
    """Return the page.

    Args:
        present: how everything stands.
        look: how the site wants it.
        width: columns that the page has.
        height: rows that it has.
        typed: what stands in the scan line.
        top: the first row of the list that was in sight.
        lent: rows of the screen that something else has.
    """
    doing, away = present.hand.doing, is_away(present, look)
    draft = _Draft(width=width, height=height, top=top)
    said = said_lines(present, width, height, look.glyphs, away=away)
    if isinstance(doing, (Watching, Stepping, Labelling, Gathering, Voiding, TakingBack)):
        is_task = not isinstance(doing, Watching)
        # What was opened is covered once nobody is there to look at it.
        opened = is_task or (present.hand.opened and not away)
        cells = at_rest(present.scene.board).tag_cells
        m = measures(width, height, opened=opened, tag=cells, lent=lent)
        m = making_room(m, len(said), is_task=is_task)
        _frame(draft, present, m, look, typed)
        _board(draft, present, look, m, said)
    else:
        m = measures(width, height)
        _frame(draft, present, m, look, typed, is_board=False)
        _other(draft, doing, present, look, m, said)
    draft.put(m.rows.scan - len(said), *said)
    return draft.page()


def _frame(
    draft: _Draft, present: Present, m: Measures, look: Look, typed: str, *, is_board: bool = True
) -> None:
    """Put what stands on every page: who and where, what is wrong, the scan line, the keys."""
    scene, hand = present.scene, present.hand
    where, due = page_words(scene.board, hand, is_board=is_board), tuple(dues_of(scene))
    station = station_of(scene)
    draft.put(
        m.rows.header,
        header(
            scene.board,
            scene.now,
            m.width,
            face=scene.face,
            signed_on=signed_on(scene.board),
            acting=hand.operator,
            page=where,
            station=station,
            dues=due,
            record=in_the_header(present.news.record_check),
        ),
    )
    wrong = notice(
        scene.now,
        m.width,
        face=scene.face,
        health=health_of(present),
        acting=hand.operator,
        covers=m.rows.notice == m.rows.header,
        station=station,
        dues=(*due, where) if where else due,
    )
    if wrong is not None:
        draft.put(m.rows.notice, wrong)
    draft.put(m.rows.scan, scan_line(hand, scene, typed, m.width, look.glyphs))
    made, spots = foot_keys(present, m.width, away=is_away(present, look))
    draft.put(m.rows.keys, made)
    draft.places += [
        Place(m.rows.keys, each.begins, each.ends, Pressed(each.key)) for each in spots
    ]


def _board(
    draft: _Draft, present: Present, look: Look, m: Measures, said: tuple[Line, ...]
) -> None:
    scene, rows = present.scene, m.rows
    masked = is_masked(present, look)
    flashing = new_calls(present, look)
    if look.calls and (look.advises or most_urgent(standings(scene.board, scene.now), scene.now)):
        lines = call(
            scene.board,
            scene.now,
            m,
            look.glyphs,
            face=scene.face,
            masked=masked,
            flash=bool(flashing),
            here=_here(scene),
        )
        draft.put(rows.call, *lines)
    _list(draft, present, look, m, masked=masked, flashing=flashing)
    free = rows.scan - len(said)
    if rows.load is not None and rows.load < free and look.calls:
        draft.put(
            rows.load,
            load(scene.board, scene.now, m.columns, look.glyphs, readers_can=look.readers_can),
        )
    if rows.hint is not None and rows.hint < free and m.detail is None:
        draft.put(rows.hint, line("    ", Piece(shortened(HINT, m.width - 4), Token.SOFT)))
    if rows.slot is not None and rows.slot < free and look.advises:
        draft.put(rows.slot, _slot(scene, look.glyphs, m, masked=masked))
    if m.detail is not None:
        _panel(draft, present, look, m)


def _here(scene: Scene) -> Here | None:
    """Return where this is in a shared bay, and whom it cannot reach; None: nobody shares it."""
    return None if scene.around is None else scene.around.reach


def _slot(scene: Scene, glyphs: Glyphs, m: Measures, *, masked: bool) -> Line:
    """Return what the hands do now, where the call had no room for it, and who is begun next."""
    room = m.width - 4
    doing = shortened(left_out(scene.board, scene.now, m, _here(scene)), room)
    pieces = [Piece(doing, Token.HANDS)] if doing else []
    waiting = at_rest(scene.board).waiting
    if waiting:
        name = scene.board.name(waiting[0]) or ERASED
        shown = mask(name, glyphs) if masked else name
        party = scene.board.party_of(waiting[0])
        lane = f", {party.lane}" if party is not None and party.lane else ""
        more = f", then {len(waiting) - 1} more" if len(waiting) > 1 else ""
        gap = "   " if doing else ""
        said = shortened(f"to begin: {shown}{lane}{more}", room - len(doing) - len(gap))
        pieces.append(Piece(f"{gap}{said}", Token.HANDS, bold=True))
    left = room - line(*pieces).width
    return line("    ", *pieces, *next_start_pieces(scene, left, gap=bool(pieces)))


def _list(
    draft: _Draft,
    present: Present,
    look: Look,
    m: Measures,
    *,
    masked: bool,
    flashing: frozenset[str],
) -> None:
    scene, hand = present.scene, present.hand
    every = in_order(scene.board, scene.now)
    total, rows = len(every), m.rows.list_rows
    # The chosen row shows more than the others; nobody being there, it is one of them.
    chosen = None if is_away(present, look) else hand.chosen
    if hand.chosen is not None:
        place = next((place for place, each in enumerate(every) if each.id == hand.chosen), None)
        if place is not None:
            draft.top = top_showing(place, draft.top, total, rows)
    made = listing(
        scene.board,
        scene.now,
        m.columns,
        look.glyphs,
        face=scene.face,
        rows=rows,
        top=draft.top,
        pointed=Pointed(chosen=chosen, flashing=flashing),
        masked=masked,
        calls=look.calls,
        here=_here(scene),
    )
    head, *body = made
    if m.rows.head is not None:
        draft.put(m.rows.head, head)
    draft.put(m.rows.list_top, *body)
    draft.list_rows = rows_in_sight(total, rows)
    for row, cartridge in enumerate(
        every[draft.top : draft.top + draft.list_rows], m.rows.list_top
    ):
        each = cartridge.id
        # A second click opens what the first one chose, as Right does.
        opens = each == hand.chosen and not hand.opened and isinstance(hand.doing, Watching)
        gives = Pressed(Key.RIGHT) if opens else PointedAt(each)
        draft.places.append(Place(row, 0, m.columns.width, gives))
    if draft.list_rows < rows:
        row = m.rows.list_top + draft.list_rows
        draft.places += _turning(row, body[draft.list_rows].text, m.columns.width)


def _turning(row: int, said: str, width: int) -> list[Place]:
    """Return where the row that says what is out of sight turns the page, and which way."""
    up, down = Pressed(Key.PAGE_UP), Pressed(Key.PAGE_DOWN)
    if PAGE_UP not in said:
        return [Place(row, 0, width, down)]
    if PAGE_DOWN not in said:
        return [Place(row, 0, width, up)]
    above, key = said.index(ABOVE) + len(ABOVE), said.index(PAGE_UP)
    return [
        Place(row, 0, above, up),
        Place(row, key, key + len(PAGE_UP), up),
        Place(row, 0, width, down),
    ]


def _panel(draft: _Draft, present: Present, look: Look, m: Measures) -> None:
    region, doing = m.detail, present.hand.doing
    assert region is not None  # noqa: S101  # asked by the caller
    if isinstance(doing, (Stepping, Labelling, Gathering, Voiding, TakingBack)):
        from readbell.ui.task_panel import task_panel

        away = is_away(present, look)
        painted = task_panel(doing, present.scene, region.width, region.height, masked=away)
    else:
        painted = Painted(_detail(present, look, region.width, region.height))
    for offset in range(region.height):
        made = painted.lines[offset] if offset < len(painted.lines) else Line()
        draft.beside(region.row + offset, region.column, made.fitted(region.width))
    # What stands under a panel is not to be clicked.
    rows = range(region.row, region.row + region.height)
    draft.places = [
        each for each in draft.places if each.row not in rows or each.begins < region.column
    ]
    draft.places += [
        Place(
            region.row + each.row,
            region.column + each.begins,
            region.column + each.ends,
            Chose(each.question, each.answer),
        )
        for each in painted.spots
    ]


def _detail(present: Present, look: Look, width: int, height: int) -> tuple[Line, ...]:
    scene = present.scene
    cartridge = scene.cartridge(present.hand.chosen)
    if cartridge is None:
        return (line("  ", Piece("No cartridge is chosen.", Token.SOFT)),)
    from readbell.ui.detail import detail

    return detail(
        cartridge,
        scene.board,
        scene.now,
        look.glyphs,
        face=scene.face,
        width=width,
        height=height,
        masked=False,  # identifiers of the chosen one are shown: somebody chose it to see them
        calls=look.calls,
    )


def _other(
    draft: _Draft,
    doing: Doing,
    present: Present,
    look: Look,
    m: Measures,
    said: tuple[Line, ...],
) -> None:
    """Put a page that takes the place of the list; the alerts keep a line of their own."""
    from readbell.ui.page_body import page_body

    scene = present.scene
    alerts = 2 if m.has_blank_rows else 1
    if look.calls:
        draft.put(alerts, alert_line(scene.board, scene.now, m.width - 2))
    top = alerts + (2 if m.has_blank_rows else 1)
    # Where there is room for it the answer has rows of its own, so that nothing moves when it comes.
    kept = SAID_ROWS if m.height >= ROWS_KEPT_FROM else 0
    room = max(1, m.rows.scan - max(kept, len(said)) - top)
    painted = page_body(doing, present, look, m.width, room)
    draft.put(top, *painted.lines[:room])
    draft.places += [
        Place(top + each.row, each.begins, each.ends, Chose(each.question, each.answer))
        for each in painted.spots
        if each.row < room
    ]

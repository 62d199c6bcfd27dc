"""One cartridge as one row: sign, tag, patient, state, figure, and its track on the axis.

The row says everything in letters. Colour repeats it, so that the plain text of
a list is the same in every theme and in none.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from rich.cells import set_cell_size

from readbell.core.board.stations import held_out_of_reach, mark_of
from readbell.core.made_later import dataclass
from readbell.phrases.around_words import say_elsewhere
from readbell.phrases.board_words import (
    EARLY_STANDS,
    FOREVER,
    Standing,
    Where,
    changes_at,
    standing,
    uncalled,
)
from readbell.phrases.whose import say_short
from readbell.ui.at_rest import at_rest
from readbell.ui.extras import (
    ERASED,
    clock_time,
    extra_text,
    extras,
    lines_of,
    scale_beside,
    several_assays,
)
from readbell.ui.ink import Line, Piece, Token, at_columns, clean, line
from readbell.ui.measures import BRACKETS
from readbell.ui.tags import kept_to, tags
from readbell.ui.track import empty_track, painted
from readbell.ui.wrapped import shortened

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from readbell.core.board.board import Board
    from readbell.core.board.stations import Here
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.phrases.clock_time import ClockFace
    from readbell.ui.extras import Placed
    from readbell.ui.glyphs import Glyphs
    from readbell.ui.measures import Columns
    from readbell.ui.track import Scale

MASK = 4
"""So many dots whatever the name's length, which says something too."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ink:
    """How one state looks once there is colour."""

    sign: Token
    words: Token
    named: Token
    """Tag and patient."""
    bold: bool


_FILLS: dict[Where, tuple[Token, Token]] = {
    Where.CLOSING: (Token.SHORT_FILL, Token.SHORT),
    Where.READ_NOW: (Token.EYES_FILL, Token.EYES),
    Where.OVERDUE: (Token.HANDS_FILL, Token.HANDS),
}
_LETTERS: dict[Where, Token] = {
    Where.LAPSED: Token.LOST,
    Where.WAIT_OVER: Token.HANDS,
    Where.UNSURE: Token.HANDS,
}


def ink_of(where: Where, *, flash: bool = False) -> Ink:
    """Return the look of a state; while it flashes, ink and ground are swapped."""
    if where in _FILLS:
        fill, letters = _FILLS[where]
        return Ink(sign=letters, words=letters if flash else fill, named=Token.TEXT, bold=True)
    if where in _LETTERS:
        letters = _LETTERS[where]
        return Ink(sign=letters, words=letters, named=Token.TEXT, bold=True)
    if where is Where.STEP_DUE:
        return Ink(sign=Token.HANDS, words=Token.HANDS, named=Token.TEXT, bold=False)
    return Ink(sign=Token.SOFT, words=Token.SOFT, named=Token.SOFT, bold=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shared:
    """What all rows of one picture have in common."""

    board: Board
    columns: Columns
    glyphs: Glyphs
    face: ClockFace
    masked: bool
    placed: tuple[Placed, ...]
    """What stands beside the axis."""
    scale: Scale | None
    """None: there is no axis."""
    tags: Mapping[str, str]
    """How each label is shown."""
    several: bool
    """Whether cartridges of more than one assay may lie on the bench."""
    calls: bool = True
    """Whether it is shown what is due, and when; in an examination it is not."""
    here: Here | None = None
    """Where this is, and whom it cannot reach; None: nobody shares the bay."""

    @classmethod
    def of(
        cls,
        board: Board,
        columns: Columns,
        glyphs: Glyphs,
        *,
        face: ClockFace,
        masked: bool,
        calls: bool = True,
        here: Here | None = None,
    ) -> Shared:
        """Return what rows of `board` share in these columns."""
        placed = extras(columns, board)
        return cls(
            board=board,
            columns=columns,
            glyphs=glyphs,
            face=face,
            masked=masked,
            placed=placed,
            scale=None if columns.axis is None else scale_beside(columns.axis, placed),
            tags=tags(at_rest(board).labels, columns.tag.width - BRACKETS),
            several=several_assays(board),
            calls=calls,
            here=here,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Parts:
    """A row but for its figure, which alone changes each second."""

    stands: Standing
    ink: Ink
    front: tuple[Piece, ...]
    """What stands before the state."""
    room: int
    """Cells of state and figure."""
    back: tuple[Piece, ...]
    """What stands after the figure."""
    chosen: bool
    ends: Instant
    """The first instant at which any of it may be otherwise, if nobody acts."""

    def line(self, now: Instant, columns: Columns) -> Line:
        """Return the row in exactly `columns.width` cells."""
        return self.with_figure(self.stands.figure(now), columns)

    def with_figure(self, figure: str, columns: Columns) -> Line:
        """Return the row that shows `figure`."""
        state = _state(self.stands.word, figure, columns, self.ink).fitted(self.room)
        return Line((*self.front, *state.pieces, *self.back), self.chosen, columns.width)


def row(
    cartridge: Cartridge,
    board: Board,
    now: Instant,
    columns: Columns,
    glyphs: Glyphs,
    *,
    face: ClockFace,
    chosen: bool = False,
    masked: bool = False,
    flash: bool = False,
) -> Line:
    """Return the row of `cartridge` in exactly `columns.width` cells."""
    shared = Shared.of(board, columns, glyphs, face=face, masked=masked)
    return parts_of(cartridge, now, shared, chosen=chosen, flash=flash).line(now, columns)


def parts_of(
    cartridge: Cartridge, now: Instant, shared: Shared, *, chosen: bool, flash: bool
) -> Parts:
    """Return the parts of a row, and for how long they hold."""
    columns = shared.columns
    stands = (standing if shared.calls else uncalled)(cartridge, now)
    ink = ink_of(stands.where, flash=flash)
    early = bool(cartridge.shown_early) and (chosen or not shared.masked)
    elsewhere = held_elsewhere(cartridge, shared)
    named = Token.TEXT if early or chosen else ink.named
    begins = columns.state.column - 1
    back, holds = _after_figure(cartridge, now, shared, stands, elsewhere, early=early)
    ends = min(changes_at(cartridge, now), holds)
    follows = back[0][0] if back else columns.width
    moved = ((column - follows, part) for column, part in back)
    return Parts(
        stands=stands,
        ink=ink,
        front=at_columns(
            (columns.sign.column, _sign(stands, ink, columns, elsewhere, early=early)),
            (
                columns.tag.column,
                _tag(cartridge, shared, Piece("", named, ink.bold or chosen), chosen=chosen),
            ),
            *_patient(cartridge, shared, named),
            width=begins,
        ).pieces,
        room=follows - begins,
        back=at_columns(*moved, width=columns.width - follows).pieces,
        chosen=chosen,
        ends=ends,
    )


def _after_figure(
    cartridge: Cartridge,
    now: Instant,
    shared: Shared,
    stands: Standing,
    elsewhere: str,
    *,
    early: bool,
) -> tuple[list[tuple[int, Line]], Instant]:
    """Return what stands after the figure, each with its column, and until when."""
    columns, board, face = shared.columns, shared.board, shared.face
    after = elsewhere
    if early and not elsewhere and stands.where is not Where.EARLY_LOOK:
        after = EARLY_STANDS
    parts: list[tuple[int, Line]] = []
    ends = FOREVER
    if columns.note is not None:
        said = f"{after} {_note(cartridge, stands, shared)}".strip()
        parts.append((columns.note.column, line(Piece(_whole(said, columns), Token.SOFT))))
    if columns.axis is not None and shared.scale is not None:
        parts.append((columns.axis.column - 2, line(Piece(after, Token.TEXT, bold=True))))
        if shared.calls:
            canvas = painted(cartridge, now, shared.scale, shared.glyphs)
            parts.append((columns.axis.column, canvas.line()))
            ends = canvas.ends
        else:
            parts.append((columns.axis.column, empty_track(shared.scale, shared.glyphs)))
        for each in shared.placed:
            said = kept_to(extra_text(each.extra, cartridge, board, stands, face), each.width)
            parts.append((each.column, line(Piece(said, Token.SOFT))))
    return parts, ends


def empty_row(board: Board, columns: Columns, glyphs: Glyphs) -> Line:
    """Return a row without a cartridge: the now-line alone, which never breaks off."""
    if columns.axis is None:
        return Line().fitted(columns.width)
    scale = scale_beside(columns.axis, extras(columns, board))
    return at_columns((columns.axis.column, empty_track(scale, glyphs)), width=columns.width)


def patient_shown(
    cartridge: Cartridge, board: Board, glyphs: Glyphs, *, masked: bool = False
) -> str:
    """Return the person's ID, what stands for it while it is masked, or that it is erased."""
    sample = say_short(cartridge, board)
    if sample is not None:
        return sample  # nobody's, so there is nothing to mask
    known = board.name(cartridge.labelled.subject)
    if known is None:
        return ERASED
    return mask(known, glyphs) if masked else known


def mask(name: str, glyphs: Glyphs) -> str:
    """Return what stands for `name`: no more of it than one letter that says of which sort it is."""
    front, dash, _ = name.partition("-")
    sort = f"{front}-" if dash and len(front) == 1 and front.isalpha() else ""
    return sort + glyphs.masked * MASK


def held_elsewhere(cartridge: Cartridge, shared: Shared) -> str:
    """Return that its clock runs at a station that cannot be reached: nobody acts on it here."""
    if shared.here is None:
        return ""
    station = held_out_of_reach(shared.board, cartridge.id, shared.here)
    return "" if station is None else say_elsewhere(mark_of(shared.board, station))


def _sign(stands: Standing, ink: Ink, columns: Columns, elsewhere: str, *, early: bool) -> Line:
    """Return the sign; an early positive stands in it where it has no column of its own."""
    sign, token = stands.sign, ink.sign
    if early and stands.where is Where.EARLY_LOOK:
        sign, token = EARLY_STANDS, Token.TEXT
    elif early and (elsewhere or (columns.axis is None and columns.note is None)):
        sign = sign[0] + EARLY_STANDS[1]
    elif elsewhere and columns.axis is None and columns.note is None:
        sign = sign[0] + elsewhere[0]
    return line(Piece(sign, token, bold=ink.bold or early))


def tag_shown(cartridge: Cartridge, shared: Shared) -> str:
    """Return the label as it stands in the list."""
    cells = shared.columns.tag.width - BRACKETS
    return shared.tags.get(cartridge.label) or kept_to(cartridge.label, cells)


def _tag(cartridge: Cartridge, shared: Shared, look: Piece, *, chosen: bool) -> Line:
    shown = tag_shown(cartridge, shared)
    return line(Piece(f"[{shown}]" if chosen else f" {shown}", look.token, look.bold))


def _state(word: str, figure: str, columns: Columns, ink: Ink) -> Line:
    """Return word and figure as one block, so that a fill has no holes."""
    room = columns.time.end - columns.state.column - len(figure)
    shown = _in_cells(word, max(0, room - 1))
    if ink.bold:
        return Line((Piece(f"{shown}{figure} ", ink.words, bold=True),))
    return Line((Piece(shown, ink.words), Piece(f"{figure} ", Token.TEXT)))


@lru_cache(maxsize=256)
def _in_cells(word: str, cells: int) -> str:
    return f" {set_cell_size(clean(word), cells)} "


def _whole(said: str, columns: Columns) -> str:
    width = 0 if columns.note is None else columns.note.width
    return shortened(clean(said), width) or said


def _patient(cartridge: Cartridge, shared: Shared, named: Token) -> Iterator[tuple[int, Line]]:
    place = shared.columns.patient
    if place is not None:
        shown = patient_shown(cartridge, shared.board, shared.glyphs, masked=shared.masked)
        shown = say_short(cartridge, shared.board, place.width) or shown
        yield place.column, line(Piece(kept_to(shown, place.width), named))


def _note(cartridge: Cartridge, stands: Standing, shared: Shared) -> str:
    """Return what stands instead of the axis: until when, which lines, and what to do next."""
    step = cartridge.next_step
    said = [
        clock_time(stands, shared.face),
        lines_of(cartridge) if shared.several else "",
        "" if step is None or not shared.calls else step.title,
    ]
    return "  ".join(each for each in said if each)

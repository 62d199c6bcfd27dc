"""The wall: several bays at once, read only, in letters for three metres.

Cartridge, place, stage and countdown, the most urgent first; what a wall may not say is left
out in `phrases/wall_words.py`, so nothing here ever has it. It is a function of what was seen
and of the instant, and turns its own pages: what calls stays in sight on all of them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.attention import by_attention
from readbell.core.instant import SECOND, Span
from readbell.core.made_later import dataclass
from readbell.phrases.board_words import CALLS, DROPS_DUE, WORDS, Where, name_of_wait
from readbell.phrases.wall_words import (
    BEING_READ,
    NOTHING_RUNS,
    UNSURE,
    label_shown,
    on_the_wall,
    place_shown,
)
from readbell.ui.ink import Line, Piece, Token, at_columns, line
from readbell.ui.large_digits import large, large_width
from readbell.ui.row import ink_of
from readbell.ui.tags import cells_for, kept_to, tags
from readbell.ui.wall_fit import (
    GAP,
    GUTTER,
    Fit,
    Texts,
    fit,
    is_drawn_large,
    width_of,
)
from readbell.ui.wall_head import Counts, head, head_rows

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.core.board.board import Board
    from readbell.core.board.not_followed import NotFollowed
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.phrases.board_words import Standing
    from readbell.phrases.clock_time import ClockFace
    from readbell.ui.glyphs import Glyphs

PAGE_FOR = Span(5 * SECOND)
"""How long a page stands: time to find a cartridge on it and read its countdown (our own choice)."""
TURNING = 3
"""One of so many places turns its page whatever calls: else nobody would learn what comes next."""

BETWEEN = "   "

_WORDS = (*(WORDS[each] for each in Where if each not in {Where.LAPSED, Where.READ, Where.VOID}),)


@dataclass(frozen=True, slots=True, kw_only=True)
class WallBay:
    """One bay as a wall has it."""

    name: str
    """Of its file, until the bay's own is known."""
    board: Board | None
    """None: it was not read yet."""
    now: Instant
    face: ClockFace
    trouble: NotFollowed | None = None
    since: Instant | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One cartridge in all that a wall says of it."""

    label: str
    place: str
    stands: Standing

    @property
    def calls(self) -> bool:
        """Whether it asks for a hand or an eye this moment."""
        return self.stands.where in CALLS


class _Named:
    """What the cartridges of one board are called, worked out once: all of it hangs on the board.

    Whether a label or a place gives somebody away takes a look at all that is known of them, and
    a wall is painted each second.
    """

    __slots__ = ("_cut", "_of", "board")

    def __init__(self, board: Board) -> None:
        self.board = board
        self._of: dict[str, tuple[str, str]] = {}
        """Label and place by the cartridge's opaque id."""
        self._cut: tuple[tuple[str, ...], list[str]] = ((), [])
        """The labels that were last in sight together, and how they were shown."""

    def of(self, cartridge: Cartridge) -> tuple[str, str]:
        """Return the label, and the place in the letters in which it is shown."""
        found = self._of.get(cartridge.id)
        if found is None:
            place = _large_form(place_shown(cartridge, self.board))
            found = self._of[cartridge.id] = (label_shown(cartridge, self.board), place)
        return found

    def shown(self, known: tuple[str, ...]) -> list[str]:
        """Return how labels that are in sight together are shown."""
        if known != self._cut[0]:
            self._cut = (known, _labels(known))
        return self._cut[1]


class _Boards:
    """What is kept of the boards that were painted last, and of no other: a wall hangs for weeks."""

    __slots__ = ("_kept",)

    def __init__(self) -> None:
        self._kept: dict[int, _Named] = {}

    def keep(self, boards: Sequence[Board | None]) -> None:
        """Keep what is known of `boards`, the very same ones, and let go of the rest."""
        kept = [self.of(each) for each in boards if each is not None]
        self._kept = {id(each.board): each for each in kept}

    def of(self, board: Board) -> _Named:
        """Return what is kept of `board`, or what is made for it now."""
        return self._kept.get(id(board)) or _Named(board)


_BOARDS = _Boards()


def told_of(board: Board | None, now: Instant) -> tuple[Told, ...]:
    """Return what is told of each cartridge: what calls first, then by what is lost first."""
    if board is None:
        return ()
    named = _BOARDS.of(board)
    found = [
        (each, stands)
        for each in by_attention(board, now)
        if (stands := on_the_wall(each, now)) is not None
    ]
    names = [named.of(each) for each, _ in found]
    shown = named.shown(tuple(label for label, _ in names))
    told = [
        Told(label=label, place=place, stands=stands)
        for (_, stands), (_, place), label in zip(found, names, shown, strict=True)
    ]
    return tuple(sorted(told, key=lambda each: not each.calls))


def wall(bays: Sequence[WallBay], width: int, height: int, glyphs: Glyphs) -> tuple[Line, ...]:
    """Return the whole screen: a band for each bay, one under the other."""
    bands = max(1, len(bays))
    high = [height // bands + (place < height % bands) for place in range(bands)]
    _BOARDS.keep([each.board for each in bays])
    told = [told_of(each.board, each.now) for each in bays]
    texts, most = _texts(bays, told), max(map(len, told), default=0)
    headed = head_rows(min(high), width, height)
    room = min(high) - headed
    layout = fit(texts, most, width, room, height, glyphs)
    if any(_calling(each) > _kept(each, layout.most) for each in told):
        # What calls and has no place of its own on every page is named in a row of its own.
        layout = fit(texts, most, width, room - 1, height, glyphs)
    lines: list[Line] = []
    for bay, every, rows in zip(bays, told, high, strict=True):
        lines += _band(bay, every, layout, (width, rows), headed, glyphs)
    lines += [Line()] * height
    return tuple(each.fitted(width) for each in lines[:height])


def _band(
    bay: WallBay,
    told: Sequence[Told],
    layout: Fit,
    size: tuple[int, int],
    headed: int,
    glyphs: Glyphs,
) -> list[Line]:
    """Return one bay in exactly `size`: cells and rows."""
    width, height = size
    page = page_of(told, layout.most, bay.now)
    counts = Counts(running=len(told), calling=_calling(told), page=page.number, pages=page.pages)
    lines = list(head(bay, counts, width, headed, glyphs))
    if told:
        lines += _grid(page.shown, bay.now, layout, width, glyphs)
    elif bay.board is not None:
        lines += _alone(NOTHING_RUNS, layout, width, glyphs)
    elif bay.trouble is None:
        lines += _alone(BEING_READ, layout, width, glyphs)
    lines = [*lines, *([Line()] * height)][:height]
    unseen = [each for each in told if each.calls and each not in page.shown]
    if unseen:
        lines[-1] = _named(unseen, width)
    return lines


def _grid(
    shown: Sequence[Told], now: Instant, layout: Fit, width: int, glyphs: Glyphs
) -> Iterator[Line]:
    """Yield the rows of the cartridges in sight, column by column from the top."""
    blocks = [_cartridge(each, now, layout, glyphs) for each in shown]
    for row in range(layout.rows):
        beside = blocks[row :: layout.rows]
        for inner in range(layout.pitch):
            parts = [
                (column * (layout.width + GUTTER), block[inner])
                for column, block in enumerate(beside)
                if inner < len(block)
            ]
            yield at_columns(*parts, width=width) if parts else Line()


def _named(unseen: Sequence[Told], width: int) -> Line:
    """Return a row that names what calls and is not on this page."""
    for named in range(len(unseen), -1, -1):
        left = len(unseen) - named
        names = [f"{each.stands.sign.strip()} {each.label}" for each in unseen[:named]]
        said = [*names, *([f"and {left} more"] if left and named else [])]
        if not named:
            said = [f"{left} more call"]
        made = line(Piece(f" also {BETWEEN.join(said)} ", Token.EYES_FILL, bold=True))
        if made.width <= width:
            break
    return made


@dataclass(frozen=True, slots=True, kw_only=True)
class Turned:
    """What stands on the page that is open."""

    shown: tuple[Told, ...]
    number: int
    """From 1."""
    pages: int


def page_of(told: Sequence[Told], most: int, now: Instant) -> Turned:
    """Return what is in sight at `now` where `most` have room.

    What calls stays in sight, but for one place in `TURNING`; there the others take turns, and a row
    of its own names what calls and is not in sight.
    """
    if len(told) <= most:
        return Turned(shown=tuple(told), number=1, pages=1)
    kept = _kept(told, most)
    turning, room = told[kept:], most - kept
    pages = -(-len(turning) // room)
    number = now // PAGE_FOR % pages
    return Turned(
        shown=(*told[:kept], *turning[number * room : (number + 1) * room]),
        number=number + 1,
        pages=pages,
    )


def _calling(told: Sequence[Told]) -> int:
    return sum(each.calls for each in told)


def _kept(told: Sequence[Told], most: int) -> int:
    """Return how many of what calls stand on every page."""
    if len(told) <= most:
        return _calling(told)
    return min(_calling(told), most - max(1, most // TURNING))


def _labels(known: tuple[str, ...]) -> list[str]:
    """Return how each label is shown: no two alike, in letters that can be drawn if that can be."""
    cut = tags(known, cells_for(known)) if known else {}
    shown = [cut.get(each) or kept_to(each, cells_for(known)) for each in known]
    upper = [each.upper() for each in shown]
    return [
        high if upper.count(high) == 1 else each for each, high in zip(shown, upper, strict=True)
    ]


def _large_form(text: str) -> str:
    """Return a word in the letters that are drawn large, if it can be."""
    return text.upper() if is_drawn_large(text.upper()) else text


def _texts(bays: Sequence[WallBay], told: Sequence[Sequence[Told]]) -> Texts:
    """Return what has to have room: every word that may come, so that no column moves for one."""
    every = [each for band in told for each in band]
    figures = [
        each.stands.figure(bay.now) for bay, band in zip(bays, told, strict=True) for each in band
    ]
    words = {_large_form(each) for each in (*_WORDS, UNSURE, DROPS_DUE)}
    words |= {
        _large_form(name_of_wait(each, step.key))
        for bay in bays
        if bay.board is not None
        for each in {each.labelled.assay: each for each in bay.board.running.values()}.values()
        for step in each.assay.steps
        if step.wait is not None
    }
    return Texts(
        labels=tuple({each.label for each in every}),
        places=tuple({each.place for each in every if each.place}),
        words=tuple(each for each in words if is_drawn_large(each)),
        figures=tuple(set(figures)),
    )


def _cartridge(told: Told, now: Instant, layout: Fit, glyphs: Glyphs) -> tuple[Line, ...]:
    """Return one cartridge in the rows of a large letter."""
    stands, face = told.stands, layout.face
    ink = ink_of(stands.where)
    named = Piece("", Token.TEXT if told.calls else ink.named, bold=True)
    words = Piece("", ink.words if told.calls or ink.bold else Token.TEXT, bold=True)
    letters = ink_of(stands.where, flash=True).words if told.calls else Token.TEXT
    figure = Piece("", letters, bold=True)
    sign, label = layout.sign, layout.sign + 1
    after = label + layout.label + GAP
    parts: list[tuple[int, tuple[Line, ...]]] = [
        (0, _drawn(stands.sign.strip(), face, sign, ink.sign, glyphs)),
        (label, _inked(told.label, face, layout.label, named, glyphs)),
    ]
    if layout.words_are_large:
        if layout.place:
            parts.append((after, _inked(told.place, face, layout.place, named, glyphs)))
            after += layout.place + GAP
        word = _large_form(stands.word)
        parts.append((after, _filled(word, face, layout.word, words, glyphs)))
    else:
        parts.append((after, _two(told, face, layout.word, words, named)))
    said = stands.figure(now)
    begins = layout.width - min(layout.figure, width_of(said, face, glyphs))
    parts.append((begins, _inked(said, face, layout.width - begins, figure, glyphs)))
    return tuple(
        at_columns(*((column, rows[row]) for column, rows in parts), width=layout.width)
        for row in range(face)
    )


def _two(told: Told, face: int, width: int, words: Piece, named: Piece) -> tuple[Line, ...]:
    """Return word and place in letters of one row, one under the other."""
    first = line(Piece(f" {told.stands.word} ", words.token, words.bold))
    place = line(
        Piece(
            f" {kept_to(told.place, max(1, width - 1))}" if told.place else "",
            named.token,
            bold=True,
        )
    )
    if face == 1:
        return ((first + place).fitted(width),)
    rows = [Line()] * face
    rows[(face - 2) // 2] = first
    rows[(face - 2) // 2 + 1] = place
    return tuple(rows)


def _drawn(text: str, face: int, width: int, token: Token, glyphs: Glyphs) -> tuple[Line, ...]:
    return _inked(text, face, width, Piece("", token, bold=True), glyphs)


def _inked(text: str, face: int, width: int, look: Piece, glyphs: Glyphs) -> tuple[Line, ...]:
    """Return `text` as large as it can be drawn in that many cells."""
    rows = _rows(text, face, width, glyphs)
    return tuple(line(Piece(each, look.token, look.bold)) for each in rows)


def _filled(text: str, face: int, width: int, look: Piece, glyphs: Glyphs) -> tuple[Line, ...]:
    """Return `text` as a block with a cell at either end, so that a fill has no holes."""
    rows = _rows(text, face, max(1, width - 2), glyphs)
    wide = max(line(each).width for each in rows)
    return tuple(
        line(Piece(f" {each}{' ' * (wide - line(each).width)} ", look.token, look.bold))
        for each in rows
    )


def _rows(text: str, face: int, width: int, glyphs: Glyphs) -> tuple[str, ...]:
    if is_drawn_large(text) and large_width(text, face, glyphs) <= width:
        return large(text, face, glyphs)
    shown = kept_to(text, max(1, width))
    return tuple(shown if row == face // 2 else "" for row in range(face))


def _alone(said: str, layout: Fit, width: int, glyphs: Glyphs) -> Iterator[Line]:
    """Yield one sentence in the place of cartridges."""
    face = layout.face if large_width(said.upper(), layout.face, glyphs) <= width - 2 else 1
    for each in large(said.upper() if face > 1 else said, face, glyphs):
        yield line(" ", Piece(each, Token.SOFT, bold=True))

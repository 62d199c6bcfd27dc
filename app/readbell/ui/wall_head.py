"""The head of one bay on a wall: which bay, what time it is there, and whether it is followed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass
from readbell.phrases.board_words import write_since
from readbell.phrases.wall_words import NOT_FOLLOWED, STILL_COUNTS, why_not_followed
from readbell.ui.header import REHEARSAL, is_rehearsal
from readbell.ui.ink import Line, Piece, Token, at_columns, clean, line
from readbell.ui.large_digits import can_draw, large, large_width
from readbell.ui.wall_fit import LARGE_HEAD_HEIGHT, LARGE_HEAD_WIDTH, LOW_SCREEN
from readbell.ui.wrapped import shortened

if TYPE_CHECKING:
    from readbell.core.instant import Instant
    from readbell.ui.glyphs import Glyphs
    from readbell.ui.wall import WallBay

LARGE_FACE = 3
LEAVES = "Ctrl+Q leaves"
BETWEEN = "   "


@dataclass(frozen=True, slots=True, kw_only=True)
class Counts:
    """How much of a bay is in sight."""

    running: int
    calling: int
    page: int
    pages: int


def head_rows(height: int, width: int, screen: int) -> int:
    """Return how many rows of a band its head takes, on a screen of so many rows."""
    if screen > LOW_SCREEN and height >= LARGE_HEAD_HEIGHT and width >= LARGE_HEAD_WIDTH:
        return LARGE_FACE + 2
    return 1


def head(bay: WallBay, counts: Counts, width: int, rows: int, glyphs: Glyphs) -> tuple[Line, ...]:
    """Return the head in that many rows."""
    if rows > LARGE_FACE:
        made = _large(bay, counts, width, glyphs)
    elif bay.trouble is not None:
        made = (_trouble_line(bay, width),)
    else:
        made = (_name_line(bay, counts, width),)
    return tuple(each.fitted(width) for each in (*made, *([Line()] * rows)))[:rows]


def _large(bay: WallBay, counts: Counts, width: int, glyphs: Glyphs) -> tuple[Line, ...]:
    """Return name and time in large letters, or that it is not followed, and a line of words."""
    name, time = _name(bay), f"{bay.face.local(bay.now):%H:%M}"
    right = large(time, LARGE_FACE, glyphs)
    token = Token.SOFT
    if bay.trouble is not None:
        right, token = large(_not_followed(bay), LARGE_FACE, glyphs), Token.SHORT_FILL
    wide = line(right[0]).width + 2
    left_room = width - wide - 2
    shown = name.upper() if can_draw(name.upper()) else name
    if large_width(shown, LARGE_FACE, glyphs) > left_room or not can_draw(shown):
        left: tuple[str, ...] = ("", shortened(clean(name), left_room), "")
    else:
        left = large(shown, LARGE_FACE, glyphs)
    top = tuple(
        at_columns(
            (1, line(Piece(one, Token.TEXT, bold=True))),
            (width - wide, line(Piece(f" {other} ", token, bold=True))),
            width=width,
        )
        for one, other in zip(left, right, strict=True)
    )
    rule = line(Piece(glyphs.rule * width, Token.HAIR))
    return (*top, _second(bay, counts, width), rule)


def _second(bay: WallBay, counts: Counts, width: int) -> Line:
    """Return the line of words under a large name."""
    drill = _drill(bay)
    if bay.trouble is not None:
        since = "not followed" if bay.since is None else _since(bay, bay.since)
        stands = "" if bay.board is None else f" {STILL_COUNTS}"
        said = f"{since}: {why_not_followed(bay.trouble)}.{stands}"
        said = shortened(f"{said[0].upper()}{said[1:]}", width - 3 - drill.width)
        return line(" ", Piece(said, Token.SHORT, bold=True), " ") + drill
    said = BETWEEN.join(_counted(counts))
    return line(" ", Piece(shortened(said, width - 4 - drill.width), Token.TEXT), "  ") + drill


def _name_line(bay: WallBay, counts: Counts, width: int) -> Line:
    """Return the head in one row."""
    local = bay.face.local(bay.now)
    time = f"{local:%H:%M:%S} {local.isoformat()[-6:]}"
    left = line(" ", Piece(_name(bay), Token.TEXT, bold=True), "  ") + _drill(bay)
    said = _counted(counts)
    tries = [(said, f"{time}{BETWEEN}{LEAVES}"), (said, time), (said, time[:8])]
    tries += [(said[:1], time[:8]), ([], time[:8])]
    for words, right in tries:
        made = left + line(Piece("".join(f"{BETWEEN}{each}" for each in words), Token.SOFT))
        if made.width + len(BETWEEN) + len(right) + 1 <= width:
            break
    begins = max(0, width - 1 - len(right))
    made = made.fitted(max(0, begins - 1)) if made.width >= begins else made
    return at_columns((0, made), (begins, line(Piece(right, Token.SOFT))), width=width)


def _trouble_line(bay: WallBay, width: int) -> Line:
    """Return in one row that a bay is not followed, since when and why."""
    assert bay.trouble is not None  # noqa: S101  # asked by the caller
    name, why = _name(bay), why_not_followed(bay.trouble)
    wrong = _not_followed(bay)
    since = "" if bay.since is None else f", {_since(bay, bay.since)}"
    drill = _drill(bay)
    room = width - drill.width
    for said in (
        f" {name}: {wrong}{since}: {why}. ",
        f" {name}: {wrong}: {why}. ",
        f" {name}: {wrong} ",
        f" {wrong} {name}",
    ):
        made = line(Piece(said, Token.SHORT_FILL, bold=True))
        if made.width <= room:
            break
    return (made + line(Piece(" " * max(0, room - made.width), Token.SHORT_FILL))) + drill


def _counted(counts: Counts) -> list[str]:
    """Return how much there is, what matters most in front."""
    calls = f"{counts.calling} {'calls' if counts.calling == 1 else 'call'}"
    page = f"page {counts.page} of {counts.pages}"
    said = [calls] if counts.calling else []
    return [*said, f"{counts.running} running", *([page] if counts.pages > 1 else [])]


def _not_followed(bay: WallBay) -> str:
    """Return that it is not followed, and for how long if that is known."""
    gone = "" if bay.since is None else f" {write_since(bay.since, bay.now)}"
    return f"{NOT_FOLLOWED}{gone}"


def _since(bay: WallBay, since: Instant) -> str:
    return f"since {bay.face.time(since)}"


def _name(bay: WallBay) -> str:
    founded = None if bay.board is None else bay.board.founded
    return bay.name if founded is None else founded.bay


def _drill(bay: WallBay) -> Line:
    if bay.board is None or not is_rehearsal(bay.board):
        return Line()
    return line(Piece(REHEARSAL, Token.DRILL_FILL, bold=True))

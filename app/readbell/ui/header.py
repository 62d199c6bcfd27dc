"""The top line: where, who and when; and below it what everybody must be told."""

from __future__ import annotations

from enum import IntEnum
from typing import TYPE_CHECKING

from rich.cells import cell_len

from readbell.core.board.events import Mode
from readbell.core.instant import SECOND, Instant, Span
from readbell.core.made_later import dataclass
from readbell.phrases.board_words import write_since
from readbell.ui.ink import Line, Piece, Token, at_columns, clean, line
from readbell.ui.wrapped import MORE

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from readbell.core.board.board import Board
    from readbell.phrases.clock_time import ClockFace

REHEARSAL = " REHEARSAL "
ACTS = "acts"
"""Beside the operator who acts now."""
NO_SOUND = "NO SOUND. Work by eye."
BETWEEN = "   "
LATE_FROM = Span(2 * SECOND)
"""From here on the screen says that it is late."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Health:
    """What is not as it should be with the machine, as far as people must know it."""

    not_saved_since: Instant | None = None
    why_not_saved: str = ""
    alone: tuple[str, str, str] | None = None
    """That this station is alone, in fewer and fewer words."""
    twin: tuple[str, str, str] | None = None
    """That another computer says that it is this station, in fewer and fewer words."""
    mirror: tuple[str, str, str] | None = None
    """That the mirror here takes nothing, in fewer and fewer words; the record is whole."""
    muted_until: Instant | None = None
    no_sound: bool = False
    late: Span = Span(0)
    """How far the screen is behind the bay's own clock."""
    told: str = ""
    """A sentence that stays until it is heard: a clock that jumped, a computer that slept."""
    broken: tuple[str, str, str] | None = None
    """That the record is broken, in fewer and fewer words."""

    @property
    def is_grave(self) -> bool:
        """Whether it fills its line: nobody may be started now, or not as usual."""
        told = (self.not_saved_since, self.broken, self.alone, self.twin)
        return any(each is not None for each in told)


WELL = Health()


def header(
    board: Board,
    now: Instant,
    width: int,
    *,
    face: ClockFace,
    signed_on: Sequence[str] = (),
    acting: str | None = None,
    page: str = "",
    record: Sequence[str] = (),
    station: Sequence[str] = (),
    dues: Iterable[str] = (),
) -> Line:
    """Return place and page at the left, operators, date and time at the right.

    Which `station` this is is said in as many of its words as leave who acts and the time of
    day; how far that is from UTC gives way to it.
    How the check of the `record` goes is said in as many words as there is room for; what is
    due is told as long as it leaves who acts and the time where they are.
    """
    bay = Piece(_bay(board), Token.TEXT, bold=True)
    drill = [Piece(REHEARSAL, Token.DRILL_FILL, bold=True)] if is_rehearsal(board) else []
    end = line(
        Piece(f"{BETWEEN}{page}" if page else "", Token.SOFT), *("  ", *drill) if drill else ""
    )
    left = line(" ", bay, end)
    local = face.local(now)
    time = f"{local:%H:%M:%S} {local.isoformat()[-6:]}"
    date = f"{local:%a} {local.day} {local:%b %Y}"
    operators = _operators(signed_on, acting)
    kept = line(BETWEEN.join(clean(each) for each in (_operators((), acting), time) if each))
    least = line(BETWEEN.join(clean(each) for each in (_operators((), acting), time[:8]) if each))
    marks = _of_station(station, width - left.width - least.width - len(BETWEEN) - 1)
    left = line(" ", bay, Piece(marks, Token.SOFT), end)
    for due in dues:
        marks += f"{BETWEEN}{due}"
        longer = line(" ", bay, Piece(marks, Token.SOFT), end)
        if longer.width + kept.width + len(BETWEEN) + 1 > width:
            break
        left = longer
    left += _of_record(record, width - left.width, [operators, date, time])
    for said in (
        [operators, date, time],
        [operators, time],
        [_operators((), acting), time],
        [_operators((), acting), time[:8]],
        [time],
        [time[:8]],
    ):
        right = BETWEEN.join(clean(each) for each in said if each)
        if left.width + line(right).width + len(BETWEEN) + 1 <= width:
            break
    else:
        # The bay's name may be cut, a rehearsal never passes for work.
        left = line(" ", *drill, " ", bay).fitted(max(0, width - len(right) - 2))
    shown = line(Piece(right, Token.SOFT))
    return at_columns((0, left), (max(0, width - 1 - shown.width), shown), width=width)


def _of_station(station: Sequence[str], room: int) -> str:
    """Return which station this is, in as many words as there is room for; for none, nothing."""
    tries = (f"{BETWEEN}{words}" for words in station)
    return next((each for each in tries if cell_len(clean(each)) <= room), "")


def _of_record(record: Sequence[str], room: int, right: Sequence[str]) -> Line:
    """Return how the check of the record goes, in as many words as leave what stands at the right.

    For the fewest words the date gives way; all is well where there is only one form of them.
    """
    tries = [(words, right) for words in record]
    tries += [(words, (right[0], right[-1])) for words in record[1:]]
    for words, beside in tries:
        made = line(Piece(f"{BETWEEN}{words}", Token.SOFT))
        taken = line(BETWEEN.join(clean(each) for each in beside if each))
        if made.width + len(BETWEEN) + taken.width + 1 <= room:
            return made
    return Line()


def notice(
    now: Instant,
    width: int,
    *,
    face: ClockFace,
    health: Health = WELL,
    acting: str | None = None,
    covers: bool = False,
    station: Sequence[str] = (),
    dues: Iterable[str] = (),
) -> Line | None:
    """Return what must be told on every page, the gravest first; None when all is well.

    What is not saved, or not whole, and that a station is alone, fills the line and cannot be
    put away.

    Args:
        now: the instant.
        width: cells of the line.
        face: the site's clock.
        health: what is wrong.
        acting: who acts now.
        covers: whether it stands where the header does: then who acts and the time stay
            at its right. The words grow shorter before either goes.
        station: which station this is, in fewer and fewer words, for a line that covers the
            header: the first that there is room for stands behind what is wrong.
        dues: what the bay is owed, for a line that covers the header: as many as there is
            room for stand behind what is wrong.
    """
    by_length = [_in_a_row(parts) for each in Length if (parts := _told(now, face, health, each))]
    if not by_length:
        return None
    time = f"{face.local(now):%H:%M:%S}"
    tails = [BETWEEN.join([*([_operators((), acting)] if acting else []), time]), time]
    for tail in [*(tails if covers else ()), ""]:
        room = width - (cell_len(clean(tail)) + 1 + len(BETWEEN) if tail else 0)
        fitting = [made for made in by_length if made.width <= room]
        if fitting:
            made = fitting[0]
            if covers:
                made = _with_dues(_with_station(made, station, room), dues, room)
            return _ended(made, tail, width, filled=health.is_grave)
    # Dots say that there is more of it.
    return by_length[-1].fitted(max(1, width - cell_len(MORE))) + line(Piece(MORE, Token.SOFT))


def _with_station(made: Line, station: Sequence[str], room: int) -> Line:
    """Return `made` with which station this is behind it, in as many words as there is room for."""
    tries = (made + line(Piece(f"{BETWEEN}{words}", Token.SOFT)) for words in station)
    return next((longer for longer in tries if longer.width <= room), made)


def _with_dues(made: Line, dues: Iterable[str], room: int) -> Line:
    """Return `made` with the marks behind it for which there is room, the first ones first."""
    for due in dues:
        longer = made + line(Piece(f"{BETWEEN}{due}", Token.SOFT))
        if longer.width > room:
            break
        made = longer
    return made


def _ended(made: Line, tail: str, width: int, *, filled: bool) -> Line:
    """Return what is told with the end of the header behind it."""
    end = line(Piece(f"{BETWEEN}{tail} ", Token.SOFT)) if tail else Line()
    room = width - end.width
    if filled:
        made = made + line(Piece(" " * max(0, room - made.width), Token.SHORT_FILL))
    return made.fitted(room) + end


class Length(IntEnum):
    """In how many words something is told."""

    FULL = 0
    SHORT = 1
    SHORTEST = 2


def _told(now: Instant, face: ClockFace, health: Health, length: Length) -> list[Piece]:
    parts: list[Piece] = []
    if health.not_saved_since is not None:
        parts.append(Piece(_not_saved(now, face, health, length), Token.SHORT_FILL, bold=True))
    if health.broken is not None:
        parts.append(Piece(health.broken[length], Token.SHORT_FILL, bold=True))
    if health.alone is not None:
        parts.append(Piece(health.alone[length], Token.SHORT_FILL, bold=True))
    if health.twin is not None:
        parts.append(Piece(health.twin[length], Token.SHORT_FILL, bold=True))
    if health.late > LATE_FROM:
        said = f"SCREEN LATE {health.late // SECOND} s"
        full = f"{said}: trust the sound"
        parts.append(Piece(said if length else full, Token.SHORT, bold=True))
    if health.no_sound:
        parts.append(Piece("NO SOUND" if length else NO_SOUND, Token.HANDS, bold=True))
    if health.mirror is not None:
        parts.append(Piece(health.mirror[length], Token.HANDS, bold=True))
    if health.muted_until is not None and now < health.muted_until:
        until = f" until {face.time_from(health.muted_until)}"
        said = f"MUTED{until if length < Length.SHORTEST else ''}"
        parts.append(Piece(said, Token.HANDS, bold=True))
    if health.told:
        parts.append(Piece(health.told, Token.HANDS, bold=True))
    return parts


def _not_saved(now: Instant, face: ClockFace, health: Health, length: Length) -> str:
    assert health.not_saved_since is not None  # noqa: S101  # asked by the caller
    if length is Length.SHORTEST:
        return "NOT SAVED. Use paper."
    said = f"NOT SAVED since {face.time(health.not_saved_since)}"
    if length is Length.FULL:
        said += f", {write_since(health.not_saved_since, now)}"
    said += ". Write results on paper."
    why = health.why_not_saved.strip().rstrip(".")
    if why and length is Length.FULL:
        said += f" {why[0].upper()}{why[1:]}."
    return said


def _in_a_row(parts: Sequence[Piece]) -> Line:
    made = Line()
    for place, piece in enumerate(parts):
        made = made + line(Piece(BETWEEN if place else " ", parts[0].token), piece)
    return made


def is_rehearsal(board: Board) -> bool:
    """Say whether what is shown is practice, of no patient."""
    return board.founded is not None and board.founded.mode is Mode.REHEARSAL


def _bay(board: Board) -> str:
    return "" if board.founded is None else board.founded.bay


def _operators(signed_on: Sequence[str], acting: str | None) -> str:
    """Return who is signed on; of more than one, the one who acts is marked in words."""
    others = [each for each in signed_on if each != acting]
    if acting is None:
        return BETWEEN.join(others)
    return BETWEEN.join([f"{acting} {ACTS}", *others])

"""Where every running cartridge stands, one line each, the most urgent first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.attention import by_attention
from readbell.core.cartridge.at_instant import stage_at
from readbell.core.cartridge.countdown import Towards, countdown
from readbell.core.instant import SECOND, Span
from readbell.core.span_text import write_span
from readbell.phrases.board_words import some_of
from readbell.phrases.whose import say_subject

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.phrases.clock_time import ClockFace

NOTHING_RUNS = "Nothing runs."
_TOWARDS: dict[Towards, tuple[str, str]] = {
    Towards.WAIT_OVER: ("wait over in", "wait over since"),
    Towards.OVERDUE: ("overdue in", "OVERDUE since"),
    Towards.OPENS: ("opens in", "open since"),
    Towards.CLOSES: ("closes in", "closed since"),
    Towards.LAPSED: ("lapses in", "LAPSED since"),
}

_LAST_MOMENTS = frozenset({Towards.OVERDUE, Towards.CLOSES, Towards.LAPSED})
"""Shown rounded down, as the last second in time; what begins is shown rounded up."""


def where_all_stand(
    board: Board, now: Instant, face: ClockFace, *, masked: bool = False
) -> Iterator[str]:
    """Yield a line for each running cartridge; `masked` leaves out whose, and what was seen."""
    if not board.running:
        yield NOTHING_RUNS
    for cartridge in by_attention(board, now):
        whose = "" if masked else f"{_person(cartridge, board)}  "
        where = _where(cartridge, now, face, masked=masked)
        yield f"{cartridge.label}  {whose}{where}"


def labels(board: Board, cartridges: Sequence[str]) -> str:
    """Return the labels of `cartridges`; of many the first few, and how many more there are."""
    found = [board.cartridge(each) for each in cartridges]
    return some_of([each.label for each in found if each is not None])


def _person(cartridge: Cartridge, board: Board) -> str:
    return say_subject(cartridge, board)


def _where(cartridge: Cartridge, now: Instant, face: ClockFace, *, masked: bool) -> str:
    stage = stage_at(cartridge, now)
    early = " e+" if cartridge.shown_early and not masked else ""
    unsure = " (clock unsure: no outcome may come of it)" if cartridge.unsure else ""
    if cartridge.awaits_second:
        unsure = f" (read once: a second reader is asked for){unsure}"
    stated = (
        " (stated, not timed)" if cartridge.applied is not None and cartridge.applied.stated else ""
    )
    count = countdown(cartridge, now)
    if count is None:
        step = cartridge.next_step
        following = "" if step is None else f"  next: {step.title}"
        return f"{stage}{early}{unsure}{following}"
    left = count.seconds_left(now)
    ahead, since = _TOWARDS[count.towards]
    figure = write_span(Span(abs(left) * SECOND))
    is_last_moment = count.towards in _LAST_MOMENTS
    # The last moment itself is still in time.
    in_time = now <= count.due if is_last_moment else now < count.due
    words = f"{ahead if in_time else since} {figure}"
    shown = face.time if is_last_moment else face.time_from
    return f"{stage}{early}{unsure}  {words} ({shown(count.due)}){stated}"

"""The story of one cartridge as a board has it: every step, look, reading and what came of them.

Made from what the board holds, so it costs nothing however old the record is. Alarms,
acts that were refused and looks into the record are told by `readbell trace`, which
reads all of it.
"""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.board.concerns import actors_in
from readbell.core.cartridge.at_instant import window
from readbell.core.cartridge.stage import Stage
from readbell.core.made_later import dataclass
from readbell.phrases.of_cartridges import say_deviation
from readbell.phrases.trace_words import ERASED, story_line

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.cartridge.cartridge import Cartridge, StepMark
    from readbell.core.instant import Instant
    from readbell.phrases.clock_time import ClockFace

BLIND = "What was read of it is not shown before the second reading."
MORE = "Alarms and refused acts are told by readbell trace, also while a board runs."


@dataclass(frozen=True, slots=True)
class Told:
    """One line of a story."""

    at: Instant
    words: str = field(repr=False)
    """The time in it, as the site's clock shows it."""
    by: frozenset[str] = frozenset()
    """Keys of those who did it."""


def story_of(cartridge: Cartridge, board: Board, face: ClockFace) -> tuple[str, ...]:
    """Return the story of `cartridge` line by line, in the order in which it happened."""
    told = (each.words for each in dated(cartridge, board, face))
    return (*told, *undated(cartridge), MORE)


def dated(cartridge: Cartridge, board: Board, face: ClockFace) -> list[Told]:
    """Return what was done with `cartridge` and what came of it, in order."""
    told = [*_events(cartridge, board, face), *_steps(cartridge, board, face)]
    told += [*_lapse(cartridge, face), *_sent(cartridge, board, face)]
    return sorted(told, key=lambda each: each.at)


def undated(cartridge: Cartridge) -> Iterator[str]:
    """Yield what holds of all of it: how it strayed, and that a reading is not shown yet."""
    for each in cartridge.deviations:
        yield f"Deviation: {say_deviation(each, cartridge)}."
    for each in (strayed for undone in cartridge.taken_back for strayed in undone.deviations):
        yield f"Deviation: {say_deviation(each, cartridge)}; it was taken back with its step."
    if cartridge.awaits_second:
        yield BLIND


def _events(cartridge: Cartridge, board: Board, face: ClockFace) -> Iterator[Told]:
    found: list[Event | None] = [
        cartridge.labelled,
        *cartridge.shown_early,
        cartridge.voided,
        *cartridge.amendments,
        *cartridge.holds,
        *cartridge.releases,
        cartridge.withdrawn,
        *(each.event for each in cartridge.taken_back),
        *board.told.get(cartridge.id, ()),
    ]
    if not cartridge.awaits_second:
        found += [cartridge.reading, *cartridge.corrections, cartridge.second]
    for event in found:
        if event is not None:
            yield Told(event.at, story_line(event, board, face), frozenset(actors_in(event)))


def _steps(cartridge: Cartridge, board: Board, face: ClockFace) -> Iterator[Told]:
    _, *marks = cartridge.marks  # the label is one, and is told by its own event
    undone = [mark for each in cartridge.taken_back for mark in each.marks]
    for mark in (*undone, *marks):
        yield Told(mark.done.said, _step(mark, cartridge, board, face), frozenset({mark.by}))


def _step(mark: StepMark, cartridge: Cartridge, board: Board, face: ClockFace) -> str:
    step = cartridge.assay.step(mark.step)
    title = mark.step if step is None else step.title
    together = ", together" if mark.together else ""
    done = mark.done
    stated = (
        f" Stated, not timed: {face.time(done.earliest)} to {face.time_from(done.latest)}."
        if done.stated
        else ""
    )
    by = board.name(mark.by) or ERASED
    return f"{_when(done.said, face)}  {cartridge.label}  {title}: done{together}.{stated}  [{by}]"


def _lapse(cartridge: Cartridge, face: ClockFace) -> Iterator[Told]:
    span = window(cartridge)
    if cartridge.stage is Stage.LAPSED and span is not None and span.closes is not None:
        yield Told(
            span.closes,
            f"{_when(span.closes, face)}  {cartridge.label}  the window closed, and it was not read.",
        )


def _sent(cartridge: Cartridge, board: Board, face: ClockFace) -> Iterator[Told]:
    for each in board.sent.get(cartridge.id, ()):
        words = f"{_when(each.at, face)}  {cartridge.label}  exported as {each.format}."
        yield Told(each.at, words)


def _when(at: Instant, face: ClockFace) -> str:
    return face.local(at).isoformat(sep=" ", timespec="seconds")

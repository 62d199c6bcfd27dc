"""The chosen cartridge opened: what to do next in the assay's own words, and all that was done."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.patients import file_of
from readbell.core.board.repeats import gets_no_repeat
from readbell.core.board.subjects import is_patients
from readbell.core.cartridge.at_instant import window
from readbell.core.cartridge.stage import Stage
from readbell.core.reading.interpretation import Outcome
from readbell.phrases.board_words import CAUTIONS, EARLY_STANDS, Where, standing, uncalled
from readbell.phrases.of_cartridges import (
    OUTCOMES,
    REPEAT,
    say_after_void,
    say_deviation,
    say_lines,
)
from readbell.phrases.patient_words import TELL_ALONE, say_consent
from readbell.phrases.review_words import AMEND_REASONS, say_referral
from readbell.phrases.spared import say_spared
from readbell.phrases.stock_words import say_strayed
from readbell.phrases.whose import say_subject
from readbell.ui.extras import ERASED
from readbell.ui.ink import Line, Piece, Token, at_columns, line
from readbell.ui.row import ink_of, patient_shown
from readbell.ui.tags import kept_to
from readbell.ui.wrapped import wrapped

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge, StepMark
    from readbell.core.cartridge.window import Window
    from readbell.core.instant import Instant
    from readbell.phrases.board_words import Standing
    from readbell.phrases.clock_time import ClockFace
    from readbell.ui.glyphs import Glyphs

LEFT = 1
"""The margin."""
NOT_DONE = "-"
STATED = "stated, not timed"
TOGETHER = "together"
READ_IT = "Look at the strip in good light and enter each line. A faint line is a line."
READ_AGAIN = (
    "A second reader, who was told nothing of the first reading, enters each line as they see it."
)
LOOK_EARLY = "An early look may show a positive. A negative counts only in the window."
SAY_WHEN = "Two people must say when the drops fell, or take a fresh cartridge."
WAIT_FOR_IT = "Leave it as it is, and do not move it. Nothing is to be done before the time above."
"""A cassette lies flat and a strip stands in its tube: laid down it would run dry."""


def detail(
    cartridge: Cartridge,
    board: Board,
    now: Instant,
    glyphs: Glyphs,
    *,
    face: ClockFace,
    width: int,
    height: int,
    masked: bool = False,
    calls: bool = True,
) -> tuple[Line, ...]:
    """Return everything about `cartridge` in exactly `height` lines of `width` cells.

    Where the lines do not suffice the cautions go first, then the blank lines, the
    facts and the steps, those longest done before the others: what is to be done
    next, and what strayed, is there as long as anything is. Unless it `calls`, as in
    an examination, it says what was done and when, and nothing of what is due.
    """
    inside = width - 2 * LEFT
    stands = (standing if calls else uncalled)(cartridge, now)
    first = [*_title(cartridge, board, now, stands, glyphs, inside, masked=masked), Line()]
    if calls:
        first += [*_next(cartridge, board, now, inside), *_times(cartridge, now, face, inside)]
    first += _strayed(cartridge, face, inside)
    steps = [*_steps(cartridge, face, inside)]
    facts = [*_facts(cartridge, board, inside)]
    lines = [*first, Line(), *steps, Line(), *facts]
    quiet = [line(Piece(each, Token.SOFT)) for said in CAUTIONS for each in wrapped(said, inside)]
    if len(lines) + len(quiet) > height:
        quiet = []
    if len(lines) > height:
        lines = _squeezed([each for each in first if each.pieces], steps, facts, cartridge, height)
    blank = [Line()] * max(0, height - len(lines) - len(quiet))
    return tuple(
        at_columns((LEFT, each), width=width) for each in [*lines, *blank, *quiet][:height]
    )


def _squeezed(
    first: list[Line], steps: list[Line], facts: list[Line], cartridge: Cartridge, height: int
) -> list[Line]:
    """Return what has room: of the steps those about the next one."""
    room = height - len(first)
    done = sum(cartridge.mark_of(each.key) is not None for each in cartridge.assay.steps)
    # The step done last stays in sight above the one that is next.
    begin = max(0, min(done - 1, len(steps) - room))
    return [*first, *steps[begin:], *facts][:height]


def _title(
    cartridge: Cartridge,
    board: Board,
    now: Instant,
    stands: Standing,
    glyphs: Glyphs,
    width: int,
    *,
    masked: bool,
) -> Iterator[Line]:
    person = patient_shown(cartridge, board, glyphs, masked=masked)
    tag = kept_to(cartridge.label, max(1, width // 2))
    yield line(
        Piece(f"{tag}  ", Token.TEXT, bold=True),
        Piece(kept_to(person, max(1, width - len(tag) - 2)), Token.TEXT, bold=True),
    )
    yield from _sentence(cartridge.assay.title, width, Token.SOFT)
    ink = ink_of(stands.where, flash=True)
    stands_early = cartridge.shown_early and stands.where is Where.EARLY_LOOK
    sign = EARLY_STANDS if stands_early else stands.sign.strip()
    said = f"{sign} {stands.word}  {stands.figure(now)}".strip()
    outcome = "" if cartridge.outcome is None else f"  {OUTCOMES[cartridge.outcome]}"
    yield line(Piece(f"{said}{outcome}", ink.words if ink.bold else Token.TEXT, bold=True))


def _next(cartridge: Cartridge, board: Board, now: Instant, width: int) -> Iterator[Line]:
    """Yield what is to be done next, in the words of the assay where it has some."""
    step, where = cartridge.next_step, standing(cartridge, now).where
    if step is not None and not cartridge.has_ended:
        yield from _labelled("Next", step.title, width, bold=True)
        yield from _indented(step.instruction, width)
        return
    said = _FOLLOWS.get(where)
    if cartridge.voided is not None:
        said = say_after_void(cartridge.voided.reason)
    if said is None and cartridge.outcome in (Outcome.INVALID, Outcome.WITHHELD):
        said = REPEAT
    if said == READ_IT and cartridge.awaits_second:
        said = READ_AGAIN
    spared = say_spared(board, cartridge)
    if spared:
        said = spared
    elif said == REPEAT and gets_no_repeat(board, cartridge):
        said = say_referral(board.policy.referral)
    if said is not None:
        yield from _labelled("Next", said, width, bold=True)
    if cartridge.has_ended and cartridge.assay.clearing_up:
        yield from _indented(cartridge.assay.clearing_up, width)


_FOLLOWS: dict[Where, str] = {
    Where.READ_NOW: READ_IT,
    Where.CLOSING: READ_IT,
    Where.UNSURE: SAY_WHEN,
    Where.EARLY_LOOK: LOOK_EARLY,
    Where.DEVELOPING: WAIT_FOR_IT,
    Where.LAPSED: REPEAT,
}


def _times(cartridge: Cartridge, now: Instant, face: ClockFace, width: int) -> Iterator[Line]:
    span = window(cartridge)
    if span is None:
        for wait in cartridge.running_waits:
            until = "" if wait.limit is None else f"  to {face.time(wait.limit)}"
            yield from _labelled("Wait", f"from {face.time_from(wait.over)}{until}", width)
        return
    if cartridge.unsure:
        yield from _labelled("Window", "not known: the clock may have lied since the drops", width)
        return
    yield from _labelled("Window", _window(span, cartridge, face, now), width)


def _window(span: Window, cartridge: Cartridge, face: ClockFace, now: Instant) -> str:
    opened = "opened" if now >= span.opens else "opens"
    closes = "no stated close"
    if span.closes is not None:
        closed = "closed" if now > span.closes else "closes"
        closes = f"{closed} {face.time(span.closes)}"
    stated = cartridge.applied is not None and cartridge.applied.stated
    note = f"  ({STATED}: narrowed by the doubt)" if stated else ""
    return f"{opened} {face.time_from(span.opens)}  {closes}{note}"


def _steps(cartridge: Cartridge, face: ClockFace, width: int) -> Iterator[Line]:
    column = min(max(len(step.title) for step in cartridge.assay.steps) + 2, max(1, width - 8))
    for step in cartridge.assay.steps:
        mark = cartridge.mark_of(step.key)
        is_next = step is cartridge.next_step and not cartridge.has_ended
        token = Token.TEXT if is_next else Token.SOFT
        when = _when(mark, face) if mark is not None else "next" if is_next else NOT_DONE
        title = at_columns((0, line(Piece(step.title, token, bold=is_next))), width=column)
        for place, said in enumerate(wrapped(when, max(8, width - column))):
            first = title if place == 0 else Line().fitted(column)
            yield first + line(Piece(said, token))


def _when(mark: StepMark, face: ClockFace) -> str:
    done = mark.done
    said = face.time(done.said)
    if mark.together:
        said = f"{said}, {TOGETHER}"
    if not done.stated:
        return said
    if done.earliest == done.latest:
        return f"{said}, {STATED}"
    return f"{said}, {STATED}: {face.time(done.earliest)} to {face.time_from(done.latest)}"


def _strayed(cartridge: Cartridge, face: ClockFace, width: int) -> Iterator[Line]:
    """Yield what was seen so far, and what was not kept."""
    for look in cartridge.shown_early:
        names = ", ".join(
            each.name for each in cartridge.assay.reading.lines if each.key in look.lines
        )
        said = f"{OUTCOMES[Outcome.POSITIVE]} {names}, {face.time(look.at)}. Preliminary."
        yield from _labelled("Early", said, width, bold=True)
    if cartridge.reading is not None and cartridge.stage is Stage.READ:
        by_line = say_lines(cartridge.outcomes, cartridge)
        said = f"{face.time(cartridge.reading.at)}  {by_line}".rstrip()
        yield from _labelled("Read", said, width)
    if cartridge.second is not None:
        yield from _labelled("Second", face.time(cartridge.second.at), width)
    for amended in cartridge.amendments:
        said = f"{face.time(amended.at)}  {AMEND_REASONS[amended.reason]}"
        yield from _labelled("Amended", said, width)
    for each in cartridge.deviations:
        yield from _labelled("Strayed", say_deviation(each, cartridge), width)


def _facts(cartridge: Cartridge, board: Board, width: int) -> Iterator[Line]:
    labelled = cartridge.labelled
    before = None if labelled.repeat_of is None else board.cartridge(labelled.repeat_of)
    if before is not None:
        yield from _labelled("Repeats", before.label, width)
    if not is_patients(cartridge):
        yield from _labelled("For", say_subject(cartridge, board), width)
    yield from _labelled("Lot", labelled.lot, width)
    for each in say_strayed(cartridge, board):
        yield from _labelled("Strayed", each, width)
    if labelled.place is not None:
        yield from _labelled("Place", labelled.place.value or ERASED, width)
    holder = board.holders.get(cartridge.id)
    if holder is not None:
        yield from _labelled("Clock", f"runs at station {holder}", width)
    yield from _about_person(cartridge, board, width)
    party = board.party_of(labelled.subject)
    if party is not None:
        yield from _labelled("Party", board.name(party.key) or ERASED, width)


def _about_person(cartridge: Cartridge, board: Board, width: int) -> Iterator[Line]:
    """Yield what the person is known by, and to whom the result is told."""
    known = file_of(board, cartridge.labelled.subject)
    for word, said in (
        ("Name", known.name),
        ("Born", known.born),
        ("Contact", known.contact),
        ("Consent", say_consent(known)),
    ):
        if said:
            yield from _labelled(word, said, width)
    if cartridge.assay.confidential:
        yield from _labelled("Told to", TELL_ALONE, width, bold=True)


WORD = 9
"""Columns of the word before what it is about."""


def _labelled(word: str, said: str, width: int, *, bold: bool = False) -> Iterator[Line]:
    token = Token.TEXT if bold else Token.SOFT
    for place, each in enumerate(wrapped(said, max(8, width - WORD))):
        shown = word if place == 0 else ""
        yield line(Piece(f"{shown:<{WORD}}", Token.SOFT), Piece(each, token, bold=bold))


def _indented(said: str, width: int) -> Iterator[Line]:
    for each in wrapped(said, max(8, width - WORD)):
        yield line(" " * WORD, Piece(each, Token.TEXT))


def _sentence(said: str, width: int, token: Token) -> Iterator[Line]:
    for each in wrapped(said, width):
        yield line(Piece(each, token))

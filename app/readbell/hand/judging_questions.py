"""What is asked about a strip, in the device's own order, and what the answers would come to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.subjects import is_patients
from readbell.core.reading.bands import Bands, LineSeen, Strength, Unreadable
from readbell.core.reading.interpretation import (
    Outcome,
    judge_window,
    lines_shown,
    overall,
    strip_ran,
)
from readbell.hand.doing import Judging, Purpose
from readbell.hand.question import Option, Question
from readbell.phrases.of_bands import SLIPS, STRENGTHS, UNREADABLE
from readbell.phrases.patient_words import PARTICULARS

if TYPE_CHECKING:
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.reading.interpretation import LineOutcome

SECOND = "second"
_READY = Question(
    key="ready",
    asks="Background clear, flow at the control line?",
    options=(Option("no", "no"), Option("yes", "yes")),
)


def questions(doing: Judging, cartridge: Cartridge) -> tuple[Question, ...]:
    """Return what is asked, answered or open, in the order of the form."""
    if doing.purpose is Purpose.LOOK and doing.ready is None:
        return (_READY,)
    before = (_slip(doing),) if doing.purpose is Purpose.CORRECT else ()
    name = (_name(doing),) if doing.asks_name or doing.name is not None else ()
    return (
        *before,
        *_about_strip(doing, cartridge),
        _person(doing, cartridge),
        *_second(doing),
        *name,
    )


def is_whole(doing: Judging, cartridge: Cartridge) -> bool:
    """Say whether everything is answered that has to be.

    What a person is known by beside the ID never costs them a valid test: without it the
    reading is held for review.
    """
    return not any(each.is_open for each in questions(doing, cartridge) if each.key != SECOND)


def bands_seen(doing: Judging) -> Bands:
    """Return what was answered so far."""
    if doing.cannot_be_read:
        why = doing.unreadable
        return Bands(unreadable=None if why is None else Unreadable(why))
    return Bands(
        control=doing.control,
        lines=tuple(LineSeen(line=key, strength=Strength(how)) for key, how in doing.lines),
    )


def would_be(doing: Judging, cartridge: Cartridge) -> Outcome | None:
    """Return the outcome that saving would give by rule, or None while something is open.

    An early look that settles nothing has none: it is refused.
    """
    strip = _about_strip(doing, cartridge)
    if (doing.purpose is Purpose.LOOK and doing.ready is None) or any(
        each.is_open for each in strip
    ):
        return None
    bands = bands_seen(doing)
    keys = cartridge.assay.line_keys
    if doing.purpose is Purpose.LOOK:
        return Outcome.POSITIVE if lines_shown(keys, bands) and strip_ran(bands) else None
    return overall(judge_window(keys, bands, _early(cartridge)))


def lines_would_be(doing: Judging, cartridge: Cartridge) -> tuple[LineOutcome, ...]:
    """Return the outcome of each analyte that saving would give; none at an early look."""
    if doing.purpose is Purpose.LOOK or would_be(doing, cartridge) is None:
        return ()
    return judge_window(cartridge.assay.line_keys, bands_seen(doing), _early(cartridge))


def _early(cartridge: Cartridge) -> tuple[str, ...]:
    """Return what was seen early, as far as it may be shown: to a second reader nothing is."""
    return () if cartridge.awaits_second else cartridge.early_lines


def _about_strip(doing: Judging, cartridge: Cartridge) -> tuple[Question, ...]:
    if doing.cannot_be_read:
        return (
            Question(
                key="unreadable",
                asks="Why it cannot be read",
                options=tuple(Option(each, UNREADABLE[each]) for each in Unreadable),
                answer=doing.unreadable,
                is_list=True,
            ),
        )
    answers = dict(doing.lines)
    control = None if doing.control is None else ("present" if doing.control else "absent")
    rules = cartridge.assay.reading
    return (
        Question(
            key="control",
            asks=f"Control line {rules.control_mark}",
            options=(Option("absent", "absent"), Option("present", "present")),
            answer=control,
        ),
        *(
            Question(
                key=line.key,
                asks=f"Test line {line.mark}",
                options=tuple(Option(each, STRENGTHS[each]) for each in Strength),
                answer=answers.get(line.key),
            )
            for line in rules.lines
        ),
    )


def _person(doing: Judging, cartridge: Cartridge) -> Question:
    whose = "Patient ID" if is_patients(cartridge) else "Control material"
    return Question(
        key="person",
        asks=f"{whose}: scan or type it",
        answer=doing.person,
        shown=doing.person or "",
    )


def _second(doing: Judging) -> tuple[Question, ...]:
    if doing.second_asked is None:
        return ()
    asks = f"{PARTICULARS[doing.second_asked].capitalize()}, read back: type it"
    return (Question(key=SECOND, asks=asks, answer=doing.second, shown=doing.second or ""),)


def _name(doing: Judging) -> Question:
    return Question(
        key="name",
        asks="Your name, as nobody is signed in: type it",
        answer=doing.name,
        shown=doing.name or "",
    )


def _slip(doing: Judging) -> Question:
    return Question(
        key="slip",
        asks="What had gone wrong",
        options=tuple(Option(each, words) for each, words in SLIPS.items()),
        answer=doing.slip,
        is_list=True,
    )

"""The first start of a bay: eight questions, and what their answers ask of the bay.

Asked line by line, so that it works on any terminal and for a screen reader too.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from readbell.scenarios.line import AdoptionLine, LotLine, OpenLotLine, OperatorLine

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from readbell.hand.scene import AtHand
    from readbell.scenarios.line import Request

MOST_UNITS = 99_999
LONGEST = 120


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstQuestion:
    """One question of the first start."""

    key: str
    asks: str
    accepts: Callable[[str], str | None]
    """Says in one sentence what is wrong with an answer, or None."""
    usual: str = ""
    """Taken when nothing is typed; empty: something must be."""


def first_questions(
    shelf: Sequence[AtHand], zone: str, today: date, knows_zone: Callable[[str], bool]
) -> tuple[FirstQuestion, ...]:
    """Return the questions, in order; `knows_zone` tells the names of time zones."""
    ids = [each.id for each in shelf]
    listed = "\n".join(
        f"    {number}  {each.title}  ({each.id})" for number, each in enumerate(shelf, start=1)
    )
    return (
        FirstQuestion(key="bay", asks="What is this bay called?", accepts=_words, usual="Bay 1"),
        FirstQuestion(
            key="zone",
            asks="Time zone of the site, such as Europe/London?",
            accepts=lambda text: (
                None
                if knows_zone(text)
                else f'"{text}" is no time zone. Write it as Europe/London or UTC.'
            ),
            usual=zone,
        ),
        FirstQuestion(
            key="operator", asks="Your operator ID: scan your badge or type it.", accepts=_words
        ),
        FirstQuestion(
            key="assay",
            asks=f"Which assay do you run?\n{listed}\n  Its number?",
            accepts=lambda text: (
                None
                if text.isdecimal() and text.isascii() and 1 <= int(text) <= len(ids)
                else f'"{text}" is not on the list. Type a number from 1 to {len(ids)}.'
            ),
        ),
        FirstQuestion(
            key="instructions",
            asks=(
                "Hold every figure of it against the instructions for use in your kit\n"
                "(readbell assay shows them). Which version of the instructions was that?"
            ),
            accepts=_words,
        ),
        FirstQuestion(
            key="checked",
            asks="Do all figures agree? Type yes, or no to leave.",
            accepts=lambda text: None if text.lower() in ("yes", "no") else "Type yes or no.",
        ),
        FirstQuestion(key="lot", asks="Lot number on the box: scan or type it.", accepts=_words),
        FirstQuestion(
            key="expires",
            asks="Good to the end of which day? Year-month-day, such as 2027-12-31.",
            accepts=lambda text: _day(text, today),
        ),
        FirstQuestion(key="units", asks="How many units are in the box?", accepts=_units),
    )


def first_requests(said: Mapping[str, str], shelf: Sequence[AtHand]) -> tuple[Request, ...]:
    """Return what the answers ask of a new bay, in order."""
    by, assay = said["operator"], shelf[int(said["assay"]) - 1].id
    return (
        OperatorLine(do="register-operator", id=by),
        AdoptionLine(do="adopt-assay", by=by, assay=assay, instructions=said["instructions"]),
        LotLine(
            do="receive-lot",
            by=by,
            number=said["lot"],
            assay=assay,
            expires=date.fromisoformat(said["expires"]),
            units=int(said["units"]),
        ),
        OpenLotLine(do="open-lot", by=by, lot=said["lot"]),
    )


def _words(text: str) -> str | None:
    if not text:
        return "Something has to be typed here."
    if len(text) > LONGEST or not text.isprintable():
        return f"Use up to {LONGEST} letters, and no control signs."
    return None


def _day(text: str, today: date) -> str | None:
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return f'"{text}" is no day. Type it as 2027-12-31.'
    if day < today:
        return f"{text} is past: this box may not be used. Take one that is in date."
    return None


def _units(text: str) -> str | None:
    if text.isascii() and text.isdecimal() and 0 < int(text) <= MOST_UNITS:
        return None
    return f'"{text}" is no number of units. Type a whole number, such as 20.'

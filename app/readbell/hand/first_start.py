"""The first start of a bay: nine questions, ten where a PIN signs in, and what the answers ask of it.

Asked line by line, so that it works on any terminal and for a screen reader too.
"""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, assert_never

from readbell.barcodes.gs1 import BoxCode, BoxFault, is_box_code, read_box
from readbell.core.made_later import dataclass
from readbell.core.policy.staffing import SignInBy
from readbell.core.staff.pins import is_guessed_first, is_pin
from readbell.hand.code_of_box import as_scanned, scan_of
from readbell.hand.typed_day import no_last_day
from readbell.scenarios.line import AdoptionLine, LotLine, OpenLotLine, OperatorLine
from readbell.scenarios.staff_lines import PinLine, Secret, SignInLine
from readbell.scenarios.stock_lines import ReceiveBoxLine

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from readbell.hand.scene import AtHand
    from readbell.scenarios.line import Request

MOST_UNITS = 99_999
PIN = "pin"
GTIN = "gtin"
"""The trade item number in the code of a box; nobody is asked for it."""
LONGEST = 120


def _nothing(_: Mapping[str, str]) -> str:
    return ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstQuestion:
    """One question of the first start."""

    key: str
    asks: str
    accepts: Callable[[str], str | None]
    """Says in one sentence what is wrong with an answer, or None."""
    usual: str = ""
    """Taken when nothing is typed; empty: something must be."""
    is_secret: bool = False
    """Whether the answer is typed twice, and shown nowhere."""
    shows: Callable[[Mapping[str, str]], str] = _nothing
    """Says what has to be in sight while it is answered, by what was answered before."""
    means: Callable[[str], Mapping[str, str]] | None = None
    """Says which questions an answer settles, and how; None: its own, as it was typed."""

    def settles(self, text: str) -> Mapping[str, str]:
        """Return the answers that stand in `text`, by the keys of their questions."""
        return {self.key: text} if self.means is None else self.means(text)


def first_questions(
    shelf: Sequence[AtHand],
    zone: str,
    today: date,
    knows_zone: Callable[[str], bool],
    sign_in: SignInBy = SignInBy.NONE,
    *,
    is_named: bool = False,
    zones_like: Callable[[str], Sequence[str]] = lambda _: (),
) -> tuple[FirstQuestion, ...]:
    """Return the questions, in order.

    Args:
        shelf: the assays at hand.
        zone: the computer's own time zone.
        today: the site's day.
        knows_zone: tells the names of time zones.
        sign_in: what signing in takes here; where it is a PIN, the first one is chosen now.
        is_named: whether the bay has its name already, as a shared one has.
        zones_like: returns the names of time zones that somebody may have meant.
    """
    return (
        *_about_bay(is_named=is_named),
        _about_zone(zone, knows_zone, zones_like),
        FirstQuestion(
            key="operator", asks="Your operator ID: scan your badge or type it.", accepts=_words
        ),
        *_about_pin(sign_in),
        _about_assay(shelf),
        FirstQuestion(
            key="instructions",
            asks=(
                "Hold every figure of it against the instructions for use in your kit. "
                "Which version of the instructions was that?"
            ),
            accepts=_words,
            shows=lambda said: _figures(shelf[int(said["assay"]) - 1]),
        ),
        FirstQuestion(
            key="checked",
            asks="Do all figures agree? Type yes, or no to leave.",
            accepts=lambda text: None if text.lower() in ("yes", "no") else "Type yes or no.",
        ),
        *_about_box(today),
    )


def _about_bay(*, is_named: bool) -> tuple[FirstQuestion, ...]:
    asks = "What is this bay called?"
    asked = FirstQuestion(key="bay", asks=asks, accepts=_words, usual="Bay 1")
    return () if is_named else (asked,)


def _about_zone(
    zone: str, knows_zone: Callable[[str], bool], zones_like: Callable[[str], Sequence[str]]
) -> FirstQuestion:
    return FirstQuestion(
        key="zone",
        asks="Time zone of the site, such as Europe/London?",
        accepts=lambda text: None if knows_zone(text) else _no_zone(text, zones_like(text)),
        usual=zone,
    )


def _no_zone(text: str, meant: Sequence[str]) -> str:
    """Say what to type: few know the names of time zones, and everybody knows a city."""
    known = f'"{text}" is no time zone.'
    if len(meant) == 1:
        return f"{known} Type {meant[0]}."
    if meant:
        return f"{known} Type one of these: {', '.join(meant)}."
    return (
        f"{known} It has a name such as Europe/London: type a large city that keeps the same "
        "time, to be told its name."
    )


def _about_pin(sign_in: SignInBy) -> tuple[FirstQuestion, ...]:
    asks = "Your PIN, 4 to 12 digits; it is not shown."
    asked = FirstQuestion(key=PIN, asks=asks, accepts=_pin, is_secret=True)
    return (asked,) if sign_in is SignInBy.PIN else ()


def _about_assay(shelf: Sequence[AtHand]) -> FirstQuestion:
    ids = [each.id for each in shelf]
    listed = "\n".join(
        f"    {number}  {each.title}  ({each.id})" for number, each in enumerate(shelf, start=1)
    )
    return FirstQuestion(
        key="assay",
        asks=f"Which assay do you run?\n{listed}\n  Its number?",
        accepts=lambda text: (
            None
            if text.isdecimal() and text.isascii() and 1 <= int(text) <= len(ids)
            else f'"{text}" is not on the list. Type a number from 1 to {len(ids)}.'
        ),
    )


def _figures(assay: AtHand) -> str:
    return "\n".join((assay.title, *(f"    {each}" for each in assay.figures)))


def _about_box(today: date) -> tuple[FirstQuestion, ...]:
    return (
        FirstQuestion(
            key="lot",
            asks="Lot number on the box: scan its code, or type the number.",
            accepts=lambda text: _lot(text, today),
            means=lambda text: _box(text, today),
        ),
        FirstQuestion(
            key="expires",
            asks="Good to the end of which day? Year-month-day, such as 2027-12-31.",
            accepts=lambda text: _day(text, today),
        ),
        FirstQuestion(key="units", asks="How many units are in the box?", accepts=_units),
    )


def first_requests(
    said: Mapping[str, str], shelf: Sequence[AtHand], sign_in: SignInBy = SignInBy.NONE
) -> tuple[Request, ...]:
    """Return what the answers ask of a new bay, in order; `sign_in` is what that takes here."""
    by, assay = said["operator"], shelf[int(said["assay"]) - 1].id
    return (
        OperatorLine(do="register-operator", id=by),
        *_signing_in(said, by, sign_in),
        AdoptionLine(do="adopt-assay", by=by, assay=assay, instructions=said["instructions"]),
        _box_line(said, by, assay),
        OpenLotLine(do="open-lot", by=by, lot=said["lot"]),
    )


def _box_line(said: Mapping[str, str], by: str, assay: str) -> LotLine | ReceiveBoxLine:
    """Return how the box comes in: by its code it is tied to the assay for the next of its kind."""
    number, units = said["lot"], int(said["units"])
    expires = date.fromisoformat(said["expires"])
    scan = scan_of(said, number)
    if GTIN not in said and scan is None:
        return LotLine(
            do="receive-lot", by=by, number=number, assay=assay, expires=expires, units=units
        )
    return ReceiveBoxLine(
        do="receive-box",
        by=by,
        number=number,
        assay=assay,
        expires=expires,
        units=units,
        scan=scan,
        gtin=said.get(GTIN),
    )


def _signing_in(said: Mapping[str, str], by: str, sign_in: SignInBy) -> tuple[Request, ...]:
    """Return how the first operator signs in, without which nothing of the rest would be taken."""
    match sign_in:
        case SignInBy.NONE:
            return ()
        case SignInBy.BADGE:
            return (SignInLine(do="sign-in", by=by),)
        case SignInBy.PIN:
            pin = Secret(said[PIN])
            return (
                PinLine(do="set-pin", by=by, operator=by, pin=pin),
                SignInLine(do="sign-in", by=by, pin=pin),
            )
        case _:
            assert_never(sign_in)


def _pin(text: str) -> str | None:
    if not is_pin(text):
        return "A PIN has 4 to 12 digits, and nothing else."
    if is_guessed_first(text):
        return "That PIN is among the first that anybody would try. Choose another."
    return None


def _lot(text: str, today: date) -> str | None:
    if not is_box_code(text):
        return _words(text)
    code = read_box(text, today.year)
    if isinstance(code, BoxFault):
        return code.why
    if code.lot is None:
        return "That code says no lot. Type the lot number that stands on the box."
    return None if code.expires is None else _day(code.expires.isoformat(), today)


def _box(text: str, today: date) -> Mapping[str, str]:
    """Return what an accepted answer says of the box: of a code all that stands in it."""
    code = read_box(text, today.year) if is_box_code(text) else None
    if not isinstance(code, BoxCode):
        return {"lot": text}
    expires = None if code.expires is None else code.expires.isoformat()
    found = {"lot": code.lot, "expires": expires, GTIN: code.gtin}
    said = {key: value for key, value in found.items() if value is not None}
    return {**said, **as_scanned(text, code)}


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
        return no_last_day(text)
    if day < today:
        return f"{text} is past: this box may not be used. Take one that is in date."
    return None


def _units(text: str) -> str | None:
    if text.isascii() and text.isdecimal() and 0 < int(text) <= MOST_UNITS:
        return None
    return f'"{text}" is no number of units. Type a whole number, such as 20.'

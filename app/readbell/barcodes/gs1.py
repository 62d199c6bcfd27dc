"""The barcode of a box: trade item number, lot and last day, as GS1 writes them.

Application identifiers: 01 trade item number, 10 lot, 17 last day; 21, the serial
number, is passed over. A lot has no fixed length, so a separator (ASCII 29) ends it
unless it stands last. Dates are YYMMDD; day 00 is the last day of the month, and
the century is the one that is nearest (GS1 General Specifications 7.12): both are
worked out here, against a year that is given, because a program's clock is no
part of what a box says.
"""

from __future__ import annotations

import calendar
import re
from datetime import date
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from biip.gs1_messages import GS1Message

SEPARATOR = "\x1d"
PREFIXES = ("]d2", "]C1", "]Q3", "]e0")
"""How a scanner says that what follows is a GS1 code."""
GTIN, LOT, EXPIRES = "01", "10", "17"

_WRITTEN_OUT = re.compile(
    r"[<{\[(](?:GS|FNC1)[>}\])]|\\(?:x1d|u001d|F)|\^\]|(?:Alt|ALT)\+?0?29", re.IGNORECASE
)
"""Ways in which a scanner that was set up wrongly writes its separator out."""
_HIDDEN_DATE = re.compile(r"17(\d{6})(?:\d{2}.*)?$")
_BEGINS = re.compile(r"(?:01\d{14}|\(01\)|\(10\)|\(17\))")

WRITTEN_OUT = (
    'The scanner writes its separator out, as "{sign}". '
    "Set it to send the sign itself (GS, ASCII 29), or type lot and last day."
)
UNREADABLE = "This code of a box cannot be read. Scan it again, or type lot and last day."
CHECK_DIGIT = (
    "The check digit of {gtin} is wrong, so a digit of it was misread. Scan the box again."
)
NO_DAY = "The last day in this code, {written}, is no day. Read it off the box, and type it."
RUN_TOGETHER = (
    "Lot and last day ran together as {lot}: the separator between them is missing. "
    "Set the scanner to send it (GS, ASCII 29), or type lot and last day."
)
NOTHING = "This code names neither a lot nor a last day. Scan the code with both, or type them."
TWICE = "This code says {what} twice, and not the same. Scan the box again."


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxCode:
    """What the code of a box says; what it leaves out is None."""

    gtin: str | None
    lot: str | None
    expires: date | None


@dataclass(frozen=True, slots=True)
class BoxFault:
    """Why a code is not taken: a whole sentence, and what to do."""

    why: str


def is_box_code(text: str) -> bool:
    """Say whether `text` has the form of a box's code, well written or not."""
    return (
        text.startswith(PREFIXES)
        or SEPARATOR in text
        or bool(_BEGINS.match(text))
        or bool(_WRITTEN_OUT.search(text) and re.match(r"(?:01|10|17|21)", text))
    )


def read_box(text: str, year: int) -> BoxCode | BoxFault:
    """Return what the code `text` says, its dates in the century nearest to `year`.

    Brackets around the identifiers, as printed below a code, are taken as well.
    """
    for prefix in PREFIXES:
        text = text.removeprefix(prefix)
    written = _WRITTEN_OUT.search(text)
    if written is not None:
        return BoxFault(WRITTEN_OUT.format(sign=written.group()))
    found = _fields(text.strip(SEPARATOR))
    return found if isinstance(found, BoxFault) else _understood(found, year)


def _fields(text: str) -> dict[str, str] | BoxFault:
    """Return the data of each identifier, or why they cannot be told."""
    # Its tables take a tenth of a second to load, and most scans are of no box.
    from biip import ParseConfig, ParseError
    from biip.gs1_messages import GS1Message

    # The date is judged here: a day that does not exist has a sentence of its own.
    config = ParseConfig(gs1_element_strings_verify_date=False)
    try:
        parse = GS1Message.parse_hri if text.startswith("(") else GS1Message.parse
        message = parse(text, config=config)
    except (ParseError, ValueError):
        return BoxFault(UNREADABLE)
    return _of_message(message)


def _of_message(message: GS1Message) -> dict[str, str] | BoxFault:
    fields: dict[str, str] = {}
    for each in message.element_strings:
        # The whole may be parsed though a part of it is wrong: the part says so.
        if each.gtin_error is not None:
            return BoxFault(CHECK_DIGIT.format(gtin=each.value))
        if fields.setdefault(each.ai.ai, each.value) != each.value:
            what = {GTIN: "the trade item number", LOT: "the lot", EXPIRES: "the last day"}
            if each.ai.ai in what:
                return BoxFault(TWICE.format(what=what[each.ai.ai]))
    return fields


def _understood(fields: dict[str, str], year: int) -> BoxCode | BoxFault:
    lot, written = fields.get(LOT), fields.get(EXPIRES)
    if lot is None and written is None:
        return BoxFault(NOTHING)
    if lot is not None and written is None:
        hidden = _HIDDEN_DATE.search(lot)
        if hidden is not None and day_of(hidden[1], year) is not None:
            return BoxFault(RUN_TOGETHER.format(lot=lot))
    expires = None if written is None else day_of(written, year)
    if written is not None and expires is None:
        return BoxFault(NO_DAY.format(written=written))
    return BoxCode(gtin=fields.get(GTIN), lot=lot, expires=expires)


def day_of(written: str, year: int) -> date | None:
    """Return the day that YYMMDD writes, in the century nearest to `year`; None if there is none.

    Day 00 is the last of the month.
    """
    short, month, day = int(written[:2]), int(written[2:4]), int(written[4:6])
    whole = full_year(short, year)
    if not 1 <= month <= 12:
        return None
    last = calendar.monthrange(whole, month)[1]
    if day > last:
        return None
    return date(whole, month, day or last)


def full_year(short: int, year: int) -> int:
    """Return the year whose last two digits are `short`, within 49 years back and 50 ahead."""
    century, difference = year // 100, short - year % 100
    if difference >= 51:
        century -= 1
    elif difference <= -50:
        century += 1
    return century * 100 + short

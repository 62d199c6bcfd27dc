"""A day that was typed otherwise than it is asked for: what is to be typed in its place.

Boxes bear their last day in many ways, and a box that gives a month alone is common. The sentence says
that very day, never another one as a pattern: whoever is in a hurry types what they read.
"""

from __future__ import annotations

import re
from calendar import monthrange
from datetime import MAXYEAR, date

_MONTH = (
    re.compile(r"(?P<year>\d{4})[-./ ]?(?P<month>\d{2})(?:[-./ ]?00)?", re.ASCII),
    re.compile(r"(?P<month>\d{1,2})[-./ ](?P<year>\d{4})", re.ASCII),
)
"""A month alone, or with the day 00 that stands for its end in the codes of boxes."""
_DAY_LAST = re.compile(r"(?P<year>\d{4})[-./ ](?P<month>\d{1,2})[-./ ](?P<day>\d{1,2})", re.ASCII)
_DAY_FIRST = re.compile(r"(?P<day>\d{1,2})\.(?P<month>\d{1,2})\.(?P<year>\d{4})", re.ASCII)
_EITHER_FIRST = re.compile(r"(?P<one>\d{1,2})[-/ ](?P<two>\d{1,2})[-/ ](?P<year>\d{4})", re.ASCII)


def no_day(text: str) -> str:
    """Say in one sentence that `text` is no day, and what is to be typed."""
    meant = _day_in(text)
    if meant is not None:
        return f'"{text}" is no day. For that day type {meant}.'
    return f'"{text}" is no day. Type year, month, day, such as 2027-12-31.'


def no_last_day(text: str) -> str:
    """Say the same of the last day of a box, which may have been given as a month."""
    last = _end_of_month(text)
    if last is None:
        return no_day(text)
    return (
        f'"{text}" is no day. Where the box says the month alone, it is good through '
        f"the last day of that month: type {last}."
    )


def _day_in(text: str) -> date | None:
    """Return the one day that `text` can mean; None where it means none, or one of two."""
    for form in (_DAY_LAST, _DAY_FIRST):
        found = form.fullmatch(text)
        if found is not None:
            return _day(found["year"], found["month"], found["day"])
    found = _EITHER_FIRST.fullmatch(text)
    if found is None:
        return None
    # 03/04/2027 is March to some and April to others: a guess would be the wrong box for one of them.
    days = {
        day
        for month, of_month in ((found["one"], found["two"]), (found["two"], found["one"]))
        if (day := _day(found["year"], month, of_month)) is not None
    }
    return days.pop() if len(days) == 1 else None


def _end_of_month(text: str) -> date | None:
    for form in _MONTH:
        found = form.fullmatch(text)
        if found is not None:
            year, month = int(found["year"]), int(found["month"])
            if 1 <= month <= 12 and 1 <= year <= MAXYEAR:
                return date(year, month, monthrange(year, month)[1])
    return None


def _day(year: str, month: str, day: str) -> date | None:
    try:
        return date(int(year), int(month), int(day))
    except ValueError:
        return None

"""One of each thing that may happen to a shift, and every refusal about one."""

from __future__ import annotations

from builders import at, private
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.shift.checks import Check, CheckState, Item, Left, LeftKind
from readbell.core.shift.events import DaySheetSigned, ShiftClosed, ShiftEvent, ShiftOpened
from readbell.phrases.shift_words import NOT_ALLOWED

NOW = at("18:00")
BY = "key-op-1"
ALL_LEFT = tuple(Left(kind=kind, about=("C1",)) for kind in LeftKind)

SHIFT_EVENTS: list[ShiftEvent] = [
    ShiftOpened(at=NOW, by=BY, number=1, checks=()),
    ShiftOpened(
        at=NOW,
        by=BY,
        number=2,
        checks=tuple(Check(item=item, state=CheckState.DUE) for item in Item),
    ),
    ShiftClosed(at=NOW, by=BY, number=1, left=()),
    ShiftClosed(at=NOW, by=BY, number=2, left=ALL_LEFT, words=private("night shift reads")),
    DaySheetSigned(at=NOW, by=BY, number=1, head="ab" * 32, sequence=7, own=True),
    DaySheetSigned(at=NOW, by=BY, number=2, head="ab" * 32, sequence=9, own=False),
]

SHIFT_REFUSALS: list[tuple[str, Refusal]] = [
    ("no shift", Refusal(code=RefusalCode.NO_SHIFT)),
    ("still running", Refusal(code=RefusalCode.STILL_RUNNING, subject="C1, C2")),
    ("too cold", Refusal(code=RefusalCode.OUT_OF_TEMPERATURE, subject="bay: 33 °C")),
    *((subject, Refusal(code=RefusalCode.NOT_ALLOWED, subject=subject)) for subject in NOT_ALLOWED),
]

"""What whoever practised should practise next: three things at most, the gravest first."""

from __future__ import annotations

from collections import Counter
from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.refusal import RefusalCode
from readbell.core.rehearsal.score_marks import Area, Slip

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from readbell.core.rehearsal.score_marks import Mistake

MOST = 3


class Practise(StrEnum):
    """Things that can be practised, the gravest first: what may harm somebody goes before pace."""

    IDENTITY = "identity"
    LABELS = "labels"
    FAINT_LINES = "faint-lines"
    CONTROL_LINE = "control-line"
    NO_LINE = "no-line"
    BAD_DEVICES = "bad-devices"
    WINDOWS = "windows"
    GLOVES = "gloves"
    REPEATS = "repeats"
    EVERYBODY = "everybody"
    """Nobody who came, and nothing that runs, is left behind."""
    NEGATIVES_EARLY = "negatives-early"
    READ_TOO_EARLY = "read-too-early"
    WAITS = "waits"
    EARLY_LOOKS = "early-looks"
    KITS = "kits"
    CONSENT = "consent"
    INTERRUPTIONS = "interruptions"
    ORDER = "order"
    SOUND_DEVICES = "sound-devices"
    PRESSING = "pressing"
    """Confirming a step as it is done, not afterwards."""
    PACE = "pace"


_BY_SLIP: Mapping[str, Practise] = {
    Slip.FALSE_NEGATIVE: Practise.FAINT_LINES,
    Slip.FALSE_POSITIVE: Practise.NO_LINE,
    Slip.EARLY_FALSE_POSITIVE: Practise.NO_LINE,
    Slip.EARLY_NO_CONTROL: Practise.CONTROL_LINE,
    Slip.NOBODYS_ID: Practise.IDENTITY,
    Slip.INVALID_TAKEN: Practise.CONTROL_LINE,
    Slip.RESULT_GIVEN_UP: Practise.CONTROL_LINE,
    Slip.WINDOW_LOST: Practise.WINDOWS,
    Slip.SLEPT_THROUGH: Practise.WINDOWS,
    Slip.WAIT_LONG: Practise.WAITS,
    Slip.WAIT_SHORT: Practise.WAITS,
    Slip.SWAP_READ: Practise.LABELS,
    Slip.BAD_DEVICE_READ: Practise.BAD_DEVICES,
    Slip.SOUND_GIVEN_UP: Practise.SOUND_DEVICES,
    Slip.NO_TIME_FOR_GLOVES: Practise.GLOVES,
    Slip.BEGUN_AFTER_LEAVING: Practise.INTERRUPTIONS,
    Slip.ACTED_WHILE_AWAY: Practise.INTERRUPTIONS,
    Slip.NOT_REPEATED: Practise.REPEATS,
    Slip.NOT_TESTED: Practise.EVERYBODY,
    Slip.LEFT_RUNNING: Practise.EVERYBODY,
    Slip.WRONG_ANSWER: Practise.INTERRUPTIONS,
    Slip.NO_ANSWER: Practise.INTERRUPTIONS,
    RefusalCode.TOO_EARLY: Practise.READ_TOO_EARLY,
    RefusalCode.EARLY_NEGATIVE: Practise.NEGATIVES_EARLY,
    RefusalCode.EARLY_NO_CONTROL: Practise.EARLY_LOOKS,
    RefusalCode.NOT_ALLOWED: Practise.EARLY_LOOKS,
    RefusalCode.WINDOW_CLOSED: Practise.WINDOWS,
    RefusalCode.WAIT_NOT_OVER: Practise.WAITS,
    RefusalCode.OUT_OF_ORDER: Practise.ORDER,
    RefusalCode.LABEL_IN_USE: Practise.LABELS,
    RefusalCode.CONSENT_MISSING: Practise.CONSENT,
    RefusalCode.CONSENT_REFUSED: Practise.CONSENT,
    RefusalCode.ALREADY_READ: Practise.ORDER,
    RefusalCode.ALREADY_ENDED: Practise.ORDER,
}
_BY_AREA: Mapping[Area, Practise] = {
    Area.IDENTITY: Practise.IDENTITY,
    Area.SAFETY: Practise.KITS,
    Area.TIMING: Practise.WAITS,
    Area.READING: Practise.FAINT_LINES,
    Area.INTERRUPTION: Practise.INTERRUPTIONS,
}
"""What a mistake is put down to that the table above does not name."""
THROUGH = 3
"""A mistake that went through weighs as much as so many that were refused."""
HARMS = frozenset(
    {
        Slip.FALSE_NEGATIVE,
        Slip.FALSE_POSITIVE,
        Slip.INVALID_TAKEN,
        Slip.RESULT_GIVEN_UP,
        Slip.EARLY_NO_CONTROL,
        Slip.EARLY_FALSE_POSITIVE,
        Slip.WINDOW_LOST,
        Slip.SWAP_READ,
        Slip.BAD_DEVICE_READ,
        Slip.NOBODYS_ID,
        Slip.NO_TIME_FOR_GLOVES,
        Slip.BEGUN_AFTER_LEAVING,
        Slip.NOT_REPEATED,
        Slip.NOT_TESTED,
        Slip.LEFT_RUNNING,
    }
)
"""What harmed somebody, or would have at a bench: it goes before whatever is only slow or was stopped."""
_HABITS = (Practise.PRESSING, Practise.PACE)
"""What is no mistake at all goes behind every mistake, however often it was done."""


def practised_by(mistake: Mistake) -> Practise:
    """Return what would have to be practised for `mistake` not to happen again."""
    return _BY_SLIP.get(mistake.code, _BY_AREA[mistake.area])


def to_practise(
    mistakes: Iterable[Mistake], *, stated: int = 0, slow: bool = False
) -> tuple[Practise, ...]:
    """Return the three things that matter most.

    Somebody taken for another goes first, then what else harmed somebody; what is only slow goes
    last. Among their like those go first that weigh most, and of equal weight the gravest. So
    nothing that was done often hides what was done once and harms.

    Args:
        mistakes: all of them.
        stated: how many steps were entered afterwards.
        slow: whether the attempt took much longer than it need have.
    """
    weights: Counter[Practise] = Counter()
    harmed: set[Practise] = set()
    mistaken: set[Practise] = set()
    for each in mistakes:
        if each.code == Slip.SLEPT_THROUGH:
            continue  # nobody could have helped it
        weights[practised_by(each)] += 1 if each.refused else THROUGH
        if each.code in HARMS:
            harmed.add(practised_by(each))
            if each.area is Area.IDENTITY:
                mistaken.add(practised_by(each))
    if stated:
        weights[Practise.PRESSING] += stated
    if slow:
        weights[Practise.PACE] += 1
    order = list(Practise)
    return tuple(
        sorted(
            weights,
            key=lambda each: (
                each not in mistaken,
                each not in harmed,
                each in _HABITS,
                -weights[each],
                order.index(each),
            ),
        )[:MOST]
    )

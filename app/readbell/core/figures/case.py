"""One ended cartridge as facts that can be counted.

What was stated after the fact tells nothing about how long anything took: such a
cartridge is counted, and left out of every timing.
"""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.cartridge.events import How
from readbell.core.cartridge.stage import Stage
from readbell.core.figures.readers import twice_read
from readbell.core.instant import Span, between
from readbell.core.made_later import dataclass
from readbell.core.reading.bands import Strength
from readbell.core.reading.interpretation import Outcome
from readbell.core.results.standing import standing_of
from readbell.core.results.status import ResultStatus
from readbell.core.results.telling import Hearer

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.core.cartridge.cartridge import Cartridge, StepMark
    from readbell.core.cartridge.events import CartridgeRead, Identified, SubjectKind
    from readbell.core.figures.readers import Twice
    from readbell.core.instant import Instant
    from readbell.core.results.telling import ResultTold


class Came(StrEnum):
    """What a cartridge came to in the end: each to one of these."""

    POSITIVE = "positive"
    NEGATIVE = "negative"
    INVALID = "invalid"
    """It was read, and showed that it had not run, or could not be read."""
    LAPSED = "lapsed"
    """Nobody read it while it might be read, and nothing had been seen before."""
    WITHHELD = "withheld"
    WITHDRAWN = "withdrawn"
    VOID = "void"
    """It was given up before anything valid was seen on it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WaitTimed:
    """A wait that was timed from its beginning to its end."""

    step: str
    """The step that began it."""
    took: Span
    idle: Span
    """How much of it nothing asked for: what passed after its least; 0 where it was too short."""
    kept: bool
    """Whether it was within its limits, firm and advisory alike."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One ended cartridge; keys, not names."""

    kind: SubjectKind
    assay: str
    """Its id."""
    lot: str
    ordinal: int
    """Its place in the order of labelling, from 1."""
    begun: Instant
    """When it was labelled."""
    operator: str
    """Key of whoever put the specimen on the well, or did what was done last before the end."""
    reader: str | None
    """Key of whoever read it first in its window."""
    came: Came
    repeat: bool
    faint: bool
    """Of its test lines the strongest that was read is a faint one."""
    may_be_early: bool
    """Its assay allows a positive before the window."""
    early: Span | None
    """From the application to the first early look that showed something."""
    read: Span | None
    """From the application to the reading in the window."""
    window_used: float | None
    """How much of the window had gone by at the reading, from 0 to 1; None: it has no end."""
    waits: tuple[WaitTimed, ...]
    told: Span | None
    """From taking the specimen to the first time somebody who may hear it was told."""
    stated: bool
    """Some step of it was stated, not timed."""
    picked: bool
    """Cartridge or person was picked from a list at the label or at the reading, not scanned."""
    twice: Twice | None
    """What two people read of it, each by themselves; None: it was not read twice."""


def case_of(cartridge: Cartridge, told: Sequence[ResultTold]) -> Case:
    """Return what can be counted of `cartridge`, which has ended.

    Args:
        cartridge: an ended one.
        told: what somebody was told of it, in order.
    """
    stated = any(each.done.stated or each.doubted is not None for each in cartridge.marks)
    reading, applied = cartridge.reading, cartridge.applied
    timed = None if stated or applied is None else applied.said
    read = None if timed is None or reading is None else between(timed, reading.at)
    looks = cartridge.early_looks
    early = None if timed is None or not looks else between(timed, looks[0].at)
    return Case(
        kind=cartridge.labelled.subject_kind,
        assay=cartridge.assay.id,
        lot=cartridge.labelled.lot,
        ordinal=cartridge.ordinal,
        begun=cartridge.labelled.at,
        operator=cartridge.last_mark.by,
        reader=None if reading is None else reading.by,
        came=_came(cartridge),
        repeat=cartridge.labelled.repeat_of is not None,
        faint=reading is not None and _is_faint(reading),
        may_be_early=cartridge.assay.reading.early_from is not None,
        early=early,
        read=read,
        window_used=None if read is None else _window_used(cartridge, read),
        waits=tuple(_waits(cartridge)),
        told=None if stated else _told(cartridge, told),
        stated=stated,
        picked=_is_picked(cartridge.labelled.identified)
        or (reading is not None and _is_picked(reading.identified)),
        twice=twice_read(cartridge),
    )


def _came(cartridge: Cartridge) -> Came:
    standing = standing_of(cartridge)
    if standing.status is ResultStatus.WITHDRAWN:
        return Came.WITHDRAWN
    if cartridge.voided is not None or standing.outcome is None:
        return Came.VOID
    if standing.outcome is Outcome.INVALID:
        unread = cartridge.stage is Stage.LAPSED and cartridge.reading is None
        return Came.LAPSED if unread else Came.INVALID
    return Came(standing.outcome.value)


def _is_faint(reading: CartridgeRead) -> bool:
    seen = {each.strength for each in reading.bands.lines}
    return Strength.FAINT in seen and Strength.CLEAR not in seen


def _window_used(cartridge: Cartridge, read: Span) -> float | None:
    rules = cartridge.assay.reading
    if rules.closes is None or rules.closes == rules.opens:
        return None
    return (read - rules.opens) / (rules.closes - rules.opens)


def _waits(cartridge: Cartridge) -> Iterator[WaitTimed]:
    for mark in cartridge.marks:
        step = cartridge.assay.step(mark.step)
        wait = None if step is None else step.wait
        end = None if wait is None else cartridge.mark_of(wait.until)
        if wait is None or end is None or not (_is_timed(mark) and _is_timed(end)):
            continue
        took = between(mark.done.said, end.done.said)
        yield WaitTimed(
            step=mark.step,
            took=took,
            idle=Span(max(took - wait.least, 0)),
            kept=wait.least <= took and (wait.most is None or took <= wait.most),
        )


def _is_timed(mark: StepMark) -> bool:
    return not (mark.done.stated or mark.together or mark.doubted is not None)


def _told(cartridge: Cartridge, told: Sequence[ResultTold]) -> Span | None:
    collecting = next((each.key for each in cartridge.assay.steps if each.collects), None)
    taken = None if collecting is None else cartridge.mark_of(collecting)
    first = next((each for each in told if each.to is not Hearer.OFFICE), None)
    if taken is None or first is None:
        return None
    return between(taken.done.said, first.at)


def _is_picked(identified: Identified) -> bool:
    return How.PICKED in (identified.cartridge, identified.person)

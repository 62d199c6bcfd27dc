"""The short words of the board: where a cartridge stands, with a sign and one figure.

Signs are plain letters in a column of their own, so that nothing on the board
needs colour to be told apart. More marks mean sooner.
"""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.cartridge.at_instant import read_from, stage_within, window
from readbell.core.cartridge.stage import Stage
from readbell.core.instant import SECOND, Instant, Span, whole_seconds_left
from readbell.core.made_later import dataclass
from readbell.core.making import maker_of
from readbell.core.span_text import write_span

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.cartridge.cartridge import Cartridge, RunningWait
    from readbell.core.cartridge.window import Window
    from readbell.phrases.clock_time import ClockFace

DROPS_DUE = "drops due"
"""The step due is the application itself: time zero, which everything after it counts from."""
SECOND_READER = "2ND READER"
"""It was read once, and calls for somebody else; in the place of READ NOW."""
SECOND_CLOSING = "CLOSING 2ND"
DEVELOPS = "develops"
"""In an examination: how long ago they fell is told, and what is due is for the trainee to know."""
NAMED = 3
"""So many of a crowd are named; the others are counted."""

EARLY_STANDS = "e+"

FOREVER = Instant(1 << 62)


class Where(StrEnum):
    """Where a cartridge stands, as the board tells it; the gravest first."""

    LAPSED = "lapsed"
    CLOSING = "closing"
    READ_NOW = "read-now"
    OVERDUE = "overdue"
    WAIT_OVER = "wait-over"
    UNSURE = "unsure"
    STEP_DUE = "step-due"
    """The swab gives off what it holds, the next step is due, and no clock runs against it."""
    WAITING = "waiting"
    DO_WITHIN = "do-within"
    """A hand may move now, and a limit runs."""
    EARLY_LOOK = "early-look"
    """An early look may show a positive."""
    DEVELOPING = "developing"
    PREPARING = "preparing"
    LABELLED = "labelled"
    READ = "read"
    VOID = "void"


CALLS = (Where.CLOSING, Where.READ_NOW, Where.OVERDUE, Where.WAIT_OVER)
"""What calls for a hand or an eye this moment, the most urgent first."""

SIGNS: dict[Where, str] = {
    Where.LAPSED: "x ",
    Where.CLOSING: "!!",
    Where.READ_NOW: "! ",
    Where.OVERDUE: ">>",
    Where.WAIT_OVER: "> ",
    Where.UNSURE: "? ",
    Where.STEP_DUE: "> ",
    Where.EARLY_LOOK: "e ",
}

WORDS: dict[Where, str] = {
    Where.LAPSED: "LAPSED",
    Where.CLOSING: "CLOSING",
    Where.READ_NOW: "READ NOW",
    Where.OVERDUE: "OVERDUE",
    Where.WAIT_OVER: "WAIT OVER",
    Where.UNSURE: "clock unsure",
    Where.WAITING: "wait",
    Where.DO_WITHIN: "do within",
    Where.EARLY_LOOK: "opens in",
    Where.DEVELOPING: "opens in",
    Where.STEP_DUE: "step due",
    Where.PREPARING: "preparing",
    Where.LABELLED: "labelled",
    Where.READ: "read",
    Where.VOID: "void",
}

_TOLD_AS_EVER = (Where.LAPSED, Where.READ, Where.VOID, Where.UNSURE)

CAUTIONS = (
    "The kit's own instructions for use come first.",
    "A negative does not exclude infection.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """Where one cartridge stands at one instant, ready to be shown."""

    where: Where
    word: str
    sign: str
    due: Instant | None = None
    """What the figure counts to, or since when; None: no figure."""
    since: bool = False
    """Whether the figure counts up."""
    is_last: bool = False
    """Whether `due` is the last instant in time, not the first: its clock time is rounded down."""

    def figure(self, now: Instant) -> str:
        """Return the figure: `m:ss` left, rounded up, or `+m:ss` gone by, rounded down."""
        if self.due is None:
            return ""
        return write_since(self.due, now) if self.since else write_until(self.due, now)


_standing = maker_of(Standing)
"""With the first picture one is made of each that runs."""


def write_until(due: Instant, now: Instant) -> str:
    """Return how long until `due`, rounded up: 0:00 only once it has come."""
    return write_span(Span(max(0, whole_seconds_left(now, due)) * SECOND))


def write_since(due: Instant, now: Instant) -> str:
    """Return how long since `due`, rounded down, with the sign of time gone by."""
    return "+" + write_span(Span(max(0, -whole_seconds_left(now, due)) * SECOND))


def say_nothing_runs(
    readings: Sequence[Instant],
    owed: Sequence[str],
    now: Instant,
    face: ClockFace,
    waiting: int = 0,
) -> str:
    """Say that nothing runs: how many were read today, and how the next patient is begun.

    Args:
        readings: when each strip was read.
        owed: whose cartridge gave nothing reportable, as they are to be shown.
        now: the instant.
        face: the site's clock.
        waiting: how many were entered, and not yet begun.
    """
    today = face.local(now).date()
    read = [each for each in readings if face.local(each).date() == today]
    last = f"{len(read)} today, last {face.minute(max(read))}." if read else ""
    done = f" Read: {last}" if read else ""
    if owed:
        return f"{say_owed(owed)}.{done}"
    if waiting:
        said = f"{waiting} to begin: scan the ID of whoever is next."
        return f"{said}{done}" if read else f"Nothing runs. {said}"
    return f"All read. {last}" if read else "Nothing runs. F2 starts the first patient."


WHERE_NAMED = "F9, Patients"
"""Where whoever is owed a repeat stands by name; it is hidden once nobody is there to see it."""


def say_owed(owed: Sequence[str]) -> str:
    """Say how many are owed a fresh cartridge, and who the first of them are or where that stands."""
    named = [each for each in owed if each]
    return f"{len(owed)} to repeat: {some_of(named) if named else f'{WHERE_NAMED} says who'}"


def some_of(names: Sequence[str]) -> str:
    """Return the first few of `names`, and how many more there are."""
    shown = ", ".join(names[:NAMED])
    more = len(names) - NAMED
    return f"{shown} and {more} more" if more > 0 else shown


def standing(cartridge: Cartridge, now: Instant) -> Standing:
    """Say where `cartridge` stands at `now`."""
    return standing_within(cartridge, window(cartridge), now)


def standing_within(cartridge: Cartridge, span: Window | None, now: Instant) -> Standing:
    """Say where `cartridge` stands at `now`, whose read window is `span`."""
    stage = stage_within(cartridge, span, now)
    if stage is Stage.LAPSED:
        return _says(Where.LAPSED, None if span is None else span.closes, since=True, is_last=True)
    if stage is Stage.READ:
        return _says(Where.READ)
    if stage is Stage.VOID:
        return _says(Where.VOID)
    if span is None:
        return _before_the_drops(cartridge, stage, now)
    if cartridge.unsure:
        return _says(Where.UNSURE)  # no figure: it would be believed
    return _after_the_drops(cartridge, stage, span, now)


def _after_the_drops(cartridge: Cartridge, stage: Stage, span: Window, now: Instant) -> Standing:
    again = cartridge.awaits_second
    if stage is Stage.CLOSING:
        word = SECOND_CLOSING if again else None
        return _says(Where.CLOSING, span.closes, is_last=True, word=word)
    if stage is Stage.READ_WINDOW:
        word = SECOND_READER if again else None
        if span.closes is None:
            return _says(Where.READ_NOW, read_from(cartridge, span), since=True, word=word)
        return _says(Where.READ_NOW, span.closes, is_last=True, word=word)
    if span.early_from is None or now < span.early_from:
        return _says(Where.DEVELOPING, span.opens)
    return _says(Where.EARLY_LOOK, span.opens)


def _before_the_drops(cartridge: Cartridge, stage: Stage, now: Instant) -> Standing:
    waits = cartridge.running_waits
    limit = min((wait.limit for wait in waits if wait.limit is not None), default=None)
    if limit is not None and now >= limit:
        return _says(Where.OVERDUE, limit, since=True, is_last=True)
    ending = [wait for wait in waits if wait.least > 0 and _ends_next(cartridge, wait)]
    if ending:
        last = max(ending, key=lambda wait: wait.over)
        if now < last.over:
            return _says(Where.WAITING, last.over, word=name_of_wait(cartridge, last.step))
        return _says(Where.WAIT_OVER, last.over, since=True)
    if limit is not None:
        return _says(Where.DO_WITHIN, limit, is_last=True)
    return _at_work(cartridge, stage)


def _at_work(cartridge: Cartridge, stage: Stage) -> Standing:
    """Say that the next step is due, and since when; of a doubted mark nobody knows since when."""
    mark = cartridge.last_mark
    since = mark.done.said if mark.doubted is None else None
    if stage is Stage.LABELLED:
        return _says(Where.LABELLED, since, since=True)
    if stage is Stage.PREPARING:
        return _says(Where.PREPARING, since, since=True)
    is_last = cartridge.next_step is cartridge.assay.last_step
    return _says(Where.STEP_DUE, since, since=True, word=DROPS_DUE if is_last else None)


def uncalled(cartridge: Cartridge, now: Instant) -> Standing:
    """Say of `cartridge` what was done to it last and since when, and nothing of what is due.

    What has ended, and a clock that cannot be believed, are told as ever.
    """
    stands = standing(cartridge, now)
    if stands.where in _TOLD_AS_EVER:
        return stands
    if cartridge.applied is not None:
        return _says(Where.DEVELOPING, cartridge.applied.said, since=True, word=DEVELOPS)
    mark = cartridge.last_mark
    since = mark.done.said if mark.doubted is None else None
    if cartridge.running_waits:
        return _says(Where.WAITING, since, since=True, word=name_of_wait(cartridge, mark.step))
    where = Where.LABELLED if stands.where is Where.LABELLED else Where.PREPARING
    return _says(where, since, since=True)


def changes_at(cartridge: Cartridge, now: Instant) -> Instant:
    """Return the first instant after `now` at which `cartridge` may stand elsewhere, if left alone."""
    return changes_within(cartridge, window(cartridge), now)


def changes_within(cartridge: Cartridge, span: Window | None, now: Instant) -> Instant:
    """Return what `changes_at` does, for a cartridge whose read window is `span`."""
    borders: list[Instant | None] = []
    if span is None:
        for wait in cartridge.running_waits:
            borders += [wait.over, wait.limit]
    else:
        borders = [span.early_from, span.opens, span.closing_from, span.lapses]
    return min((each for each in borders if each is not None and each > now), default=FOREVER)


def name_of_wait(cartridge: Cartridge, step: str) -> str:
    """Return what the bench calls the wait that `step` begins."""
    found = cartridge.assay.step(step)
    named = "" if found is None or found.wait is None else found.wait.name
    return named or WORDS[Where.WAITING]


def _ends_next(cartridge: Cartridge, wait: RunningWait) -> bool:
    begun_by, step = cartridge.assay.step(wait.step), cartridge.next_step
    return (
        begun_by is not None
        and begun_by.wait is not None
        and step is not None
        and begun_by.wait.until == step.key
    )


def _says(
    where: Where,
    due: Instant | None = None,
    *,
    since: bool = False,
    is_last: bool = False,
    word: str | None = None,
) -> Standing:
    return _standing(where, word or WORDS[where], SIGNS.get(where, "  "), due, since, is_last)

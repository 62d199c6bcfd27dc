"""What a score is made of: what was timed, seen, mistaken and lost, each with its place in time."""

from __future__ import annotations

from dataclasses import field
from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.instant import between
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from readbell.core.instant import Instant, Span
    from readbell.core.reading.bands import Unreadable
    from readbell.core.reading.interpretation import Outcome
    from readbell.core.rehearsal.virtual_cartridge import Shade


class Kept(StrEnum):
    """Whether a time of the assay was kept."""

    KEPT = "kept"
    SHORT = "short"
    LONG = "long"
    LOST = "lost"
    """The read window closed and nobody had read the strip."""
    STATED = "stated"
    """It was stated afterwards and not timed, so nobody can tell."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Timed:
    """One wait of the assay, or one read window, on one cartridge."""

    cartridge: str
    """Its label."""
    since: str
    """The step that began it; of the read window the last step."""
    reads: bool
    """Whether it is the read window."""
    lasted: Span | None
    """None: of a window that was lost."""
    least: Span
    most: Span | None
    kept: Kept
    called: str = ""
    """What the bench calls it, such as "in buffer"; of a read window nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Right:
    """What would have been right in place of a mistake: its times, and the assay's own words."""

    step: str = ""
    """What was to be done, as the assay calls it."""
    after: str = ""
    """The step that its time counts from."""
    passed: Span | None = None
    """How long it was after that step when it was done, or tried."""
    least: Span | None = None
    since: Instant | None = None
    """From this instant on it would have been right."""
    until: Instant | None = None
    """To this one; of an early look None, for it ends as the window opens."""
    may_look: bool = False
    """Whether `since` is of an early look, and not of a reading."""
    line: str = ""
    """The line as it is printed on the device, with its name."""
    shade: Shade | None = None
    """How strong the line was at that instant; None: it is not about a line."""
    control: bool | None = None
    """Whether the control line was there; None: it is not about a strip."""
    control_mark: str = ""
    spoilt: Unreadable | None = None
    stated: bool = False
    """Whether the drops were stated and not timed: their doubt narrows the window."""
    asked: str = ""
    """What was asked, in the scenario's own words."""
    answer: str = ""
    """One right answer to it."""
    came: Span | None = None
    """How long after the drops the line came, or was to come; None: never."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """One line of one strip: what it showed, and what was made of it."""

    cartridge: str
    line: str
    at: Instant
    by: str | None = field(repr=False)
    truth: Outcome
    """Positive, negative or invalid, by what the strip showed at that instant."""
    said: Outcome
    shade: Shade
    """How strong the line was; absent on a strip that does not count."""
    spoilt: Unreadable | None
    right: Right | None = None
    """What the strip showed, where it was read otherwise."""

    @property
    def is_right(self) -> bool:
        """Whether the two agree."""
        return self.said is self.truth


class Area(StrEnum):
    """What a mistake is about."""

    IDENTITY = "identity"
    SAFETY = "safety"
    TIMING = "timing"
    READING = "reading"
    INTERRUPTION = "interruption"


class Slip(StrEnum):
    """Mistakes that no refusal names."""

    FALSE_NEGATIVE = "false-negative"
    FALSE_POSITIVE = "false-positive"
    INVALID_TAKEN = "invalid-taken-for-a-result"
    RESULT_GIVEN_UP = "result-taken-for-invalid"
    EARLY_NO_CONTROL = "early-without-control-line"
    """A positive was taken early from a strip whose control line had not come, or that was spoilt."""
    EARLY_FALSE_POSITIVE = "early-false-positive"
    WINDOW_LOST = "window-lost"
    SLEPT_THROUGH = "window-slept-through"
    """It opened and closed while the lid was shut: lost, and nobody at the keys could help it."""
    WAIT_LONG = "wait-too-long"
    WAIT_SHORT = "wait-too-short"
    SWAP_READ = "swapped-label-read"
    BAD_DEVICE_READ = "bad-device-read"
    SOUND_GIVEN_UP = "sound-device-given-up"
    NOBODYS_ID = "begun-under-an-id-of-nobody"
    """A cartridge was labelled for an ID that nobody bears who came: a slip in whose it is."""
    NO_TIME_FOR_GLOVES = "no-time-for-gloves"
    BEGUN_AFTER_LEAVING = "begun-after-leaving"
    ACTED_WHILE_AWAY = "acted-while-away"
    NOT_REPEATED = "not-repeated"
    NOT_TESTED = "not-tested"
    LEFT_RUNNING = "left-running"
    WRONG_ANSWER = "wrong-answer"
    NO_ANSWER = "no-answer"


@dataclass(frozen=True, slots=True, kw_only=True)
class Mistake:
    """One thing that went wrong, or would have."""

    at: Instant
    area: Area
    code: str
    """A `RefusalCode` or a `Slip`."""
    refused: bool
    """Whether the program stopped it; a bay where nobody is stopped would have had it."""
    by: str | None = field(default=None, repr=False)
    cartridge: str | None = None
    """Its label, where it is about one."""
    line: str = ""
    span: Span | None = None
    """How long it was, or took, where that says something."""
    limit: Span | None = None
    number: int = 0
    """Which interruption, from 1."""
    person: str | None = field(default=None, repr=False)
    look: bool = False
    """Whether it was an early look."""
    right: Right | None = None
    """What would have been right; None: its sentence says so, or nobody can tell."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One question that broke into the work, and what was answered."""

    number: int
    at: Instant
    answered: Instant | None
    is_right: bool

    @property
    def took(self) -> Span | None:
        """How long it stood unanswered."""
        return None if self.answered is None else between(self.at, self.answered)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lane:
    """One cartridge on the time line of an attempt."""

    cartridge: str
    person: str | None = field(repr=False)
    marks: tuple[tuple[str, Instant], ...]
    """Each step that was done, the label among them, and when."""
    opens: Instant | None
    closes: Instant | None
    looks: tuple[Instant, ...]
    read: Instant | None
    lapsed: Instant | None
    voided: Instant | None
    read_by: str | None = field(default=None, repr=False)

    @property
    def begins(self) -> Instant:
        """When it was labelled."""
        return self.marks[0][1]

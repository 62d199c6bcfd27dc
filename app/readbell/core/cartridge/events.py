"""Everything that can happen to a cartridge, as facts in the past tense."""

from __future__ import annotations

from dataclasses import field
from enum import StrEnum

from readbell.core.assay.reading_rules import SecondReader
from readbell.core.cartridge.moment import Done
from readbell.core.instant import Instant, Span
from readbell.core.made_later import dataclass
from readbell.core.making import LATER
from readbell.core.private import Private
from readbell.core.reading.bands import Bands
from readbell.core.reading.interpretation import LineOutcome, Outcome
from readbell.core.review.reasons import AmendReason


class How(StrEnum):
    """How it was made sure which cartridge or which person it is."""

    SCANNED = "scanned"
    TYPED = "typed"
    PICKED = "picked"
    """Chosen from the list on the screen: the weakest of the three."""


class SubjectKind(StrEnum):
    """For whom a cartridge is run; only a patient's result is ever told as one."""

    PATIENT = "patient"
    CONTROL_SAMPLE = "control-sample"
    QUALITY_SAMPLE = "quality-sample"


class ReadingKind(StrEnum):
    """At which look the bands were seen."""

    EARLY = "early"
    WINDOW = "window"
    SECOND = "second"
    """In the window too, by somebody else, who was not shown the first one."""


class VoidReason(StrEnum):
    """Why a cartridge was given up."""

    DROPPED = "dropped"
    SPILLED = "spilled"
    TOO_FEW_DROPS = "too-few-drops"
    WRONG_BUFFER = "wrong-buffer"
    DECLINED = "declined"
    LEFT = "left"
    """The person was gone before anything was taken of them; they declined nothing."""
    INSUFFICIENT_SPECIMEN = "insufficient-specimen"
    LABEL_ERROR = "label-error"
    BAD_DEVICE = "bad-device"
    """The pouch was torn or without its drying agent, or the device cracked or damp."""
    TIME_UNSURE = "time-unsure"
    """Its stated times leave no instant at which it could be read."""
    OTHER = "other"


OWED_NO_REPEAT = frozenset({VoidReason.DECLINED, VoidReason.LEFT})
"""Given up for one of these, nobody is there who wants a fresh cartridge."""


class SlipReason(StrEnum):
    """Which slip of the keys made a reading say what was not seen."""

    PRESSED_WRONG_KEY = "pressed-wrong-key"
    """The line was taken rightly, and something else was pressed for it."""
    TOOK_LINE_FOR_ANOTHER = "took-line-for-another"
    """The answer for one line was given for another."""
    OTHER = "other"


class TakeBackReason(StrEnum):
    """Why a step that was confirmed is taken back."""

    PRESSED_TOO_EARLY = "pressed-too-early"
    """It is still to be done, or only now being done."""
    ANOTHER_CARTRIDGE = "another-cartridge"
    """It was done on another one."""
    NOT_DONE = "not-done"
    """It was thought to be done."""
    OTHER = "other"


class AlertKind(StrEnum):
    """What an alert says, in the order in which they fall for one cartridge."""

    WAIT_OVER = "wait-over"
    OVERDUE = "overdue"
    EARLY_LOOK = "early-look"
    READ_NOW = "read-now"
    CLOSING = "closing"
    LAPSED = "lapsed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Identified:
    """How cartridge and person were established at an act; None: not asked."""

    cartridge: How | None = None
    person: How | None = None
    second: How | None = field(default=None, metadata=LATER)
    """How the second identifier was given, where it was read back too."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Deviation:
    """A wait that was not kept, though the work went on."""

    code: str
    """The step that began the wait, and "short" or "long": `extract-long`."""
    span: Span
    """How long the wait was, whole; the longest it may have been if stated."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CartridgeLabelled:
    """A pouch was opened and the device inside given to one subject."""

    at: Instant
    by: str
    cartridge: str
    label: str
    subject: str
    subject_kind: SubjectKind
    lot: str
    assay: str
    repeat_of: str | None
    identified: Identified
    warnings: tuple[str, ...] = ()
    place: Private | None = None
    """Where on the bench it lies, in the site's own words."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StepDone:
    """A step of the assay was done."""

    at: Instant
    by: str
    cartridge: str
    step: str
    done: Done
    deviations: tuple[Deviation, ...]
    specimen: str | None
    """The specimen's own id, where this step takes one."""
    identified: Identified
    together: bool = False
    """Confirmed with its neighbours by one act: each but the last was done before `done`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StepTakenBack:
    """What was confirmed last had not been done; the record keeps that it was confirmed."""

    at: Instant
    by: str
    cartridge: str
    steps: tuple[str, ...]
    """In their order: several, if one press had confirmed them together."""
    reason: TakeBackReason
    identified: Identified


@dataclass(frozen=True, slots=True, kw_only=True)
class EarlyPositiveSeen:
    """An early look showed the control line and at least one test line."""

    at: Instant
    by: str
    cartridge: str
    bands: Bands
    lines: tuple[str, ...]
    ordinal: int
    kind: ReadingKind
    identified: Identified


@dataclass(frozen=True, slots=True, kw_only=True)
class CartridgeRead:
    """The strip was read inside its window."""

    at: Instant
    by: str
    cartridge: str
    bands: Bands
    outcomes: tuple[LineOutcome, ...]
    """What the cartridge comes to by it; of a second reading, by both."""
    outcome: Outcome
    ordinal: int
    kind: ReadingKind
    identified: Identified
    second: SecondReader | None = field(default=None, metadata=LATER)
    """By which rule somebody else is to read it again; until then nothing comes of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingCorrected:
    """Whoever read the strip mended a slip of their own; what was entered first stays."""

    at: Instant
    by: str
    cartridge: str
    bands: Bands
    outcomes: tuple[LineOutcome, ...]
    outcome: Outcome
    reason: SlipReason
    identified: Identified


@dataclass(frozen=True, slots=True, kw_only=True)
class ResultAmended:
    """A supervisor said anew what had been on the strip; what was read first stays on record."""

    at: Instant
    by: str
    cartridge: str
    bands: Bands
    outcomes: tuple[LineOutcome, ...]
    outcome: Outcome
    reason: AmendReason
    words: Private
    own: bool
    """Own review: whoever amended it had read it, and nobody else works here."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CartridgeLapsed:
    """The window closed on a strip that was not read, or not by the second reader it needed.

    `at` is when it closed for good.
    """

    at: Instant
    cartridge: str
    outcomes: tuple[LineOutcome, ...]
    outcome: Outcome


@dataclass(frozen=True, slots=True, kw_only=True)
class CartridgeVoided:
    """The cartridge was given up before anything valid was seen on it."""

    at: Instant
    by: str
    cartridge: str
    reason: VoidReason
    words: Private | None
    identified: Identified


@dataclass(frozen=True, slots=True, kw_only=True)
class ApplicationStated:
    """Operator and witness said when an unsure cartridge had its drops."""

    at: Instant
    by: str
    witness: str
    cartridge: str
    done: Done


@dataclass(frozen=True, slots=True, kw_only=True)
class AlertRaised:
    """An alert fell; `at` is when it was announced, `due` when it should have been."""

    at: Instant
    cartridge: str
    alert: AlertKind
    due: Instant
    step: str
    """The step whose wait it is about; empty for alerts of the read window."""


CartridgeEvent = (
    CartridgeLabelled
    | StepDone
    | StepTakenBack
    | EarlyPositiveSeen
    | CartridgeRead
    | ReadingCorrected
    | ResultAmended
    | CartridgeLapsed
    | CartridgeVoided
    | ApplicationStated
    | AlertRaised
)

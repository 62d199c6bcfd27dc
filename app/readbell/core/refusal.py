"""Why an act is not allowed, as a value: a refusal is an answer, not a failure."""

from __future__ import annotations

from dataclasses import field
from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from readbell.core.instant import Instant, Span


class RefusalCode(StrEnum):
    """The closed list of reasons, stable words that records and exports may rely on."""

    UNKNOWN_OPERATOR = "unknown-operator"
    UNKNOWN_CARTRIDGE = "unknown-cartridge"
    UNKNOWN_PERSON = "unknown-person"
    UNKNOWN_LOT = "unknown-lot"
    WRONG_CARTRIDGE = "wrong-cartridge"
    WRONG_PERSON = "wrong-person"
    LABEL_IN_USE = "label-in-use"
    LOT_ON_HOLD = "lot-on-hold"
    LOT_EXPIRED = "lot-expired"
    LOT_USED_UP = "lot-used-up"
    ALREADY_READ = "already-read"
    ALREADY_ENDED = "already-ended"
    OUT_OF_ORDER = "out-of-order"
    WAIT_NOT_OVER = "wait-not-over"
    TOO_EARLY = "too-early"
    EARLY_NEGATIVE = "early-negative"
    EARLY_NO_CONTROL = "early-no-control"
    WINDOW_CLOSED = "window-closed"
    BAD_BANDS = "bad-bands"
    NOT_ALLOWED = "not-allowed"
    NOT_ADOPTED = "not-adopted"
    ALREADY_KNOWN = "already-known"
    NOT_SAVED = "not-saved"
    RECORD_BROKEN = "record-broken"
    NOT_SIGNED_IN = "not-signed-in"
    PIN_WANTED = "pin-wanted"
    WRONG_PIN = "wrong-pin"
    PIN_TOO_SOON = "pin-too-soon"
    LOCKED_OUT = "locked-out"
    ROLE_MISSING = "role-missing"
    NOT_COMPETENT = "not-competent"
    LOT_TWO_EXPIRIES = "lot-two-expiries"
    BOX_OF_ANOTHER_ASSAY = "box-of-another-assay"
    BOX_OPENED_TOO_LONG = "box-opened-too-long"
    KIT_COLD = "kit-cold"
    CONTROLS_DUE = "controls-due"
    OUT_OF_TEMPERATURE = "out-of-temperature"
    NO_SHIFT = "no-shift"
    STILL_RUNNING = "still-running"
    UNKNOWN_SAMPLE = "unknown-sample"
    SAMPLE_EXPIRED = "sample-expired"
    ID_MALFORMED = "id-malformed"
    ID_CHECK_FAILED = "id-check-failed"
    SECOND_MISSING = "second-identifier-missing"
    CONSENT_MISSING = "consent-missing"
    CONSENT_REFUSED = "consent-refused"
    REPEAT_LIMIT = "repeat-limit"
    ALONE = "alone"
    HELD_ELSEWHERE = "held-elsewhere"


@dataclass(frozen=True, slots=True, kw_only=True)
class Elsewhere:
    """What was done at another station of a shared bay a moment before, to the same cartridge."""

    station: str
    kind: str
    """Name of the kind of event, as it stands in the record."""
    by: str = field(repr=False)
    """Who did it, by their ID; empty: nobody, or it was erased."""
    at: Instant


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """One refused act: the code, and the figures a sentence about it needs."""

    code: RefusalCode
    subject: str = field(default="", repr=False)
    """The step, line, label or lot the refusal is about, in the assay's own words; or what was
    scanned in its place, which may be anybody's identifier."""
    due: Instant | None = None
    """When the same act would be allowed, where there is such an instant."""
    limit: Span | None = None
    """The limit of the assay that was not met."""
    elapsed: Span | None = None
    """How long after the application, or after the step before, it was tried."""
    elsewhere: Elsewhere | None = None
    """Who was first, where that was at another station; it is told, and stands in no record."""

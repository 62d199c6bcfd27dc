"""What happens to the bay as a whole: its founding, its clock, its refusals."""

from __future__ import annotations

from dataclasses import field
from enum import StrEnum

from readbell.core.cartridge.events import AlertKind
from readbell.core.instant import Instant, Span
from readbell.core.made_later import dataclass
from readbell.core.making import LATER
from readbell.core.private import Private
from readbell.core.reading.bands import Bands
from readbell.core.refusal import RefusalCode


class Mode(StrEnum):
    """Whether a record is of patients or of practice; it never changes."""

    LIVE = "live"
    REHEARSAL = "rehearsal"


@dataclass(frozen=True, slots=True, kw_only=True)
class BayFounded:
    """The first event of every journal."""

    at: Instant
    bay: str
    timezone: str
    """IANA name; for showing times and for expiry dates, never for arithmetic."""
    mode: Mode


@dataclass(frozen=True, slots=True, kw_only=True)
class ProgramStarted:
    """The bay was taken up, for the first time or again."""

    at: Instant
    clean: bool
    """Whether the run before had put its clean mark at the end."""
    away: Span
    """How long nobody watched; 0 for a new bay."""
    running: int
    """How many cartridges were found running."""


class Ending(StrEnum):
    """Why a program laid its work down."""

    END_OF_INPUT = "end-of-input"
    SIGNAL = "signal"
    SCENARIO_ENDED = "scenario-ended"
    LEFT = "left"
    """Somebody left the board, and had been shown what runs."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ProgramStopped:
    """The clean mark: the program ended of its own accord."""

    at: Instant
    why: Ending


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockJumped:
    """The wall clock and the clock that counts sleep parted by more than a second."""

    at: Instant
    by_span: Span
    """How far the wall clock was moved; negative: back."""
    cartridges: tuple[str, ...]
    """What was running then, and is to be looked at."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ComputerSlept:
    """The computer was suspended; no alarm could ring meanwhile."""

    at: Instant
    span: Span
    cartridges: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockUnsure:
    """After a restart of the computer nobody can say how much time went by."""

    at: Instant
    cartridges: tuple[str, ...]
    """Developing, and then none gives an outcome as it is; in a wait that has a limit; or read,
    and then what was read is corrected no more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ActRefused:
    """An act was refused: a near miss. It changed no cartridge, lot or person."""

    at: Instant
    by: str | None
    """Key of the operator, if one of that id is known."""
    act: str
    code: RefusalCode
    cartridge: str | None
    entered: Private | None
    """What was typed or scanned; it may be anybody's identifier."""
    bands: Bands | None
    """What was seen. After the window: a late look, never an outcome."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AlertHeard:
    """Somebody said that the sound of one cartridge was heard; its mark stays."""

    at: Instant
    by: str | None
    """None: nobody was signed in."""
    cartridge: str
    alert: AlertKind
    """What was calling then: what calls next sounds anew."""
    station: str = field(default="", metadata=LATER)
    """Where it was heard; empty in a bay that nobody shares."""


class MuteReason(StrEnum):
    """Why nothing was to sound for a while."""

    CONVERSATION = "conversation"
    """Something was being told to somebody that is not to be broken into."""
    DISTRESS = "distress"
    """The sound frightened or hurt somebody present."""
    ANNOUNCEMENT = "announcement"
    """Another alarm or announcement had to be heard."""
    FALSE_ALARM = "false-alarm"
    """It sounded for something that was not so."""
    OTHER = "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class SoundMuted:
    """Nothing is to sound until `until`; the marks stay, and it ends by itself."""

    at: Instant
    by: str
    reason: MuteReason
    until: Instant


@dataclass(frozen=True, slots=True, kw_only=True)
class SoundRestored:
    """The sound was given back before its mute timed out."""

    at: Instant
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AlarmTested:
    """The alarm was sounded to see whether it can be heard where people work."""

    at: Instant
    by: str
    heard: bool


SoundEvent = AlertHeard | SoundMuted | SoundRestored | AlarmTested

BoardEvent = (
    BayFounded
    | ProgramStarted
    | ProgramStopped
    | ClockJumped
    | ComputerSlept
    | ClockUnsure
    | ActRefused
    | SoundEvent
)

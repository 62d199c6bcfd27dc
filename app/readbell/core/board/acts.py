"""Acts that concern the bay rather than one cartridge."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.cartridge.acts import (
    ActOnCartridge,
    CorrectReading,
    DoStep,
    DoSteps,
    Label,
    Look,
    Read,
    StateApplication,
    TakeBackStep,
    Void,
)
from readbell.core.cartridge.unverified import ReadUnverified
from readbell.core.climate.acts import ClimateAct, FailThermometer, NoteTemperature
from readbell.core.controls.acts import NAMES as SAMPLE_NAMES
from readbell.core.controls.acts import SampleAct
from readbell.core.exports.acts import NAMES as EXPORT_NAMES
from readbell.core.exports.acts import NoteExport
from readbell.core.keeping.acts import KEEPING_NAMES, KeepingAct
from readbell.core.made_later import dataclass
from readbell.core.paper.acts import EnterPaperRun
from readbell.core.people.acts import NAMES as PATIENT_NAMES
from readbell.core.people.acts import PatientAct
from readbell.core.practice.acts import PRACTICE_NAMES, PracticeAct
from readbell.core.results.telling import TELLING_NAMES, TellResult
from readbell.core.review.acts import AmendResult, ReleaseReading, ReviewAct, WithdrawResult
from readbell.core.shift.acts import SHIFT_NAMES, ShiftAct
from readbell.core.staff.acts import (
    GiveRoles,
    LockStation,
    OpenRecord,
    RetireOperator,
    SetPin,
    SignIn,
    SignOut,
    StaffAct,
    StateCompetence,
    UnlockOperator,
)
from readbell.core.starts.acts import STARTS_NAMES, StartsAct
from readbell.core.stations.acts import STATIONS_NAMES, StationsAct
from readbell.core.stock.acts import NAMES as STOCK_NAMES
from readbell.core.stock.acts import StockAct

if TYPE_CHECKING:
    from datetime import date

    from readbell.core.assay.assay import Assay
    from readbell.core.assay.events import Basis
    from readbell.core.board.events import MuteReason
    from readbell.core.instant import Span
    from readbell.core.people.particulars import Particular
    from readbell.core.private import Private


@dataclass(frozen=True, slots=True, kw_only=True)
class AdoptAssay:
    """Take an assay into use, after it was checked against the kit's instructions."""

    by: str | None = field(repr=False)
    assay: Assay
    content_hash: str
    basis: Basis
    instructions_version: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RegisterOperator:
    """Let somebody act here; the first one registers himself."""

    by: str | None = field(repr=False)
    operator: Private


@dataclass(frozen=True, slots=True, kw_only=True)
class RegisterPerson:
    """Enter somebody who is to be tested."""

    by: str | None = field(repr=False)
    person: Private
    particulars: tuple[tuple[Particular, Private], ...] = ()
    """What they are known by or reached by beside the ID."""
    today: date | None = None
    """The site's date, where a day of birth is among them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RegisterParty:
    """Enter people who come together, in the order in which they are to be tested."""

    by: str | None = field(repr=False)
    party: Private
    """What the site calls them: a plate, a name, a number."""
    persons: tuple[Private, ...]
    """Who is not known yet is registered with them, under the key given here."""
    lane: Private | None = None
    """Where they wait, in the site's own words."""
    note: Private | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ReceiveLot:
    """Enter a batch of kits."""

    by: str | None = field(repr=False)
    number: str
    assay: str
    """The assay's id, adopted before."""
    expires: date
    units: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldLot:
    """Stop new cartridges from being taken from a lot."""

    by: str = field(repr=False)
    lot: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenLot:
    """Open a box at the bench; it is offered for each new cartridge until it is done with."""

    by: str = field(repr=False)
    lot: str
    today: date
    """The site's date, against which the lot's expiry is held."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HearAlert:
    """Say that a cartridge's sound was heard: it rests for a while, its mark stays."""

    by: str | None = field(repr=False)
    """None: somebody at a station where nobody is signed in."""
    cartridge: str = field(repr=False)
    """The label on the plastic: one is heard at a time, by its name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MuteSound:
    """Let nothing sound for a while."""

    by: str = field(repr=False)
    reason: MuteReason
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Unmute:
    """Give the sound back before its mute times out."""

    by: str = field(repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class TryAlarm:
    """Say whether the alarm was heard when it was sounded as a test."""

    by: str = field(repr=False)
    heard: bool


SoundAct = HearAlert | MuteSound | Unmute | TryAlarm

Act = (
    ActOnCartridge
    | SoundAct
    | AdoptAssay
    | RegisterOperator
    | RegisterPerson
    | RegisterParty
    | ReceiveLot
    | HoldLot
    | OpenLot
    | StockAct
    | SampleAct
    | ClimateAct
    | PatientAct
    | EnterPaperRun
    | StaffAct
    | ReviewAct
    | ReadUnverified
    | StartsAct
    | ShiftAct
    | KeepingAct
    | PracticeAct
    | NoteExport
    | TellResult
    | StationsAct
)

NAMES: dict[type, str] = {
    **STARTS_NAMES,
    **STATIONS_NAMES,
    **SHIFT_NAMES,
    **KEEPING_NAMES,
    **PRACTICE_NAMES,
    **EXPORT_NAMES,
    **STOCK_NAMES,
    **SAMPLE_NAMES,
    **TELLING_NAMES,
    **PATIENT_NAMES,
    EnterPaperRun: "enter-paper",
    Label: "label",
    DoStep: "step",
    DoSteps: "steps",
    TakeBackStep: "take-back-step",
    Look: "look",
    Read: "read",
    CorrectReading: "correct-reading",
    Void: "void",
    StateApplication: "state-application",
    HoldLot: "hold-lot",
    HearAlert: "hear-alert",
    MuteSound: "mute",
    Unmute: "unmute",
    TryAlarm: "test-alarm",
    OpenLot: "open-lot",
    AdoptAssay: "adopt-assay",
    RegisterOperator: "register-operator",
    RegisterPerson: "register-person",
    RegisterParty: "register-party",
    ReceiveLot: "receive-lot",
    GiveRoles: "set-roles",
    RetireOperator: "retire-operator",
    SetPin: "set-pin",
    SignIn: "sign-in",
    SignOut: "sign-out",
    LockStation: "lock-station",
    UnlockOperator: "unlock-operator",
    StateCompetence: "state-competence",
    OpenRecord: "open-record",
    ReleaseReading: "release-reading",
    WithdrawResult: "withdraw-result",
    AmendResult: "amend-result",
    ReadUnverified: "read-unverified",
    NoteTemperature: "note-temperature",
    FailThermometer: "fail-thermometer",
}
"""What a near miss is recorded under; part of the record, never changed."""

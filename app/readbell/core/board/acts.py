"""Acts that concern the bay rather than one cartridge."""

from __future__ import annotations

from dataclasses import dataclass, field
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
    Void,
)

if TYPE_CHECKING:
    from datetime import date

    from readbell.core.assay.assay import Assay
    from readbell.core.assay.events import Basis
    from readbell.core.board.events import MuteReason
    from readbell.core.instant import Span
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


@dataclass(frozen=True, slots=True, kw_only=True)
class RegisterParty:
    """Enter people who come together, in the order in which they are to be tested."""

    by: str | None = field(repr=False)
    party: Private
    """What the site calls them: a plate, a name, a number."""
    persons: tuple[Private, ...]
    """Who is not known yet is registered with them, under the key given here."""


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

    by: str = field(repr=False)
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
)

NAMES: dict[type, str] = {
    Label: "label",
    DoStep: "step",
    DoSteps: "steps",
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
}
"""What a near miss is recorded under; part of the record, never changed."""

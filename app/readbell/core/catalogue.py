"""Every kind of event a journal may hold, with its stable name.

The names are part of the record: one is never changed or used again.
"""

from __future__ import annotations

from readbell.core.assay.events import AssayAdopted
from readbell.core.board.events import (
    ActRefused,
    AlarmTested,
    AlertHeard,
    BayFounded,
    ClockJumped,
    ClockUnsure,
    ComputerSlept,
    ProgramStarted,
    ProgramStopped,
    SoundMuted,
    SoundRestored,
)
from readbell.core.cartridge.events import (
    AlertRaised,
    ApplicationStated,
    CartridgeLabelled,
    CartridgeLapsed,
    CartridgeRead,
    CartridgeVoided,
    EarlyPositiveSeen,
    ReadingCorrected,
    StepDone,
)
from readbell.core.people.events import OperatorRegistered, PartyRegistered, PersonRegistered
from readbell.core.policy.events import PolicySet
from readbell.core.stock.events import LotHeld, LotOpened, LotReceived

NAMES: dict[type, str] = {
    BayFounded: "bay-founded",
    ProgramStarted: "program-started",
    ProgramStopped: "program-stopped",
    ClockJumped: "clock-jumped",
    ComputerSlept: "computer-slept",
    ClockUnsure: "clock-unsure",
    ActRefused: "act-refused",
    AssayAdopted: "assay-adopted",
    OperatorRegistered: "operator-registered",
    PersonRegistered: "person-registered",
    PartyRegistered: "party-registered",
    PolicySet: "policy-set",
    LotReceived: "lot-received",
    LotHeld: "lot-held",
    LotOpened: "lot-opened",
    CartridgeLabelled: "cartridge-labelled",
    StepDone: "step-done",
    EarlyPositiveSeen: "early-positive-seen",
    CartridgeRead: "cartridge-read",
    ReadingCorrected: "reading-corrected",
    CartridgeLapsed: "cartridge-lapsed",
    CartridgeVoided: "cartridge-voided",
    ApplicationStated: "application-stated",
    AlertRaised: "alert-raised",
    AlertHeard: "alert-heard",
    SoundMuted: "sound-muted",
    SoundRestored: "sound-restored",
    AlarmTested: "alarm-tested",
}

BY_NAME: dict[str, type] = {name: kind for kind, name in NAMES.items()}

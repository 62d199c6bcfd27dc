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
    ResultAmended,
    StepDone,
    StepTakenBack,
)
from readbell.core.climate.events import TemperatureNoted, ThermometerFailed
from readbell.core.controls.events import MaterialOpened, MaterialReceived, SampleJudged
from readbell.core.exports.events import ResultsExported
from readbell.core.keeping.events import ArchiveWritten, RecordErased, TraceOpened
from readbell.core.paper.events import PaperRunEntered
from readbell.core.people.events import (
    ConsentNoted,
    ConsentRefused,
    LabelledAhead,
    OperatorRegistered,
    ParticularNoted,
    PartyNoted,
    PartyRegistered,
    PersonLeft,
    PersonRegistered,
    SymptomsNoted,
)
from readbell.core.policy.events import PolicySet
from readbell.core.practice.events import (
    InterruptionAnswered,
    LeaptAhead,
    PracticeActed,
    PracticeBegun,
    SpeedSet,
)
from readbell.core.results.telling import ResultTold
from readbell.core.review.events import (
    MixUpFound,
    ReadingHeld,
    ReadingReleased,
    ResultWithdrawn,
)
from readbell.core.shift.events import DaySheetSigned, ShiftClosed, ShiftOpened
from readbell.core.staff.events import (
    CompetenceStated,
    OperatorRetired,
    OperatorUnlocked,
    PinSet,
    RecordOpened,
    RolesGiven,
    SignedIn,
    SignedOut,
    StartSupervised,
    StationLocked,
)
from readbell.core.starts.events import PlanDropped, PlanLoaded
from readbell.core.stations.events import (
    ActKeptApart,
    ApartSettled,
    CartridgeHeld,
    JoinedUp,
    StationGivenUp,
    StationJoined,
    StationLeft,
)
from readbell.core.stock.events import (
    BoxBegun,
    BufferUsed,
    GtinTied,
    LotCorrected,
    LotDelivered,
    LotDescribed,
    LotDoubted,
    LotHeld,
    LotOpened,
    LotPutBack,
    LotRecalled,
    LotReceived,
    LotReleased,
    LotTakenOut,
    UnitsCounted,
    UnitsLost,
)

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
    ParticularNoted: "particular-noted",
    ConsentNoted: "consent-noted",
    ConsentRefused: "consent-refused",
    SymptomsNoted: "symptoms-noted",
    PartyNoted: "party-noted",
    LabelledAhead: "labelled-ahead",
    PersonLeft: "person-left",
    PaperRunEntered: "paper-run-entered",
    PolicySet: "policy-set",
    TemperatureNoted: "temperature-noted",
    ThermometerFailed: "thermometer-failed",
    LotReceived: "lot-received",
    LotHeld: "lot-held",
    LotOpened: "lot-opened",
    LotDelivered: "lot-delivered",
    LotDescribed: "lot-described",
    GtinTied: "gtin-tied",
    BoxBegun: "box-begun",
    LotTakenOut: "lot-taken-out",
    LotPutBack: "lot-put-back",
    UnitsLost: "units-lost",
    UnitsCounted: "units-counted",
    LotRecalled: "lot-recalled",
    LotReleased: "lot-released",
    LotCorrected: "lot-corrected",
    LotDoubted: "lot-doubted",
    BufferUsed: "buffer-used",
    MaterialReceived: "material-received",
    MaterialOpened: "material-opened",
    SampleJudged: "sample-judged",
    CartridgeLabelled: "cartridge-labelled",
    StepDone: "step-done",
    StepTakenBack: "step-taken-back",
    EarlyPositiveSeen: "early-positive-seen",
    CartridgeRead: "cartridge-read",
    ReadingCorrected: "reading-corrected",
    ResultAmended: "result-amended",
    CartridgeLapsed: "cartridge-lapsed",
    CartridgeVoided: "cartridge-voided",
    ApplicationStated: "application-stated",
    AlertRaised: "alert-raised",
    AlertHeard: "alert-heard",
    SoundMuted: "sound-muted",
    SoundRestored: "sound-restored",
    AlarmTested: "alarm-tested",
    PlanLoaded: "plan-loaded",
    PlanDropped: "plan-dropped",
    RolesGiven: "roles-given",
    OperatorRetired: "operator-retired",
    PinSet: "pin-set",
    SignedIn: "signed-in",
    SignedOut: "signed-out",
    StationLocked: "station-locked",
    OperatorUnlocked: "operator-unlocked",
    CompetenceStated: "competence-stated",
    StartSupervised: "start-supervised",
    RecordOpened: "record-opened",
    ReadingHeld: "reading-held",
    ReadingReleased: "reading-released",
    ResultWithdrawn: "result-withdrawn",
    MixUpFound: "mix-up-found",
    ResultTold: "result-told",
    ShiftOpened: "shift-opened",
    ShiftClosed: "shift-closed",
    DaySheetSigned: "day-sheet-signed",
    TraceOpened: "trace-opened",
    ArchiveWritten: "archive-written",
    RecordErased: "record-erased",
    ResultsExported: "results-exported",
    PracticeBegun: "practice-begun",
    InterruptionAnswered: "interruption-answered",
    PracticeActed: "practice-acted",
    SpeedSet: "speed-set",
    LeaptAhead: "leapt-ahead",
    StationJoined: "station-joined",
    StationLeft: "station-left",
    CartridgeHeld: "cartridge-held",
    StationGivenUp: "station-given-up",
    ActKeptApart: "act-kept-apart",
    ApartSettled: "apart-settled",
    JoinedUp: "joined-up",
}

BY_NAME: dict[str, type] = {name: kind for kind, name in NAMES.items()}

VERSIONS: dict[str, int] = {"step-done": 2}
"""Present version of each kind's shape; 1 where none is given. `journal/upcast.py` lifts old ones."""

"""Each kind of event has one name for ever, or old journals can no longer be read."""

from __future__ import annotations

from typing import get_args

from readbell.core.board.event import Event
from readbell.core.catalogue import BY_NAME, NAMES

# Written out once more on purpose: a name may be added, never changed, dropped or used again.
NAMES_IN_JOURNALS = {
    "ActRefused": "act-refused",
    "AlarmTested": "alarm-tested",
    "AlertHeard": "alert-heard",
    "AlertRaised": "alert-raised",
    "ApplicationStated": "application-stated",
    "AssayAdopted": "assay-adopted",
    "BayFounded": "bay-founded",
    "CartridgeLabelled": "cartridge-labelled",
    "CartridgeLapsed": "cartridge-lapsed",
    "CartridgeRead": "cartridge-read",
    "CartridgeVoided": "cartridge-voided",
    "CompetenceStated": "competence-stated",
    "OperatorRetired": "operator-retired",
    "OperatorUnlocked": "operator-unlocked",
    "PinSet": "pin-set",
    "ReadingHeld": "reading-held",
    "ResultsExported": "results-exported",
    "ReadingReleased": "reading-released",
    "RecordOpened": "record-opened",
    "ArchiveWritten": "archive-written",
    "RecordErased": "record-erased",
    "TraceOpened": "trace-opened",
    "ResultWithdrawn": "result-withdrawn",
    "ResultAmended": "result-amended",
    "MixUpFound": "mix-up-found",
    "RolesGiven": "roles-given",
    "SignedIn": "signed-in",
    "SignedOut": "signed-out",
    "StartSupervised": "start-supervised",
    "StationLocked": "station-locked",
    "ClockJumped": "clock-jumped",
    "ClockUnsure": "clock-unsure",
    "ComputerSlept": "computer-slept",
    "EarlyPositiveSeen": "early-positive-seen",
    "LotHeld": "lot-held",
    "LotOpened": "lot-opened",
    "LotReceived": "lot-received",
    "OperatorRegistered": "operator-registered",
    "PartyRegistered": "party-registered",
    "PlanDropped": "plan-dropped",
    "PlanLoaded": "plan-loaded",
    "PersonRegistered": "person-registered",
    "ProgramStarted": "program-started",
    "ProgramStopped": "program-stopped",
    "ReadingCorrected": "reading-corrected",
    "SoundMuted": "sound-muted",
    "SoundRestored": "sound-restored",
    "StepDone": "step-done",
    "StationJoined": "station-joined",
    "StationLeft": "station-left",
    "StationGivenUp": "station-given-up",
    "CartridgeHeld": "cartridge-held",
    "ActKeptApart": "act-kept-apart",
    "ApartSettled": "apart-settled",
    "JoinedUp": "joined-up",
    "BoxBegun": "box-begun",
    "BufferUsed": "buffer-used",
    "GtinTied": "gtin-tied",
    "LotCorrected": "lot-corrected",
    "LotDelivered": "lot-delivered",
    "LotDescribed": "lot-described",
    "LotDoubted": "lot-doubted",
    "LotPutBack": "lot-put-back",
    "LotRecalled": "lot-recalled",
    "LotReleased": "lot-released",
    "LotTakenOut": "lot-taken-out",
    "MaterialOpened": "material-opened",
    "MaterialReceived": "material-received",
    "SampleJudged": "sample-judged",
    "UnitsCounted": "units-counted",
    "UnitsLost": "units-lost",
}


def test_every_event_a_board_takes_has_a_name() -> None:
    """An event without one could be decided and not be written down."""
    assert set(NAMES) == set(get_args(Event))


def test_names_that_stand_in_journals_never_change() -> None:
    """A journal of last year says what it said then."""
    held = {kind.__name__: name for kind, name in NAMES.items()}

    assert held.items() >= NAMES_IN_JOURNALS.items()


def test_a_name_leads_back_to_its_kind_alone() -> None:
    """Two kinds of one name would read back as one."""
    assert len(BY_NAME) == len(NAMES)
    assert all(BY_NAME[name] is kind for kind, name in NAMES.items())

"""Every kind of event has a line of whole words: for a log, and for a screen reader."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date
from itertools import cycle
from typing import TYPE_CHECKING

import pytest

from builders import CLEAR, NASAL, NEGATIVE, Bench, at, private, span
from phrases.export_kinds import EXPORT_EVENTS
from phrases.keeping_kinds import KEEPING_EVENTS
from phrases.patient_kinds import PATIENT_EVENTS
from phrases.shift_kinds import SHIFT_EVENTS
from phrases.staff_kinds import STAFF_EVENTS
from phrases.station_kinds import STATION_EVENTS
from phrases.stock_events import EVENTS as OF_STOCK
from phrases.telling_kinds import TELLING_EVENTS
from readbell.assays.content_hash import content_hash
from readbell.core.assay.events import AssayAdopted, Basis
from readbell.core.assay.reading_rules import SecondReader
from readbell.core.board.acts import NAMES as ACTS
from readbell.core.board.events import (
    ActRefused,
    AlarmTested,
    AlertHeard,
    BayFounded,
    ClockJumped,
    ClockUnsure,
    ComputerSlept,
    Ending,
    Mode,
    MuteReason,
    ProgramStarted,
    ProgramStopped,
    SoundMuted,
    SoundRestored,
)
from readbell.core.cartridge.events import (
    AlertKind,
    AlertRaised,
    ApplicationStated,
    CartridgeLabelled,
    CartridgeLapsed,
    CartridgeRead,
    CartridgeVoided,
    Deviation,
    EarlyPositiveSeen,
    Identified,
    ReadingCorrected,
    ReadingKind,
    SlipReason,
    StepDone,
    StepTakenBack,
    SubjectKind,
    TakeBackReason,
    VoidReason,
)
from readbell.core.cartridge.moment import stated, timed
from readbell.core.catalogue import NAMES
from readbell.core.climate.events import (
    Source,
    TemperatureNoted,
    ThermometerFailed,
    ThermometerFault,
    Where,
)
from readbell.core.instant import Span, earlier
from readbell.core.people.events import OperatorRegistered, PartyRegistered, PersonRegistered
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import UNDECIDED
from readbell.core.practice.assist import Assist
from readbell.core.practice.events import (
    InterruptionAnswered,
    LeaptAhead,
    PracticeActed,
    PracticeBegun,
    SpeedSet,
)
from readbell.core.private import Private
from readbell.core.reading.interpretation import LineOutcome, Outcome
from readbell.core.refusal import RefusalCode
from readbell.core.starts.events import PlanDropped, PlanLoaded, PlannedStart
from readbell.core.stock.events import LotHeld, LotOpened, LotReceived
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.of_bay import tell

if TYPE_CHECKING:
    from phrases.conftest import Properly
    from readbell.core.board.board import Board
    from readbell.core.board.event import Event

FACE = ClockFace(zone=UTC)
LINE = "sars-cov-2"
NOW = at("18:00")
SURE = Identified()


@pytest.fixture
def board() -> Board:
    """A board on which C1 develops since 2:30."""
    bench = Bench()
    bench.to_well()
    return bench.board


def label() -> CartridgeLabelled:
    """The start of C1."""
    return CartridgeLabelled(
        at=NOW,
        by="key-op-1",
        cartridge="id-C1",
        label="C1",
        subject="key-P-001",
        subject_kind=SubjectKind.PATIENT,
        lot="L-100",
        assay=content_hash(NASAL),
        repeat_of=None,
        identified=SURE,
        warnings=(),
    )


def step(key: str, *deviations: Deviation) -> StepDone:
    """A step of C1."""
    return StepDone(
        at=NOW,
        by="key-op-1",
        cartridge="id-C1",
        step=key,
        done=timed(NOW),
        deviations=deviations,
        specimen=None,
        identified=SURE,
    )


def taken_back(reason: TakeBackReason, *steps: str) -> StepTakenBack:
    """Steps of C1 that had not been done."""
    return StepTakenBack(
        at=NOW,
        by="key-op-1",
        cartridge="id-C1",
        steps=steps,
        reason=reason,
        identified=SURE,
    )


def read(outcome: Outcome) -> CartridgeRead:
    """A reading of C1."""
    return CartridgeRead(
        at=NOW,
        by="key-op-1",
        cartridge="id-C1",
        bands=NEGATIVE,
        outcomes=(LineOutcome(line=LINE, outcome=outcome),),
        outcome=outcome,
        ordinal=1,
        kind=ReadingKind.WINDOW,
        identified=SURE,
    )


def corrected(reason: SlipReason) -> ReadingCorrected:
    """C1's reading, mended."""
    return ReadingCorrected(
        at=NOW,
        by="key-op-1",
        cartridge="id-C1",
        bands=CLEAR,
        outcomes=(LineOutcome(line=LINE, outcome=Outcome.POSITIVE),),
        outcome=Outcome.POSITIVE,
        reason=reason,
        identified=SURE,
    )


def came(party: Private) -> PartyRegistered:
    """Two people who came together, one of them forgotten since."""
    return PartyRegistered(at=NOW, by=None, party=party, persons=("key-P-001", "key-gone"))


def lapsed(outcome: Outcome) -> CartridgeLapsed:
    """The close of C1's window, unread."""
    return CartridgeLapsed(
        at=NOW,
        cartridge="id-C1",
        outcomes=(LineOutcome(line=LINE, outcome=outcome),),
        outcome=outcome,
    )


def voided(reason: VoidReason) -> CartridgeVoided:
    """C1 given up."""
    return CartridgeVoided(
        at=NOW,
        by="key-op-1",
        cartridge="id-C1",
        reason=reason,
        words=None,
        identified=SURE,
    )


def alert(kind: AlertKind, late: str = "0:00") -> AlertRaised:
    """An alert of C1 that was due so long before it was announced."""
    return AlertRaised(
        at=NOW,
        cartridge="id-C1",
        alert=kind,
        due=earlier(NOW, span(late)),
        step="extract" if kind in (AlertKind.WAIT_OVER, AlertKind.OVERDUE) else "",
    )


def refused(act: str, code: RefusalCode) -> ActRefused:
    """A near miss."""
    return ActRefused(
        at=NOW, by=None, act=act, code=code, cartridge="id-C1", entered=None, bands=None
    )


EVENTS: list[Event] = [
    BayFounded(at=NOW, bay="Harrow Quay", timezone="Europe/London", mode=Mode.LIVE),
    BayFounded(at=NOW, bay="Harrow Quay", timezone="Europe/London", mode=Mode.REHEARSAL),
    ProgramStarted(at=NOW, clean=False, away=span("3:00"), running=2),
    *(ProgramStopped(at=NOW, why=why) for why in Ending),
    ClockJumped(at=NOW, by_span=span("1:30"), cartridges=("id-C1",)),
    ClockJumped(at=NOW, by_span=Span(-90_000), cartridges=()),
    ComputerSlept(at=NOW, span=span("3:00"), cartridges=("id-C1",)),
    ClockUnsure(at=NOW, cartridges=("id-C1",)),
    *(refused(act, code) for act, code in zip(cycle(ACTS.values()), RefusalCode, strict=False)),
    *(
        AssayAdopted(
            at=NOW,
            by=None,
            assay=NASAL,
            content_hash="",
            basis=basis,
            instructions_version="v1",
        )
        for basis in Basis
    ),
    OperatorRegistered(at=NOW, by=None, operator=private("op-9")),
    OperatorRegistered(at=NOW, by=None, operator=Private(key="k", salt="", value=None)),
    PersonRegistered(at=NOW, by=None, person=private("P-9")),
    PersonRegistered(at=NOW, by=None, person=Private(key="k", salt="", value=None)),
    LotReceived(at=NOW, by=None, number="L-9", assay="", expires=date(2027, 1, 31), units=None),
    LotReceived(at=NOW, by=None, number="L-9", assay="", expires=date(2027, 1, 31), units=20),
    PolicySet(at=NOW, policy=UNDECIDED),
    *STAFF_EVENTS,
    *STATION_EVENTS,
    *EXPORT_EVENTS,
    *SHIFT_EVENTS,
    *KEEPING_EVENTS,
    *PATIENT_EVENTS,
    *TELLING_EVENTS,
    *(
        TemperatureNoted(
            at=NOW,
            by=None,
            where=where,
            celsius=33.0,
            source=Source.PIPED,
            outside=outside,
            touched=("id-C1",),
        )
        for where in Where
        for outside in ((), (content_hash(NASAL),))
    ),
    PlanLoaded(
        at=NOW,
        by="key-op-1",
        assay=content_hash(NASAL),
        starts=(PlannedStart(after=Span(0), operator=1),),
        ends=Span(1_095_000),
    ),
    PlanDropped(at=NOW, by="key-op-1"),
    *(
        PracticeBegun(at=NOW, scenario="ab", title="Two", assist=assist, trainee=None)
        for assist in Assist
    ),
    InterruptionAnswered(at=NOW, by=None, number=1, answer=private("L-100")),
    PracticeActed(at=NOW, done=NOW, line=private("{}")),
    *(SpeedSet(at=NOW, speed=speed) for speed in (0, 1, 20)),
    LeaptAhead(at=NOW, by_span=span("1:00")),
    *(ThermometerFailed(at=NOW, where=Where.BAY, fault=fault) for fault in ThermometerFault),
    LotHeld(at=NOW, by=None, number="L-9"),
    LotOpened(at=NOW, by="key-op-1", number="L-9"),
    came(private("car 12")),
    came(Private(key="k", salt="", value=None)),
    label(),
    step("buffer"),
    step("extract"),
    step("withdraw", Deviation(code="extract-long", span=span("3:10.900"))),
    step("withdraw", Deviation(code="extract-short", span=span("0:50"))),
    step("apply"),
    replace(step("extract"), together=True),
    EarlyPositiveSeen(
        at=NOW,
        by="key-op-1",
        cartridge="id-C1",
        bands=CLEAR,
        lines=(LINE,),
        ordinal=1,
        kind=ReadingKind.EARLY,
        identified=SURE,
    ),
    *(read(outcome) for outcome in Outcome),
    *(replace(read(outcome), second=SecondReader.ALL) for outcome in Outcome),
    *(replace(read(outcome), kind=ReadingKind.SECOND) for outcome in Outcome),
    *(corrected(reason) for reason in SlipReason),
    *(taken_back(reason, "apply") for reason in TakeBackReason),
    taken_back(TakeBackReason.NOT_DONE, "withdraw", "apply"),
    *(lapsed(outcome) for outcome in (Outcome.INVALID, Outcome.POSITIVE)),
    *(voided(reason) for reason in VoidReason),
    ApplicationStated(
        at=NOW,
        by="key-op-1",
        witness="key-op-2",
        cartridge="id-C1",
        done=stated(at("2:30"), Span(0), not_before=at("0:00"), recorded=NOW),
    ),
    *(alert(kind) for kind in AlertKind),
    *(AlertHeard(at=NOW, by="key-op-1", cartridge="id-C1", alert=kind) for kind in AlertKind),
    *(SoundMuted(at=NOW, by="key-op-1", reason=reason, until=at("20:00")) for reason in MuteReason),
    SoundRestored(at=NOW, by="key-op-1"),
    *(AlarmTested(at=NOW, by="key-op-1", heard=heard) for heard in (True, False)),
    *(alert(kind, late="0:07") for kind in AlertKind),
]


def name(event: Event) -> str:
    """What a case is called."""
    inner = [getattr(event, part, "") for part in ("reason", "alert", "act", "code")]
    return " ".join([NAMES[type(event)], *map(str, filter(None, inner))])


def test_no_kind_of_event_is_forgotten() -> None:
    """Whatever a journal may hold, somebody may have to read aloud."""
    assert {type(event) for event in (*EVENTS, *OF_STOCK)} == set(NAMES)


@pytest.mark.parametrize("event", EVENTS, ids=name)
def test_each_event_is_told_in_whole_sentences_without_codes(
    event: Event, board: Board, properly: Properly
) -> None:
    """Codes are for the record; the words are for whoever stands at the bench."""
    assert properly(tell(event, board, FACE)) >= 1


def test_a_jump_back_is_told_with_its_sign(board: Board) -> None:
    """Back and forth are different troubles."""
    event = ClockJumped(at=NOW, by_span=Span(-90_000), cartridges=("id-C1",))

    assert tell(event, board, FACE) == (
        "The wall clock jumped by -1:30. Countdowns are not touched. Look at C1."
    )


@pytest.mark.parametrize(
    ("by", "shown"),
    [(1_500, "0:01"), (-1_500, "-0:01"), (2_000, "0:02"), (-2_000, "-0:02")],
)
def test_a_jump_is_rounded_towards_nothing_either_way(board: Board, by: int, shown: str) -> None:
    """No second is claimed that the clock was not moved, forward or back."""
    event = ClockJumped(at=NOW, by_span=Span(by), cartridges=())

    assert tell(event, board, FACE).startswith(f"The wall clock jumped by {shown}. ")


def test_sleep_names_what_is_to_be_looked_at(board: Board) -> None:
    """By the label on the plastic, not by an id."""
    event = ComputerSlept(at=NOW, span=span("3:00"), cartridges=("id-C1",))

    assert tell(event, board, FACE) == (
        "This computer slept 3:00 and no alarm could ring. Look at C1."
    )


def test_an_erased_person_is_called_erased(board: Board) -> None:
    """Whoever was forgotten stays forgotten, and the line still reads."""
    event = PersonRegistered(at=NOW, by=None, person=Private(key="k", salt="", value=None))

    assert tell(event, board, FACE) == "Person erased registered."


def test_a_party_is_told_in_the_order_of_its_turns(board: Board) -> None:
    """Whoever reads it aloud calls people in that order."""
    assert tell(came(private("car 12")), board, FACE) == (
        "Party car 12 registered, in this order: P-001, erased."
    )

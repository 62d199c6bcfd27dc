"""Any acts at any time: what Hypothesis plays on the bench, sensible or not."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from hypothesis import strategies as st

from builders import (
    CLEAR,
    FAINT,
    NASAL,
    NEGATIVE,
    NO_CONTROL,
    SMEAR,
    START,
    THREE_LINES,
    TODAY,
    Bench,
    bands,
    private,
)
from core.any_stock_acts import stock_acts
from readbell.core.assay.events import Basis
from readbell.core.board.acts import (
    Act,
    AdoptAssay,
    HearAlert,
    HoldLot,
    MuteSound,
    OpenLot,
    ReceiveLot,
    RegisterOperator,
    RegisterParty,
    RegisterPerson,
    TryAlarm,
    Unmute,
)
from readbell.core.board.decide import decide
from readbell.core.board.events import ClockUnsure, MuteReason
from readbell.core.board.fold import fold
from readbell.core.cartridge.acts import (
    Aim,
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
from readbell.core.cartridge.due import alerts_to_come
from readbell.core.cartridge.events import (
    AlertKind,
    AlertRaised,
    SlipReason,
    TakeBackReason,
    VoidReason,
)
from readbell.core.cartridge.looks import lapse
from readbell.core.cartridge.unverified import ReadUnverified
from readbell.core.instant import Instant, Span, later
from readbell.core.reading.bands import Bands
from readbell.core.refusal import Refusal
from readbell.core.results.telling import Channel, Hearer, TellResult
from readbell.core.review.acts import AmendResult, ReleaseReading, WithdrawResult
from readbell.core.review.reasons import AmendReason, WithdrawReason
from readbell.core.staff.acts import OpenRecord, PinCheck, SignIn, SignOut, StateCompetence
from readbell.core.staff.events import Opened
from readbell.core.starts.acts import DropPlan, LoadPlan
from readbell.core.starts.events import PlannedBreak, PlannedStart

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from readbell.core.board.board import Board
    from readbell.core.board.event import Event

BENCH = Bench(units=3).board
"""The board that every play begins with; a value, so that all plays may share it."""

LABELS = ("C1", "C2", "C3", "C4")
OPERATORS = st.sampled_from(["op-1"] * 6 + ["op-2", "nobody"])
TIMES = st.integers(0, 40 * 60_000).map(lambda elapsed: later(START, Span(elapsed)))
DOUBTS = st.sampled_from([0, 1, 10_000, 150_000, 150_001, 600_000]).map(Span)
SEEN = st.sampled_from(
    [NEGATIVE, FAINT, CLEAR, NO_CONTROL, SMEAR, Bands(), bands(influenza_a="clear")]
)
AIMS = st.builds(
    Aim,
    by=OPERATORS,
    cartridge=st.sampled_from(LABELS),
    scanned=st.sampled_from([None, None, None, "C1", "C9"]),
    person=st.sampled_from([None, "P-001", "P-001", "P-002", "P-404"]),
)
STEPS = st.sampled_from([step.key for step in NASAL.steps] + ["incubate"])
ACTS: st.SearchStrategy[Act] = st.one_of(
    stock_acts(OPERATORS, AIMS, st.sampled_from(LABELS)),
    AIMS.flatmap(
        lambda aim: st.builds(
            Label,
            aim=st.just(aim),
            new_id=st.just(f"id-{aim.cartridge}"),
            lot=st.sampled_from(["L-100", "L-100", "L-200", "L-404"]),
            today=st.sampled_from([TODAY, TODAY, date(2027, 1, 1)]),
        )
    ),
    st.builds(
        DoStep,
        aim=AIMS,
        step=STEPS,
        new_specimen=st.just("specimen"),
        done_at=st.none() | TIMES,
        give_or_take=DOUBTS,
    ),
    st.builds(
        DoSteps,
        aim=AIMS,
        steps=st.lists(STEPS, max_size=3).map(tuple)
        | st.just(("buffer", "collect", "extract"))
        | st.just(("withdraw", "apply")),
        new_specimen=st.just("specimen"),
        done_at=st.none() | TIMES,
        give_or_take=DOUBTS,
    ),
    st.builds(TakeBackStep, aim=AIMS, step=STEPS, reason=st.sampled_from(TakeBackReason)),
    st.builds(CorrectReading, aim=AIMS, bands=SEEN, reason=st.sampled_from(SlipReason)),
    st.builds(Look, aim=AIMS, bands=SEEN),
    st.builds(Read, aim=AIMS, bands=SEEN),
    st.builds(Void, aim=AIMS, reason=st.sampled_from(VoidReason)),
    st.builds(
        ReadUnverified,
        aim=AIMS.map(lambda aim: replace(aim, by="")),
        bands=SEEN,
        name=st.just(private("A. Name")),
    ),
    st.builds(
        ReleaseReading,
        by=OPERATORS,
        cartridge=st.sampled_from(LABELS),
        words=st.sampled_from(["seen", ""]).map(private),
    ),
    st.builds(
        WithdrawResult,
        by=OPERATORS,
        cartridge=st.sampled_from(LABELS),
        reason=st.sampled_from(WithdrawReason),
        words=st.just(private("swapped")),
    ),
    st.builds(
        AmendResult,
        by=OPERATORS,
        cartridge=st.sampled_from(LABELS),
        bands=SEEN,
        reason=st.sampled_from(AmendReason),
        words=st.sampled_from(["overlooked", ""]).map(private),
    ),
    st.builds(
        TellResult,
        by=OPERATORS,
        cartridge=st.sampled_from(LABELS),
        to=st.sampled_from(Hearer),
        how=st.sampled_from(Channel),
        since=st.just(START),
        person=st.sampled_from([None, "P-001", "P-404"]),
    ),
    st.builds(SignIn, by=OPERATORS, pin=st.sampled_from(PinCheck)),
    st.builds(SignOut, by=OPERATORS),
    st.builds(
        StateCompetence,
        by=OPERATORS,
        operator=OPERATORS,
        assay=st.sampled_from([NASAL.id, "other"]),
        until=st.just(date(2026, 12, 31)),
    ),
    st.builds(
        OpenRecord,
        by=OPERATORS,
        person=st.sampled_from(["P-001", "P-404"]),
        what=st.just(Opened.HISTORY),
        since=st.just(START),
    ),
    st.builds(StateApplication, aim=AIMS, witness=OPERATORS, done_at=TIMES, give_or_take=DOUBTS),
    st.builds(
        LoadPlan,
        by=OPERATORS,
        assay=st.sampled_from([NASAL.id, "another"]),
        starts=st.lists(
            st.builds(
                PlannedStart,
                after=st.integers(0, 9).map(lambda each: Span(each * 60_000)),
                operator=st.integers(1, 3),
            ),
            max_size=3,
        ).map(tuple),
        ends=st.just(Span(600_000)),
        breaks=st.lists(
            st.builds(
                PlannedBreak,
                operator=st.integers(0, 3),
                since=st.integers(0, 5).map(lambda each: Span(each * 60_000)),
                until=st.integers(0, 9).map(lambda each: Span(each * 60_000)),
            ),
            max_size=2,
        ).map(tuple),
    ),
    st.builds(DropPlan, by=OPERATORS),
    st.builds(HoldLot, by=OPERATORS, lot=st.sampled_from(["L-100", "L-200", "L-404"])),
    st.builds(
        OpenLot,
        by=OPERATORS,
        lot=st.sampled_from(["L-100", "L-200", "L-404"]),
        today=st.sampled_from([TODAY, date(2027, 1, 1)]),
    ),
    st.builds(
        RegisterParty,
        by=st.none() | OPERATORS,
        party=st.sampled_from(["car 1", "car 2"]).map(private),
        persons=st.lists(st.sampled_from(["P-001", "P-003", "P-004"]).map(private), max_size=3).map(
            tuple
        ),
    ),
    st.builds(HearAlert, by=OPERATORS, cartridge=st.sampled_from(LABELS)),
    st.builds(
        MuteSound,
        by=OPERATORS,
        reason=st.sampled_from(MuteReason),
        span=st.sampled_from([0, 1, 60_000, 600_000, 600_001]).map(Span),
    ),
    st.builds(Unmute, by=OPERATORS),
    st.builds(TryAlarm, by=OPERATORS, heard=st.booleans()),
    st.builds(
        RegisterOperator,
        by=st.none() | OPERATORS,
        operator=st.sampled_from(["op-2", "op-3"]).map(private),
    ),
    st.builds(
        RegisterPerson,
        by=st.none() | OPERATORS,
        person=st.sampled_from(["P-001", "P-003"]).map(private),
    ),
    st.builds(
        AdoptAssay,
        by=st.none() | OPERATORS,
        assay=st.sampled_from([NASAL, THREE_LINES]),
        content_hash=st.sampled_from(["hash-1", "hash-2"]),
        basis=st.sampled_from(Basis),
        instructions_version=st.sampled_from(["", "1"]),
    ),
    st.builds(
        ReceiveLot,
        by=st.none() | OPERATORS,
        number=st.sampled_from(["L-100", "L-200"]),
        assay=st.sampled_from([NASAL.id, THREE_LINES.id]),
        expires=st.just(date(2026, 12, 31)),
        units=st.sampled_from([None, 0, 2]),
    ),
)

DOUBTED = "the clock is in doubt"
SENSIBLE = st.sampled_from(
    ["on with C1"] * 8
    + ["on with C2"] * 4
    + ["on with C3", "look C1", "look C2", "back C1", "state C1", "tell C1", "tell C2", DOUBTED]
)
"""What somebody does who knows what they are doing; the board says how."""

# Mostly sensible, or hardly any cartridge would come as far as its window.
MOVES: st.SearchStrategy[Act | str] = st.integers(0, 4).flatmap(
    lambda drawn: ACTS if drawn == 0 else SENSIBLE
)
Plan = list[tuple[int, Act | str]]
"""Milliseconds to wait, and then what to do, again and again."""

TO_THE_WELL: Plan = [*[(0, "on with C1")] * 4, *[(60_000, "on with C1")] * 2]
OPENINGS: list[Plan] = [[], TO_THE_WELL, [*TO_THE_WELL, (120_000, "look C1")]]
PLANS: st.SearchStrategy[Plan] = st.builds(
    lambda opening, moves: [*opening, *moves],
    st.sampled_from(OPENINGS),
    st.lists(
        st.tuples(
            st.sampled_from([0, 0, 1, 1_000, 60_000, 60_000, 120_000, 180_001, 780_000, 900_000]),
            MOVES,
        ),
        min_size=4,
        max_size=24,
    ),
)


def sensible(board: Board, move: str, now: Instant) -> Act:
    """Return the act that `move` stands for on `board`, aimed and filled in rightly."""
    kind, label = move[:-3], move[-2:]
    aim = Aim(by="op-1", cartridge=label)
    found = board.labelled(label)
    if found is None:
        return Label(
            aim=replace(aim, person="P-001"), new_id=f"id-{label}", lot="L-100", today=TODAY
        )
    if kind == "look":
        return Look(aim=aim, bands=FAINT)
    if kind == "tell":
        return TellResult(
            by="op-1", cartridge=label, to=Hearer.PERSON, how=Channel.SPOKEN, since=START
        )
    if kind == "back":
        step = found.last_mark.step
        return TakeBackStep(aim=aim, step=step, reason=TakeBackReason.PRESSED_TOO_EARLY)
    if kind == "state":
        return StateApplication(aim=aim, witness="op-2", done_at=now, give_or_take=Span(200_000))
    if found.next_step is not None:
        return DoStep(aim=aim, step=found.next_step.key, new_specimen=f"specimen-{label}")
    return Read(aim=aim, bands=NEGATIVE if found.ordinal % 2 else CLEAR)


def as_time_passes(board: Board, until: Instant) -> Iterator[Event]:
    """Yield what a bay records by itself before `until`: alerts, and the lapses they tell of."""
    alerts = (alert for each in board.running.values() for alert in alerts_to_come(each))
    for alert in sorted(alerts, key=lambda alert: alert.order):
        if alert.due >= until:
            return
        if alert.kind is AlertKind.LAPSED:
            yield lapse(board.running[alert.cartridge], alert.due)
        yield AlertRaised(
            at=until, cartridge=alert.cartridge, alert=alert.kind, due=alert.due, step=alert.step
        )


def folded(board: Board, events: Iterable[Event]) -> Board:
    """Return `board` after `events`, one by one."""
    for event in events:
        board = fold(board, event)
    return board


def play(plan: Plan, board: Board = BENCH) -> Iterator[tuple[Board, Act | None, Event | Refusal]]:
    """Play `plan`; yield each event or refusal with the board and the act that it came of."""
    now = START
    for elapsed, move in plan:
        now = later(now, Span(elapsed))
        for event in as_time_passes(board, now):
            yield board, None, event
            board = fold(board, event)
        if move == DOUBTED:
            developing = tuple(
                each.id for each in board.running.values() if each.applied is not None
            )
            event = ClockUnsure(at=now, cartridges=developing)
            yield board, None, event
            board = fold(board, event)
            continue
        act = sensible(board, move, now) if isinstance(move, str) else move
        decided = decide(board, act, now)
        if isinstance(decided, Refusal):
            yield board, act, decided
            continue
        for each in decided:
            yield board, act, each
            board = fold(board, each)


def record(plan: Plan) -> list[Event]:
    """Return the events that `plan` leaves on record, on top of the bench's own."""
    return [found for _, _, found in play(plan) if not isinstance(found, Refusal)]

"""Whatever two sides of a cut link do, joining up loses nothing, doubles nothing, decides nothing."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from builders import CLEAR, FAINT, NEGATIVE, START, TODAY, at, private
from core.any_acts import ACTS, DOUBTED, PLANS, Plan, as_time_passes, play, sensible
from core.board.stations_bench import BENCH, CUT, WINDOW, Cut, SharedBay, Side, appended
from readbell.core.board.acts import HearAlert, HoldLot, RegisterParty, RegisterPerson
from readbell.core.board.decide import decide
from readbell.core.board.events import ClockUnsure
from readbell.core.board.fold import fold, replay
from readbell.core.board.joining_up import Apart, JoiningUp, Same, Stands, join_up
from readbell.core.board.meanwhile import LOOKS
from readbell.core.board.own import taken_in
from readbell.core.board.stations import Here, refused_here, with_holder
from readbell.core.cartridge.acts import Aim, CorrectReading, Label, Read, Void
from readbell.core.cartridge.events import (
    CartridgeRead,
    EarlyPositiveSeen,
    ResultAmended,
    SlipReason,
    StepDone,
    VoidReason,
)
from readbell.core.cartridge.stage import Stage
from readbell.core.instant import SECOND, Instant, Span, later
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import Refusal
from readbell.core.review.acts import AmendResult
from readbell.core.review.reasons import AmendReason, HoldReason
from readbell.core.staff.acts import RetireOperator
from readbell.core.stock.acts import RecallLot

if TYPE_CHECKING:
    from readbell.core.board.acts import Act
    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.private import Private

LAWS = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow], max_examples=60)
SIDES = st.booleans()
WHO = st.sampled_from([("window",), ("bench",), ("window", "bench"), ("bench", "window")])
Moves = list[tuple[int, tuple[str, ...], "Act | str"]]
"""Milliseconds to wait; at which stations something is done, one a second after the other; what."""

OPENINGS = st.sampled_from([0, 60_000, 270_000, 900_000, 901_000, 1_199_000, 1_300_000])
"""From the drops to the first thing that is done: an early look, the window, its end."""
AIM = Aim(by="op-1", cartridge="C1")
USUAL: st.SearchStrategy[Act | str] = st.sampled_from(
    [
        "on with C1", "on with C1", "on with C2", "on with C3", "on with A-01", "on with B-01",
        "look C1", "look C2", "state C1", "tell C1", "tell C2",
        Void(aim=AIM, reason=VoidReason.SPILLED),
        Read(aim=replace(AIM, by="op-2"), bands=CLEAR),
        CorrectReading(aim=AIM, bands=CLEAR, reason=SlipReason.OTHER, today=TODAY),
        CorrectReading(aim=AIM, bands=FAINT, reason=SlipReason.OTHER, today=TODAY),
        HearAlert(by="op-1", cartridge="C1"),
        HoldLot(by="op-1", lot="L-100"),
        RecallLot(by="op-1", lot="L-100", words=None),
        RetireOperator(by="op-1", operator="op-2"),
        RegisterPerson(by="op-1", person=private("P-003")),
        AmendResult(
            by="op-2", cartridge="C1", bands=CLEAR, reason=AmendReason.OTHER, words=private("w")
        ),
        DOUBTED,
    ]
)  # fmt: skip
MEANWHILE: st.SearchStrategy[Moves] = st.builds(
    lambda opening, moves: [(opening, ("window",), "on with A-01"), *moves],
    OPENINGS,
    st.lists(
        st.tuples(
            st.sampled_from([0, 1, 1_000, 20_000, 61_000, 240_000, 900_000]),
            WHO,
            st.integers(0, 7).flatmap(lambda drawn: ACTS if drawn == 0 else USUAL),
        ),
        min_size=2,
        max_size=14,
    ),
)
READ_BY_BOTH: Moves = [(900_000, ("bench", "window"), "on with C1")]
"""The worst that can happen, with no rule kept: each side reads one strip in its window."""

DECIDED: Plan = [
    (
        1_000,
        AmendResult(
            by="op-2", cartridge="C1", bands=CLEAR, reason=AmendReason.OTHER, words=private("w")
        ),
    )
]


def cut(*, asks_second: bool) -> Cut:
    """Return both sides of a link that is cut while three cartridges run.

    C1 and C3 run on the clock of the window, C2 on that of the bench; C3 has no drops yet.
    """
    bay = SharedBay()
    if asks_second:
        bay.asks_second()
    bay.label("C3", "P-001")
    bay.hold("C3", WINDOW)
    bay.developing("C1", "P-001", WINDOW)
    bay.developing("C2", "P-002", BENCH)
    return bay.cut()


def go_on(sides: Cut, moves: Moves, *, by_the_rules: bool) -> Instant:
    """Let both sides go on by themselves; return when they end."""
    now = at(CUT)
    for wait, stations, move in moves:
        now = later(now, Span(wait))
        for station in stations:
            now = later(now, SECOND)
            for side in (sides.theirs, sides.ours):
                pass_time(side, now, by_the_rules=by_the_rules)
            act_at(sides.ours if station == WINDOW else sides.theirs, move, now, by_the_rules)
    return now


def act_at(side: Side, move: Act | str, now: Instant, by_the_rules: bool) -> None:
    """Do something at one side, if that may be done there."""
    if move == DOUBTED:
        developing = (each.id for each in side.board.running.values() if each.applied is not None)
        side.record(ClockUnsure(at=now, cartridges=tuple(developing)))
        return
    act = the_act(side, move, now)
    act = as_of_ours(act) if side.here.is_alone else act
    refused = refused_here(side.board, act, side.here) if by_the_rules else None
    decided = refused or decide(side.board, act, now)
    if not isinstance(decided, Refusal):
        side.record(*with_holder(side.board, decided, side.here.station))


def pass_time(side: Side, now: Instant, *, by_the_rules: bool) -> None:
    """Let what is due fall at one side."""
    if by_the_rules:
        side.record_what_falls(now)
    else:
        side.record(*as_time_passes(side.board, now))


def the_act(side: Side, move: Act | str, now: Instant) -> Act:
    """Return the act that a move stands for; each side sees something else on a strip."""
    if not isinstance(move, str):
        return move
    if move[:-2].endswith("-"):
        label = move.removeprefix("on with ")
        short = sensible(side.board, "on with C9", now)
        found = side.board.labelled(label)
        aim = replace(short.aim, cartridge=label)  # type: ignore[union-attr]
        if found is None:
            assert isinstance(short, Label)
            return replace(short, aim=aim, new_id=f"id-{label}")
        if found.next_step is not None:
            return side.step_act(found.next_step.key, label)
        return side.read_act(NEGATIVE, label)
    act = sensible(side.board, move, now)
    if isinstance(act, Read) and side.here.is_alone:
        return replace(act, bands=CLEAR if act.bands == NEGATIVE else NEGATIVE)
    return act


def as_of_ours(act: Act) -> Act:
    """Return `act` with ids of its own: no two sides ever make the same one."""
    match act:
        case Label():
            return replace(act, new_id=f"ours-{act.new_id}")
        case RegisterPerson():
            return replace(act, person=_own(act.person))
        case RegisterParty():
            return replace(act, party=_own(act.party), persons=tuple(map(_own, act.persons)))
        case _:
            return act


def _own(identity: Private) -> Private:
    return replace(identity, key=f"ours-{identity.key}")


def joined(
    moves: Moves, *, by_the_rules: bool, asks_second: bool
) -> tuple[Cut, JoiningUp, list[Event], Instant]:
    """Play all of it; return the sides, what came of joining up, the whole record and when."""
    sides = cut(asks_second=asks_second)
    now = go_on(sides, moves, by_the_rules=by_the_rules)
    found = join_up(sides.base, sides.theirs.events, sides.ours.events, WINDOW, now)
    return sides, found, [*sides.theirs.events, *appended(found)], now


def looked(events: list[Event]) -> set[str]:
    """Return the cartridges of which somebody said what is on them."""
    return {
        each.cartridge for each in events if isinstance(each, (CartridgeRead, EarlyPositiveSeen))
    }


@LAWS
@given(moves=MEANWHILE, by_the_rules=SIDES, asks_second=SIDES)
def test_each_thing_done_alone_stands_or_is_there_or_is_kept_apart_and_nothing_raises(
    moves: Moves, by_the_rules: bool, asks_second: bool
) -> None:
    """Nothing lost, nothing twice; and the record that comes of it can be read from its start."""
    sides, found, record, _ = joined(moves, by_the_rules=by_the_rules, asks_second=asks_second)

    assert [(type(each.event), each.event.at) for each in found.fates] == [
        (type(each), each.at) for each in sides.ours.events
    ]
    stands = [each.event for each in found.fates if isinstance(each, Stands)]
    assert sum(each in sides.theirs.events for each in stands) == 0
    board = replay(record, sides.base)
    assert board.apart_count == len([each for each in found.fates if isinstance(each, Apart)])
    assert {*board.running} == {*found.board.running}
    assert board.ended == found.board.ended


@LAWS
@given(moves=MEANWHILE, asks_second=SIDES, further=PLANS)
@example(moves=READ_BY_BOTH, asks_second=False, further=DECIDED)
def test_what_was_read_on_both_sides_never_has_an_outcome_but_by_a_supervisor(
    moves: Moves, asks_second: bool, further: Plan
) -> None:
    """Also when rules were broken, and whatever happens to it afterwards."""
    sides, found, _, now = joined(moves, by_the_rules=False, asks_second=asks_second)
    both = looked(sides.theirs.events) & {
        each.event.cartridge
        for each in found.apart
        if isinstance(each.event, (CartridgeRead, EarlyPositiveSeen))
    }
    assert both == {"id-C1"} or moves != READ_BY_BOTH
    board = found.board
    assert_without_outcome(board, both)

    decided: set[str] = set()
    for _, _, event in play([(now - START, "on with C1"), *further], board):
        if isinstance(event, Refusal):
            continue
        board = fold(board, event)
        if isinstance(event, ResultAmended):
            decided.add(event.cartridge)
        assert_without_outcome(board, both - decided)
    assert decided == {"id-C1"} or (moves, further) != (READ_BY_BOTH, DECIDED)


def assert_without_outcome(board: Board, both: set[str]) -> None:
    """Nothing may come of these by themselves."""
    for key in both:
        cartridge = board.cartridge(key)
        assert cartridge is not None
        nothing_seen = cartridge.reading is None and not cartridge.early_looks
        lapsed = cartridge.stage is Stage.LAPSED and nothing_seen
        allowed = (None, Outcome.WITHHELD, Outcome.INVALID) if lapsed else (None, Outcome.WITHHELD)
        assert cartridge.outcome in allowed, cartridge


@LAWS
@given(moves=MEANWHILE, asks_second=SIDES)
def test_where_the_rules_are_kept_no_strip_is_read_on_both_sides(
    moves: Moves, asks_second: bool
) -> None:
    """That is what they are for."""
    _, found, _, _ = joined(moves, by_the_rules=True, asks_second=asks_second)

    every = [*found.board.running.values(), *found.board.ended.values()]
    assert not [each for each in every if HoldReason.READ_ON_BOTH_SIDES in each.held]


@LAWS
@given(moves=MEANWHILE, by_the_rules=SIDES, asks_second=SIDES)
def test_joining_up_again_changes_nothing(
    moves: Moves, by_the_rules: bool, asks_second: bool
) -> None:
    """Whatever came of it is on record, and is found there."""
    sides, _, record, now = joined(moves, by_the_rules=by_the_rules, asks_second=asks_second)

    again = join_up(sides.base, record, sides.ours.events, WINDOW, now)

    assert [each for each in again.fates if not isinstance(each, Same)] == []
    assert again.follow == ()
    found = (taken_in(each, own=False) for each in record)
    assert again.board == replay((each for each in found if each is not None), sides.base)


@LAWS
@given(moves=MEANWHILE, asks_second=SIDES)
def test_where_the_others_did_nothing_all_that_was_done_by_the_rules_stands(
    moves: Moves, asks_second: bool
) -> None:
    """And the shared board is that of the station: nothing of its work is otherwise for others."""
    sides = cut(asks_second=asks_second)
    alone: Moves = [(wait, (WINDOW,), move) for wait, _, move in moves]
    now = go_on(sides, alone, by_the_rules=True)

    found = join_up(sides.base, [], sides.ours.events, WINDOW, now)

    assert [each for each in found.fates if not isinstance(each, Stands)] == []
    assert [each.event for each in found.fates] == sides.ours.events
    assert found.follow == ()
    assert found.board == sides.ours.board


@LAWS
@given(moves=MEANWHILE, asks_second=SIDES)
def test_two_stations_that_were_both_alone_are_joined_up_one_after_the_other(
    moves: Moves, asks_second: bool
) -> None:
    """The server itself was away: whoever comes back first finds nothing new."""
    sides = cut(asks_second=asks_second)
    sides.theirs.here = Here(station=BENCH, is_alone=True, away=frozenset({WINDOW}))
    now = go_on(sides, moves, by_the_rules=True)

    first = join_up(sides.base, [], sides.theirs.events, BENCH, now)
    there: list[Event] = [each.event for each in first.fates]
    second = join_up(sides.base, there, sides.ours.events, WINDOW, now)

    assert there == sides.theirs.events
    both = HoldReason.READ_ON_BOTH_SIDES
    every = [*second.board.running.values(), *second.board.ended.values()]
    assert not [each for each in every if both in each.held]
    assert not [each for each in second.apart if isinstance(each.event, (*LOOKS, StepDone))]

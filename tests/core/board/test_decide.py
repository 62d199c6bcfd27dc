"""Laws of the one door that every act goes through, whatever is tried and whenever."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import replace
from typing import get_args

from hypothesis import given, settings
from hypothesis import strategies as st

from builders import START
from core.any_acts import ACTS, BENCH, PLANS, TIMES, Plan, as_time_passes, folded, play, record
from readbell.core.board.acts import NAMES, Act
from readbell.core.board.attention import by_attention
from readbell.core.board.board import Board
from readbell.core.board.decide import decide
from readbell.core.board.events import ActRefused
from readbell.core.board.fold import fold, replay
from readbell.core.cartridge.at_instant import stage_at, window
from readbell.core.cartridge.countdown import countdown
from readbell.core.cartridge.events import CartridgeRead, CartridgeVoided, EarlyPositiveSeen
from readbell.core.cartridge.stage import Stage
from readbell.core.instant import Instant
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.stock.acts import DescribeLot

LAWS = settings(deadline=None, max_examples=60)


def test_every_act_has_a_name_of_its_own_in_the_record() -> None:
    """A near miss is counted under it, so it never changes."""
    assert set(NAMES) == set(get_args(Act))
    assert len(set(NAMES.values())) == len(NAMES)
    assert set(NAMES.values()) >= {
        "label", "step", "steps", "look", "read", "correct-reading", "void", "state-application",
        "hold-lot", "open-lot", "adopt-assay", "register-operator", "register-person",
        "register-party", "receive-lot",
    }  # fmt: skip


@LAWS
@given(plan=PLANS, act=ACTS, now=TIMES)
def test_no_act_on_any_board_raises(plan: Plan, act: Act, now: Instant) -> None:
    """An act is answered, by events that fit the board or by a reason."""
    board = folded(BENCH, record(plan))
    decided = decide(board, act, now)

    if isinstance(decided, Refusal):
        assert decided.code in RefusalCode
    else:
        # Of a lot that is described by nothing new there is nothing to record.
        assert decided or isinstance(act, DescribeLot)
        folded(board, decided)


@LAWS
@given(act=ACTS, now=TIMES)
def test_no_act_on_an_empty_board_raises(act: Act, now: Instant) -> None:
    """The first key that is pressed in a new bay may be any."""
    decided = decide(Board(), act, now)

    if not isinstance(decided, Refusal):
        folded(Board(), decided)


@LAWS
@given(plan=PLANS, act=ACTS, now=TIMES)
def test_judging_changes_nothing_and_is_repeatable(plan: Plan, act: Act, now: Instant) -> None:
    """A refused act leaves every cartridge, lot and person alone, however often it is tried."""
    board = folded(BENCH, record(plan))
    before = deepcopy(board)
    first = decide(board, act, now)

    assert decide(board, act, now) == first
    assert board == before


@LAWS
@given(plan=PLANS)
def test_a_near_miss_on_record_changes_nothing(plan: Plan) -> None:
    """The refusal is itself an event, and is counted: all else is as it was before it."""
    for board, act, found in play(plan):
        if isinstance(found, Refusal):
            assert act is not None
            miss = ActRefused(
                at=START,
                by=None,
                act=NAMES[type(act)],
                code=found.code,
                cartridge=None,
                entered=None,
                bands=None,
            )
            after = fold(board, miss)
            assert replace(after, near_misses=board.near_misses) == board
            assert [*after.near_misses.values()][-1].code is found.code


@LAWS
@given(plan=PLANS, cut=st.integers(0, 60))
def test_a_replay_is_the_fold_of_its_events(plan: Plan, cut: int) -> None:
    """A bay that restarts in the middle of a day has the board it would have had without."""
    events = record(plan)
    one_by_one = folded(BENCH, events)

    assert replay(events, BENCH) == one_by_one
    assert replay(events[cut:], replay(events[:cut], BENCH)) == one_by_one


@LAWS
@given(plan=PLANS)
def test_no_board_ever_changes_once_it_was_seen(plan: Plan) -> None:
    """A screen may hold an older board while newer ones are made from it."""
    seen = [(board, deepcopy(board)) for board, _, _ in play(plan)]

    assert all(board == then for board, then in seen)


@LAWS
@given(plan=PLANS)
def test_nothing_is_read_outside_its_window(plan: Plan) -> None:
    """The law all else is for: a reading lies inside, and an early look gives positives only."""
    for board, _, found in play(plan):
        if isinstance(found, CartridgeRead | EarlyPositiveSeen):
            cartridge = board.running[found.cartridge]
            span = window(cartridge)
            assert span is not None
            assert not cartridge.unsure
            if isinstance(found, EarlyPositiveSeen):
                assert span.early_from is not None
                assert span.early_from <= found.at < span.opens
                assert found.lines
            else:
                assert span.opens <= found.at
                assert span.closes is None or found.at <= span.closes


@LAWS
@given(plan=PLANS)
def test_no_act_makes_an_early_positive_disappear(plan: Plan) -> None:
    """It ends positive or withheld, or it is still running; never void, invalid or negative.

    A supervisor may take the result back; then there is none, and what was seen still stands.
    """
    for board, _, found in play(plan):
        if isinstance(found, CartridgeVoided):
            assert board.running[found.cartridge].early_looks == ()
    for cartridge in folded(BENCH, record(plan)).ended.values():
        if cartridge.early_looks:
            taken_back = cartridge.withdrawn is not None
            assert (cartridge.outcome is None) is taken_back
            assert taken_back or cartridge.outcome in {Outcome.POSITIVE, Outcome.WITHHELD}


@LAWS
@given(plan=PLANS)
def test_every_label_leads_to_one_cartridge(plan: Plan) -> None:
    """None is lost and none is counted twice, and no box gives more than it holds."""
    board = folded(BENCH, record(plan))

    assert len(board.running) + len(board.ended) == len(board.labels)
    assert [each.ordinal for each in board.in_order()] == list(range(1, len(board.labels) + 1))
    assert sum(lot.used for lot in board.lots.values()) == len(board.labels)
    assert all(lot.units is None or lot.used <= lot.units for lot in board.lots.values())


@LAWS
@given(plan=PLANS, now=TIMES)
def test_every_running_cartridge_can_be_shown_at_any_time(plan: Plan, now: Instant) -> None:
    """A figure, a stage and a place in the order: no board may crash the screen."""
    board = folded(BENCH, record(plan))
    rows = by_attention(board, now)

    assert {each.id for each in rows} == set(board.running)
    for each in rows:
        stage_at(each, now)
        found = countdown(each, now)
        assert found is None or (found.seconds_left(now) > 0) == (now < found.due)


@LAWS
@given(plan=PLANS)
def test_what_falls_due_falls_once(plan: Plan) -> None:
    """Announced, it does not come again; and whatever has a window ends."""
    board = folded(BENCH, record(plan))
    far = Instant(START + 10**9)
    board = folded(board, as_time_passes(board, far))

    assert list(as_time_passes(board, far)) == []
    assert all(each.applied is None for each in board.running.values())
    assert {each.stage for each in board.ended.values()} <= {Stage.READ, Stage.LAPSED, Stage.VOID}

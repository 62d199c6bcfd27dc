"""A shift is opened with its checks, closed with what is left, and signed for by a supervisor."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builders import CLEAR, NEGATIVE, TODAY, Bench, at
from core.board.shift_bench import WELL, ShiftBench
from core.board.stock_bench import StockBench
from readbell.core.board.acts import TryAlarm
from readbell.core.board.events import Mode
from readbell.core.board.fold import fold
from readbell.core.board.shifts import (
    NOTHING_TO_SIGN,
    SHIFT_RUNS,
    SHIFTS_OFF,
    is_label_taken,
    labelled_in_shift,
)
from readbell.core.board.to_repeat import to_repeat
from readbell.core.cartridge.acts import Label
from readbell.core.cartridge.events import CartridgeLabelled
from readbell.core.errors import BrokenRecordError
from readbell.core.policy.shifts import Shifts
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.shift.acts import OpenShift
from readbell.core.shift.checks import Left, LeftKind
from readbell.core.shift.events import DaySheetSigned, ShiftClosed
from readbell.core.staff.acts import GiveRoles, RetireOperator
from readbell.core.staff.roles import Role

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.shift.acts import ShiftAct

OPEN = OpenShift(by="op-1", facts=WELL, today=TODAY)


def a_shift() -> ShiftBench:
    """A bay whose first shift is open."""
    bench = ShiftBench()
    bench.open_shift()
    return bench


def test_where_a_site_does_not_work_in_shifts_nothing_changes() -> None:
    """No shift is asked for, and none can be opened."""
    bench = StockBench(mode=Mode.LIVE)
    bench.label()

    assert bench.refused(OPEN) == Refusal(code=RefusalCode.NOT_ALLOWED, subject=SHIFTS_OFF)
    assert bench.refused(bench.label_act("C1")).code is RefusalCode.LABEL_IN_USE


def test_nobody_is_begun_before_a_shift_is_open_or_after_it_was_closed() -> None:
    """Refused at the label, where it costs nobody a result."""
    bench = ShiftBench()
    before = bench.refused(bench.label_act())
    bench.open_shift()
    bench.must(bench.label_act())
    bench.must(bench.void_act())
    bench.close_shift("1:00")

    assert before.code is RefusalCode.NO_SHIFT
    assert bench.refused(bench.label_act("C2"), "2:00").code is RefusalCode.NO_SHIFT


def test_practice_asks_for_no_shift() -> None:
    """Nobody signs for it."""
    bench = StockBench()
    bench.decides(shifts=Shifts.ON)
    bench.label()


def test_a_strip_that_runs_is_read_whatever_the_shift_does() -> None:
    """A valid result is not lost to a closed shift."""
    bench = a_shift()
    bench.to_well()
    bench.close_shift("5:00", "the next shift reads it")
    bench.must(bench.read_act(CLEAR), "18:00")


@pytest.mark.parametrize("act", ["open", "close", "sign"])
def test_a_stranger_does_none_of_it(act: str) -> None:
    """Somebody answers for each."""
    bench = a_shift()
    acts: dict[str, ShiftAct] = {
        "open": replace(OPEN, by="op-9"),
        "close": replace(bench.close_act(), by="op-9"),
        "sign": bench.sign_act(by="op-9"),
    }

    refused = bench.refused(acts[act])
    assert refused == Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject="op-9")


def test_one_shift_runs_at_a_time_and_is_numbered() -> None:
    """Reports name the number."""
    bench = a_shift()
    assert bench.refused(OPEN).subject == SHIFT_RUNS
    bench.close_shift("1:00")
    assert bench.refused(bench.close_act(), "1:00").code is RefusalCode.NO_SHIFT
    bench.open_shift("2:00")

    book = bench.board.shift_book
    assert (book.count, book.since) == (2, at("2:00"))
    assert book.last is not None
    assert book.last.number == 1


def test_what_still_runs_is_closed_over_only_with_a_reason() -> None:
    """Each is named; blanks are no reason."""
    bench = a_shift()
    bench.to_well("C2")
    bench.must(bench.label_act("C1", "P-002"), "3:00")
    refused = bench.refused(bench.close_act("  "), "4:00")
    (event,) = bench.must(bench.close_act("the night shift reads them"), "4:00")

    assert refused == Refusal(code=RefusalCode.STILL_RUNNING, subject="C2, C1")
    assert isinstance(event, ShiftClosed)
    assert event.left[0] == Left(kind=LeftKind.UNFINISHED, about=("C2", "C1"))
    assert event.words is not None


def test_a_supervisor_signs_the_oldest_sheet_first_or_the_one_that_is_named() -> None:
    """Each is signed once."""
    bench = a_shift()
    assert bench.refused(bench.sign_act()).subject == NOTHING_TO_SIGN
    for minute in (1, 2, 3):
        bench.close_shift(f"{minute}:00")
        bench.open_shift(f"{minute}:30")
    (named,) = bench.must(bench.sign_act(2), "5:00")
    (oldest,) = bench.must(bench.sign_act(), "5:00")

    assert isinstance(named, DaySheetSigned)
    assert isinstance(oldest, DaySheetSigned)
    assert (named.number, oldest.number) == (2, 1)
    assert (named.head, named.sequence, named.own) == ("ab" * 32, 12, False)
    assert bench.refused(bench.sign_act(2), "6:00").subject == NOTHING_TO_SIGN
    assert [each.number for each in bench.board.shift_book.unsigned] == [3]


def test_whoever_is_no_supervisor_does_not_sign() -> None:
    """Where there are roles."""
    bench = a_shift()
    bench.must(GiveRoles(by="op-1", operator="op-2", roles=(Role.TESTER,)))
    bench.close_shift("1:00")

    assert bench.refused(bench.sign_act(by="op-2"), "2:00").code is RefusalCode.ROLE_MISSING


def test_who_works_alone_signs_as_own_review() -> None:
    """Somebody outside looks at it."""
    bench = a_shift()
    bench.must(RetireOperator(by="op-1", operator="op-2"))
    bench.close_shift("1:00")
    (event,) = bench.must(bench.sign_act(), "2:00")

    assert isinstance(event, DaySheetSigned)
    assert event.own


def test_a_shift_that_was_closed_puts_the_box_away() -> None:
    """The next one scans what it works with."""
    bench = a_shift()
    bench.open()
    bench.close_shift("1:00")
    assert bench.board.open_lot is None
    assert bench.board.open_boxes == {}


def test_the_labels_of_what_has_ended_are_free_after_the_shift() -> None:
    """And are written on other devices; the old ones keep what was read of them."""
    bench = a_shift()
    bench.to_well()
    bench.must(bench.read_act(NEGATIVE), "18:00")
    first = bench.cartridge()
    in_use = bench.refused(bench.label_act("C1", "P-002"), "19:00")
    bench.close_shift("20:00")
    bench.open_shift("21:00")
    bench.must(bench.label_act("C1", "P-002"), "22:00")

    assert in_use.code is RefusalCode.LABEL_IN_USE
    assert bench.cartridge().id != first.id
    assert bench.board.cartridge(first.id) == first
    assert [each.id for each in bench.board.in_order()] == [first.id, bench.cartridge().id]
    assert bench.cartridge().ordinal == 2
    assert labelled_in_shift(bench.board) == 1


def test_what_runs_over_the_border_keeps_its_label_until_the_next_one() -> None:
    """The plastic lies on the bench, and is scanned."""
    bench = a_shift()
    bench.to_well()
    bench.close_shift("5:00", "night shift reads")
    bench.open_shift("6:00")
    assert bench.refused(bench.label_act(), "7:00").code is RefusalCode.LABEL_IN_USE
    bench.must(bench.read_act(CLEAR), "18:00")
    assert bench.refused(bench.label_act(), "19:00").code is RefusalCode.LABEL_IN_USE
    bench.close_shift("20:00")
    bench.open_shift("21:00")

    assert not is_label_taken(bench.board, "C1")
    assert not is_label_taken(bench.board, "C9")


def test_a_repeat_is_owed_and_found_over_the_border() -> None:
    """By person, and not by label."""
    bench = a_shift()
    bench.label()
    bench.must(bench.void_act())
    failed = bench.cartridge()
    bench.close_shift("1:00")
    bench.open_shift("2:00")
    bench.must(bench.label_act("C1", "P-002"), "3:00")
    assert [each.id for each in to_repeat(bench.board)] == [failed.id]
    bench.must(bench.label_act("C2"), "4:00")

    assert bench.cartridge("C2").labelled.repeat_of == failed.id
    assert to_repeat(bench.board) == ()


def test_a_record_that_gives_a_label_twice_in_one_shift_is_broken() -> None:
    """The rule holds for what is read back too."""
    bench = a_shift()
    (begun, *_) = bench.must(bench.label_act())
    assert isinstance(begun, CartridgeLabelled)
    with pytest.raises(BrokenRecordError, match="uses its label again"):
        fold(bench.board, replace(begun, cartridge="id-other"))


def test_a_closing_that_closes_nothing_changes_nothing() -> None:
    """It says what it says."""
    bench = ShiftBench()
    closed = ShiftClosed(at=at("1:00"), by="key-op-1", number=1, left=())
    assert fold(bench.board, closed).shift_book == bench.board.shift_book


MOVES = st.lists(
    st.sampled_from(["C1", "C2", "C3", "void C1", "void C2", "void C3", "border"]), max_size=40
)


@given(moves=MOVES)
def test_no_two_devices_of_one_shift_ever_bear_one_label(moves: list[str]) -> None:
    """Nor does one that runs bear the label of another: the law that scans rest on."""
    bench = a_shift()
    this_shift: set[str] = set()
    for move in moves:
        if move == "border":
            bench.close_shift("1:00", "handed over")
            bench.open_shift("1:00")
            this_shift = {each.label for each in bench.board.running.values()}
        elif move.startswith("void"):
            bench.do(bench.void_act(move[-2:]))
        else:
            taken = isinstance(bench.do(bench.label_act(move)), tuple)
            assert taken is (move not in this_shift)
            this_shift.add(move)
        assert_sound(bench.board)


def assert_sound(board: Board) -> None:
    """Labels of what runs differ, each is found by its own, and none is missing from the order."""
    running = list(board.running.values())
    assert len({each.label for each in running}) == len(running)
    assert all(board.labelled(each.label) == each for each in running)
    assert [each.ordinal for each in board.in_order()] == list(range(1, len(board.order) + 1))
    assert len(board.order) == len(board.running) + len(board.ended)


def test_a_record_without_shifts_keeps_every_label_for_good() -> None:
    """As it was before there were any."""
    bench = Bench()
    bench.label()
    bench.must(bench.void_act())
    act = bench.label_act("C1", "P-002")
    assert isinstance(act, Label)
    assert bench.refused(act).code is RefusalCode.LABEL_IN_USE


def test_an_alarm_test_of_the_last_shift_is_none_of_this_one() -> None:
    """A shift begins with one."""
    bench = ShiftBench()
    bench.must(TryAlarm(by="op-1", heard=True))
    bench.open_shift("0:10")
    bench.close_shift("1:00")
    bench.open_shift("2:00")
    first, second = bench.board.shift_book.last, bench.board.shift_book.running
    assert first is not None
    assert second is not None
    assert [each.opened.checks[0].state for each in (first, second)] == ["fine", "due"]

"""Which strips are read twice: as the assay and the site say, and where there is somebody else."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import CLEAR, FAINT, NASAL, NEGATIVE, NO_CONTROL, SMEAR, Bench
from core.board.second_reader_bench import ready
from core.board.stock_bench import StockBench
from readbell.core.assay.reading_rules import SecondReader
from readbell.core.board.second_reader import read_twice
from readbell.core.cartridge.acts import CorrectReading
from readbell.core.cartridge.events import CartridgeRead, SlipReason, SubjectKind
from readbell.core.cartridge.stage import Stage
from readbell.core.policy.second_reading import SecondReaderRule
from readbell.core.reading.interpretation import Outcome
from readbell.core.results.status import ResultStatus
from readbell.core.review.reasons import HoldReason
from readbell.core.staff.acts import RetireOperator

if TYPE_CHECKING:
    from readbell.core.reading.bands import Bands


def test_where_nobody_asks_for_it_nothing_is_read_twice() -> None:
    """The rule is off as the program comes."""
    made = Bench()
    made.to_well()
    (event,) = made.must(made.read_act(FAINT), "18:00")
    assert isinstance(event, CartridgeRead)
    assert event.second is None
    assert made.cartridge().stage is Stage.READ


@pytest.mark.parametrize(
    ("when", "seen", "asked"),
    [
        (SecondReader.FAINT, FAINT, SecondReader.FAINT),
        (SecondReader.FAINT, CLEAR, None),
        (SecondReader.FAINT, NEGATIVE, None),
        (SecondReader.ALL, NEGATIVE, SecondReader.ALL),
        (SecondReader.ALL, NO_CONTROL, SecondReader.ALL),
        (SecondReader.ALL, SMEAR, SecondReader.ALL),
        (SecondReader.OFF, FAINT, None),
    ],
)
def test_the_rule_says_which_readings_are_read_again(
    when: SecondReader, seen: Bands, asked: SecondReader | None
) -> None:
    """A faint line beside no control line proves nothing, and is invalid as it stands."""
    made = ready(when)
    event, *_ = made.must(made.read_act(seen), "18:00")
    assert isinstance(event, CartridgeRead)
    assert event.second is asked


def test_a_rule_for_another_assay_asks_for_nothing() -> None:
    """Each assay has its own."""
    made = ready(assay="another")
    made.must(made.read_act(FAINT), "18:00")
    assert made.cartridge().stage is Stage.READ
    both = ready(assay="another")
    another, faint = (SecondReaderRule(assay=each, when=SecondReader.FAINT) for each in ("x", ""))
    both.decides(second_reader=(another, faint))
    both.must(both.read_act(FAINT), "18:00")
    assert both.cartridge().awaits_second
    own = ready(assay=NASAL.id)
    own.must(own.read_act(FAINT), "18:00")
    assert own.cartridge().awaits_second


def test_the_assay_itself_may_ask_for_a_second_reader() -> None:
    """The kit's instructions come before what a site decides."""
    made = Bench(replace(NASAL, reading=replace(NASAL.reading, second_reader=SecondReader.FAINT)))
    made.to_well()
    made.must(made.read_act(FAINT), "18:00")
    assert made.cartridge().awaits_second


def asked_of_three_readings(nth: int) -> list[SecondReader | None]:
    """By which rule each of three readings is read again."""
    made = Bench()
    made.decides(second_reader=(SecondReaderRule(when=SecondReader.EACH_NTH, nth=nth),))
    for label in ("C1", "C2", "C3"):
        made.to_well(label)
        made.must(made.read_act(NEGATIVE, label), "18:00")
    return [
        None if (reading := made.cartridge(label).reading) is None else reading.second
        for label in ("C1", "C2", "C3")
    ]


def test_each_nth_is_the_first_of_so_many_readings_of_an_assay() -> None:
    """However many cartridges of other assays, samples or void ones lie between."""
    made = Bench()
    made.decides(second_reader=(SecondReaderRule(when=SecondReader.EACH_NTH, nth=3),))
    asked = []
    for place in range(1, 8):
        label = f"C{place}"
        made.to_well(label)
        event, *_ = made.must(made.read_act(NEGATIVE, label), "18:00")
        assert isinstance(event, CartridgeRead)
        asked.append(event.second)
    nth = SecondReader.EACH_NTH
    assert asked_of_three_readings(1) == [nth, nth, nth]
    assert asked_of_three_readings(0) == [None, None, None]
    assert asked == [nth, None, None, nth, None, None, nth]


def test_a_control_sample_is_read_once() -> None:
    """It is judged by what it has to show."""
    bench = StockBench()
    bench.decides(second_reader=(SecondReaderRule(when=SecondReader.ALL),))
    bench.materials()
    bench.whole_sample("S1", "PC-1", 0, FAINT)
    cartridge = bench.cartridge("S1")
    assert cartridge.labelled.subject_kind is SubjectKind.CONTROL_SAMPLE
    assert cartridge.stage is Stage.READ
    assert not bench.board.readings


def test_what_contradicts_its_own_early_look_is_withheld_without_a_second_reader() -> None:
    """No third look could settle it."""
    made = ready(SecondReader.ALL)
    made.must(made.look_act(FAINT), "6:00")
    made.must(made.read_act(NEGATIVE), "18:00")
    assert (made.cartridge().stage, made.cartridge().outcome) == (Stage.READ, Outcome.WITHHELD)


def test_a_line_that_turns_out_faint_by_a_correction_is_held_for_review() -> None:
    """It has ended, so nobody reads it twice; a supervisor looks at it instead."""
    made = ready()
    made.must(made.read_act(NEGATIVE), "18:00")
    slip = CorrectReading(aim=made.aim(), bands=FAINT, reason=SlipReason.PRESSED_WRONG_KEY)
    made.must(slip, "18:10")
    assert made.cartridge().held == (HoldReason.NOT_READ_TWICE,)
    made.must(replace(slip, bands=CLEAR), "18:20")
    made.must(slip, "18:30")
    assert len(made.cartridge().holds) == 1


def test_a_slip_that_hid_that_two_were_to_read_it_is_held_for_review() -> None:
    """It seemed to contradict its early look, so nobody was asked; corrected, it does not."""
    made = ready(SecondReader.ALL)
    made.must(made.look_act(CLEAR), "6:00")
    made.must(made.read_act(NEGATIVE), "18:00")
    assert made.cartridge().outcome is Outcome.WITHHELD
    slip = CorrectReading(aim=made.aim(), bands=CLEAR, reason=SlipReason.PRESSED_WRONG_KEY)
    made.must(slip, "18:10")
    assert made.cartridge().outcome is Outcome.POSITIVE
    assert made.cartridge().held == (HoldReason.NOT_READ_TWICE,)
    assert made.result().status is ResultStatus.HELD


def test_a_faint_line_in_a_correction_is_no_matter_where_nobody_asks_about_it() -> None:
    """Whatever it turns out to show, it was read as often as was asked."""
    made = Bench()
    made.to_well()
    made.must(made.read_act(NEGATIVE), "18:00")
    slip = CorrectReading(aim=made.aim(), bands=FAINT, reason=SlipReason.PRESSED_WRONG_KEY)
    made.must(slip, "18:10")
    assert not made.cartridge().held


def test_where_one_person_works_alone_a_faint_reading_is_held_for_their_own_review() -> None:
    """A rule that would withhold every faint line of a single practitioner helps nobody."""
    made = ready()
    made.must(RetireOperator(by="op-1", operator="op-2"), "1:00")
    made.must(made.read_act(FAINT), "18:00")
    cartridge = made.cartridge()
    assert (cartridge.stage, cartridge.outcome) == (Stage.READ, Outcome.POSITIVE)
    assert cartridge.held == (HoldReason.NOT_READ_TWICE,)


def test_a_plan_is_told_of_which_assays_a_strip_may_be_read_twice() -> None:
    """By the site, by the assay itself; never where one person works alone."""
    made = Bench()
    assert read_twice(made.board) == frozenset()
    made.decides(second_reader=(SecondReaderRule(when=SecondReader.OFF),))
    assert read_twice(made.board) == frozenset()
    made.decides(second_reader=(SecondReaderRule(assay="another", when=SecondReader.ALL),))
    assert read_twice(made.board) == frozenset()
    made.decides(second_reader=(SecondReaderRule(when=SecondReader.FAINT),))
    assert read_twice(made.board) == {NASAL.id}
    made.must(RetireOperator(by="op-1", operator="op-2"), "1:00")
    assert read_twice(made.board) == frozenset()
    asks = replace(NASAL, reading=replace(NASAL.reading, second_reader=SecondReader.ALL))
    assert read_twice(Bench(asks).board) == {NASAL.id}


def test_a_line_corrected_away_asks_for_no_second_look() -> None:
    """Only a line that turns out faint does."""
    made = ready()
    made.must(made.read_act(CLEAR), "18:00")
    slip = CorrectReading(aim=made.aim(), bands=NEGATIVE, reason=SlipReason.PRESSED_WRONG_KEY)
    made.must(slip, "18:10")
    assert not made.cartridge().held


def test_a_correction_is_nobodys_turn_by_count() -> None:
    """The count has gone on since the reading, and would say something about the next one."""
    made = Bench()
    made.decides(second_reader=(SecondReaderRule(when=SecondReader.EACH_NTH, nth=2),))
    for label in ("C1", "C2"):
        made.to_well(label)
        made.must(made.read_act(NEGATIVE, label), "18:00")
    assert made.board.readings[NASAL.id] == 2
    slip = CorrectReading(aim=made.aim("C2"), bands=CLEAR, reason=SlipReason.PRESSED_WRONG_KEY)
    made.must(slip, "18:10")
    assert not made.cartridge("C2").held

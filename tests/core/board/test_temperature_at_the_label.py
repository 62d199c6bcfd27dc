"""A start while it is too cold or too warm: warned of, supervised or refused, as the site decides."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import CLEAR, NEGATIVE, at
from core.board.stock_bench import StockBench
from readbell.core.board.acts import RegisterOperator
from readbell.core.board.competence import UNWITNESSED
from readbell.core.board.controls_due import WhyDue, due_on
from readbell.core.board.temperature import OUT_OF_RANGE
from readbell.core.cartridge.events import CartridgeLabelled, SubjectKind
from readbell.core.climate.acts import NoteTemperature
from readbell.core.climate.events import TemperatureNoted, Where
from readbell.core.policy.temperature import OutsideTemperature
from readbell.core.private import Private
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import HoldReason
from readbell.core.staff.acts import GiveRoles
from readbell.core.staff.events import StartSupervised
from readbell.core.staff.roles import Role

WARNED, SUPERVISED, REFUSED = OutsideTemperature


def too_warm(asks: OutsideTemperature, where: Where = Where.BAY) -> StockBench:
    """A bay, or a store, at 33 degrees: three above what the assay bears."""
    bench = StockBench()
    bench.decides(outside_temperature=asks)
    bench.must(NoteTemperature(by="op-1", where=where, celsius=33.0))
    return bench


def another_operator(bench: StockBench) -> None:
    """Let a tester come, so that nobody works alone and op-1 alone is supervisor."""
    name = Private(key="key-op-3", salt="salt", value="op-3")
    bench.must(RegisterOperator(by="op-1", operator=name))
    bench.must(GiveRoles(by="op-1", operator="op-3", roles=(Role.TESTER,)))


@pytest.mark.parametrize("where", list(Where))
def test_where_it_is_warned_of_the_cartridge_bears_it_and_its_reading_waits(where: Where) -> None:
    """Nobody is sent away, and nobody tells the result before a supervisor has looked."""
    bench = too_warm(WARNED, where)
    begun, hold = bench.must(bench.label_act())

    assert isinstance(begun, CartridgeLabelled)
    assert begun.warnings == (OUT_OF_RANGE,)
    assert isinstance(hold, ReadingHeld)
    assert bench.cartridge("C1").held == (HoldReason.TEMPERATURE,)


def test_back_in_range_nothing_is_said() -> None:
    """The last figure counts."""
    bench = too_warm(REFUSED)
    bench.must(NoteTemperature(by="op-1", where=Where.BAY, celsius=30.0), "1:00")
    (begun,) = bench.must(bench.label_act(), "2:00")

    assert isinstance(begun, CartridgeLabelled)
    assert begun.warnings == ()


def test_where_it_is_refused_the_figure_is_told() -> None:
    """What is so, so that somebody can do something about it."""
    bench = too_warm(REFUSED)
    bench.materials()

    assert bench.refused(bench.label_act()) == Refusal(
        code=RefusalCode.OUT_OF_TEMPERATURE, subject="bay: 33 °C"
    )


@pytest.mark.parametrize("asks", [SUPERVISED, REFUSED])
def test_a_control_sample_is_run_all_the_same_and_held_for_nobody(
    asks: OutsideTemperature,
) -> None:
    """It may show what the warmth did to the kits; the warning stays with it."""
    bench = too_warm(asks)
    another_operator(bench)
    bench.materials()
    act = replace(bench.label_act("S1", "PC-1"), subject_kind=SubjectKind.CONTROL_SAMPLE)
    (begun,) = bench.must(act)

    assert isinstance(begun, CartridgeLabelled)
    assert begun.warnings == (OUT_OF_RANGE,)
    assert bench.cartridge("S1").held == ()


def test_where_it_is_supervised_somebody_stands_by() -> None:
    """Another person than whoever starts, and on record; the reading waits all the same."""
    bench = too_warm(SUPERVISED)
    another_operator(bench)
    alone = bench.label_act(by="op-3")
    refused = bench.refused(alone)
    begun, hold, witnessed = bench.must(replace(alone, witness="op-1"))

    assert refused == Refusal(code=RefusalCode.OUT_OF_TEMPERATURE, subject=UNWITNESSED)
    assert isinstance(begun, CartridgeLabelled)
    assert isinstance(hold, ReadingHeld)
    assert witnessed == StartSupervised(
        at=at("0:00"), by="key-op-3", witness="key-op-1", cartridge="id-C1"
    )


def test_in_range_nobody_has_to_stand_by() -> None:
    """It is asked for when it is needed."""
    bench = too_warm(SUPERVISED)
    another_operator(bench)
    bench.must(NoteTemperature(by="op-1", where=Where.BAY, celsius=20.0), "1:00")

    assert len(bench.must(bench.label_act(), "2:00")) == 1


def test_who_works_alone_reviews_it_afterwards_instead() -> None:
    """Nobody else could stand by, and a site of one must not stand still."""
    bench = too_warm(SUPERVISED)
    for key, operator in list(bench.board.operators.items()):
        if key != "op-1":
            retired = replace(bench.board.roster.standing(operator), is_retired=True)
            standings = {**bench.board.roster.standings, operator: retired}
            roster = replace(bench.board.roster, standings=standings)
            bench.board = replace(bench.board, roster=roster)
    assert bench.board.roster.is_single
    bench.must(bench.label_act())

    assert bench.cartridge("C1").held == (HoldReason.TEMPERATURE,)


def test_an_excursion_asks_for_control_samples_until_both_kinds_have_passed() -> None:
    """What the warmth did to the kits nobody knows before that."""
    bench = StockBench()
    bench.materials()
    bench.decides(controls_after_excursion=True)
    bench.must(NoteTemperature(by="op-1", where=Where.STORE, celsius=33.0))
    bench.must(NoteTemperature(by="op-1", where=Where.STORE, celsius=21.0), "1:00")
    lot = bench.board.lots["L-100"]
    due = [(each.kind, each.why) for each in due_on(bench.board, lot)]
    bench.whole_sample("S1", "PC-1", 2, CLEAR)
    bench.whole_sample("S2", "NC-1", 20, NEGATIVE)

    assert due == [("positive", WhyDue.TEMPERATURE), ("negative", WhyDue.TEMPERATURE)]
    assert list(due_on(bench.board, lot)) == []


def test_warmth_holds_no_control_sample_that_ran_in_it() -> None:
    """Only patients' readings wait: a sample's verdict says what it says."""
    bench = StockBench()
    bench.materials()
    bench.sample("S1", "PC-1", "0:00")
    bench.label("C1")
    (noted, *_) = bench.must(NoteTemperature(by="op-1", where=Where.BAY, celsius=33.0), "1:00")

    assert isinstance(noted, TemperatureNoted)
    assert noted.touched == ("id-C1",)
    assert bench.cartridge("S1").held == ()

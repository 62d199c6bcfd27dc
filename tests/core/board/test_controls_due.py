"""Control samples fall due for a reason, since an instant, until both kinds have passed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from builders import CLEAR, NEGATIVE, NO_CONTROL, START, TODAY, at
from core.board.stock_bench import StockBench
from readbell.core.board.controls_due import (
    NOTICE,
    ControlDue,
    WhyDue,
    controls_due,
    overdue_for,
)
from readbell.core.cartridge.acts import CorrectReading
from readbell.core.cartridge.events import SlipReason
from readbell.core.climate.acts import NoteTemperature
from readbell.core.climate.events import Where
from readbell.core.controls.material import SampleKind
from readbell.core.instant import earlier
from readbell.core.policy.stocking import Strictness
from readbell.core.review.reasons import HoldReason
from readbell.core.staff.acts import RetireOperator

POSITIVE, NEGATIVE_KIND = SampleKind.POSITIVE, SampleKind.NEGATIVE


def asking(**decisions: object) -> StockBench:
    """A bench of a site that asks for control samples."""
    bench = StockBench()
    bench.materials()
    bench.decides(**decisions)
    return bench


def due(bench: StockBench, now: str = "0:00", today: date = TODAY) -> list[ControlDue]:
    """What is due or soon will be."""
    return list(controls_due(bench.board, at(now), today))


def why(bench: StockBench, now: str = "0:00") -> list[tuple[SampleKind, WhyDue]]:
    """What is due, and why."""
    return [(each.kind, each.why) for each in due(bench, now)]


def both(reason: WhyDue) -> list[tuple[SampleKind, WhyDue]]:
    """Both kinds are due for one reason."""
    return [(POSITIVE, reason), (NEGATIVE_KIND, reason)]


def passing(bench: StockBench, begins: int = 0, labels: tuple[str, str] = ("S1", "S2")) -> None:
    """Run one of each kind, and let both pass."""
    bench.whole_sample(labels[0], "PC-1", begins, CLEAR)
    bench.whole_sample(labels[1], "NC-1", begins, NEGATIVE)


def invalid(bench: StockBench, label: str, person: str, begins: int) -> None:
    """Let somebody's test come out invalid."""
    bench.label(label, person, f"{begins}:00")
    bench.run(label, begins=begins, seen=NO_CONTROL)


def test_a_site_that_asks_for_none_is_owed_none() -> None:
    """As it comes nothing is due, whatever happens."""
    bench = asking()
    for place, label in enumerate(("C1", "C2", "C3")):
        invalid(bench, label, "P-001", place * 20)

    assert due(bench, "90:00") == []


def test_a_new_lot_is_proven_by_both_kinds() -> None:
    """Since it came in; each kind by itself."""
    bench = asking(controls_new_lot=True)
    assert why(bench) == both(WhyDue.NEW_LOT)
    assert {each.due for each in due(bench)} == {START}
    bench.whole_sample("S1", "PC-1", 0, CLEAR)
    assert why(bench, "20:00") == [(NEGATIVE_KIND, WhyDue.NEW_LOT)]
    bench.whole_sample("S2", "NC-1", 20, NEGATIVE)

    assert due(bench, "40:00") == []


def test_a_sample_that_failed_settles_nothing() -> None:
    """It is still owed; the lot is on hold meanwhile and nobody is asked for it."""
    bench = asking(controls_new_lot=True)
    bench.whole_sample("S1", "PC-1", 0, NEGATIVE)
    lot = bench.board.lots["L-100"]

    assert due(bench, "20:00") == []
    assert [each.why for each in overdue_for(bench.board, lot, "key-op-1", at("20:00"))] == [
        WhyDue.NEW_LOT,
        WhyDue.NEW_LOT,
    ]


def test_a_lot_that_cannot_be_used_is_owed_nothing() -> None:
    """Expired, and the same for one that is used up."""
    bench = asking(controls_new_lot=True)

    assert due(bench, today=date(2027, 1, 1)) == []


def test_a_further_delivery_asks_anew_and_the_first_does_not() -> None:
    """A shipment may have been left in the sun."""
    bench = asking(controls_new_delivery=True)
    assert due(bench) == []
    passing(bench)
    bench.must(bench.box("L-100"), "30:00")
    assert why(bench, "31:00") == both(WhyDue.NEW_DELIVERY)
    assert {each.due for each in due(bench, "31:00")} == {at("30:00")}
    passing(bench, 40, ("S3", "S4"))

    assert due(bench, "60:00") == []


def test_a_sample_labelled_before_a_delivery_says_nothing_of_it() -> None:
    """Though it was read after."""
    bench = asking(controls_new_delivery=True)
    bench.sample("S1", "PC-1", "0:00")
    bench.must(bench.box("L-100"), "1:00")
    bench.run("S1", begins=2, seen=CLEAR)

    assert why(bench, "30:00") == both(WhyDue.NEW_DELIVERY)


@pytest.mark.parametrize(
    ("now", "told", "overdue"),
    [
        pytest.param(earlier(at("8:00:00"), NOTICE) - 1, False, False, id="long before"),
        pytest.param(earlier(at("8:00:00"), NOTICE), True, False, id="told an hour ahead"),
        pytest.param(at("8:00:00") - 1, True, False, id="a millisecond before"),
        pytest.param(at("8:00:00"), True, True, id="to the millisecond"),
    ],
)
def test_regular_ones_count_from_the_label_of_the_last_that_passed(
    now: int, told: bool, overdue: bool
) -> None:
    """So many hours later, and told a while before."""
    bench = asking(controls_every_hours=8)
    passing(bench)
    found = controls_due(bench.board, at("0:00").__class__(now), TODAY)

    assert bool(found) is told
    assert all(each.is_overdue(at("0:00").__class__(now)) is overdue for each in found)


def test_regular_ones_are_due_at_once_on_a_lot_that_was_never_proven() -> None:
    """Since it came in."""
    bench = asking(controls_every_hours=8)

    assert why(bench) == both(WhyDue.REGULAR)


def test_a_second_invalid_of_one_person_asks_for_them() -> None:
    """From the instant of that second one; one of two people each is no reason."""
    bench = asking(controls_after_two_invalids=True)
    invalid(bench, "C1", "P-001", 0)
    invalid(bench, "C2", "P-002", 20)
    assert due(bench, "40:00") == []
    invalid(bench, "C3", "P-001", 40)

    assert why(bench, "58:00") == both(WhyDue.INVALIDS_OF_PERSON)
    assert {each.due for each in due(bench, "58:00")} == {at("57:00")}
    passing(bench, 60)
    assert due(bench, "90:00") == []
    invalid(bench, "C4", "P-001", 90)
    assert bench.board.samples.record("L-100").invalids[0].cartridge == "id-C4"


def test_several_invalids_of_one_lot_in_a_day_ask_for_them() -> None:
    """Three within a day, whoever they were of; more than a day apart they do not."""
    bench = asking(controls_after_lot_invalids=3)
    for place, label in enumerate(("C1", "C2")):
        invalid(bench, label, "P-001", place * 20)
    assert due(bench, "40:00") == []
    within, after = asking(controls_after_lot_invalids=3), asking(controls_after_lot_invalids=3)
    within.board = after.board = bench.board
    invalid(bench, "C3", "P-002", 40)
    assert why(bench, "60:00") == both(WhyDue.INVALIDS_OF_LOT)
    invalid(within, "C3", "P-002", 24 * 60)
    assert why(within, "25:00:00") == both(WhyDue.INVALIDS_OF_LOT)
    invalid(after, "C3", "P-002", 24 * 60 + 1)

    assert due(after, "25:00:00") == []


def test_what_lapsed_unread_is_no_invalid_result_of_its_lot() -> None:
    """Nobody saw whether it had run."""
    bench = asking(controls_after_lot_invalids=1, controls_after_two_invalids=True)
    for label in ("C1", "C2"):
        bench.to_well(label)
        bench.lapse(label)

    assert why(bench, "60:00") == []


def test_a_slip_that_was_mended_is_no_invalid_result() -> None:
    """Nor is one that is corrected to invalid forgotten."""
    bench = asking(controls_after_lot_invalids=1)
    invalid(bench, "C1", "P-001", 0)
    assert len(due(bench, "18:00")) == 2
    mend = CorrectReading(aim=bench.aim("C1"), bands=NEGATIVE, reason=SlipReason.PRESSED_WRONG_KEY)
    bench.must(mend, "18:00")
    assert due(bench, "18:00") == []
    bench.must(replace(mend, bands=NO_CONTROL), "18:30")

    assert len(due(bench, "19:00")) == 2


def test_a_sample_that_is_invalid_is_no_patients_invalid() -> None:
    """It has a verdict of its own."""
    bench = asking(controls_after_lot_invalids=1)
    bench.whole_sample("S1", "PC-1", 0, NO_CONTROL)

    assert bench.board.samples.record("L-100").invalids == ()


def test_a_store_that_was_too_warm_asks_for_them() -> None:
    """Since the first figure out of range that nothing has settled yet."""
    bench = asking(controls_after_excursion=True)
    passing(bench)
    bench.must(NoteTemperature(by="op-1", where=Where.STORE, celsius=20.0), "30:00")
    assert due(bench, "31:00") == []
    bench.must(NoteTemperature(by="op-1", where=Where.STORE, celsius=38.0), "40:00")
    bench.must(NoteTemperature(by="op-1", where=Where.STORE, celsius=39.0), "45:00")
    assert why(bench, "50:00") == both(WhyDue.TEMPERATURE)
    assert {each.due for each in due(bench, "50:00")} == {at("40:00")}
    passing(bench, 60, ("S3", "S4"))
    assert due(bench, "90:00") == []
    bench.must(NoteTemperature(by="op-1", where=Where.STORE, celsius=38.0), "95:00")

    assert {each.due for each in due(bench, "96:00")} == {at("95:00")}


def test_a_new_operator_runs_both_kinds_before_the_first_patient() -> None:
    """Theirs alone is held up, and on every lot of the assay until they have."""
    bench = asking(controls_new_operator=True)
    bench.whole_sample("S1", "PC-1", 0, CLEAR, by="op-1")
    bench.whole_sample("S2", "NC-1", 0, NEGATIVE, by="op-1")
    lot = bench.board.lots["L-100"]

    assert overdue_for(bench.board, lot, "key-op-1", at("20:00")) == ()
    owed = overdue_for(bench.board, lot, "key-op-2", at("20:00"))
    assert [(each.kind, each.why) for each in owed] == both(WhyDue.NEW_OPERATOR)
    assert {each.operator for each in owed} == {"key-op-2"}
    bench.must(RetireOperator(by="op-1", operator="op-2"))
    assert due(bench, "20:00") == []


def test_of_several_reasons_the_first_is_told() -> None:
    """Since when they are due is since when the first of them came."""
    bench = asking(controls_new_lot=True, controls_new_delivery=True)
    bench.must(bench.box("L-100"), "5:00")

    assert why(bench, "6:00") == both(WhyDue.NEW_LOT)


def test_no_reading_is_refused_for_them_but_a_strict_site_has_it_looked_at() -> None:
    """What has its drops is read; a supervisor sees it."""
    bench = asking(controls_after_excursion=True, controls_overdue=Strictness.REFUSE)
    bench.label("C1")
    bench.must(NoteTemperature(by="op-1", where=Where.STORE, celsius=38.0), "0:30")
    bench.run("C1", begins=1, seen=NEGATIVE)

    assert bench.cartridge("C1").held == (HoldReason.CONTROLS_OVERDUE,)
    assert bench.cartridge("C1").outcome is not None

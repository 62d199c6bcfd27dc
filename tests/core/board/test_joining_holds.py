"""What puts a reading on hold, and was known on one side of a cut link alone."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import CLEAR, NEGATIVE, at, private
from core.board.stations_bench import BENCH, SharedBay, noted, one, read_before, reasons
from readbell.core.board.acts import HoldLot
from readbell.core.board.recalls import concerned_by, recall_of
from readbell.core.board.results import result_called
from readbell.core.cartridge.events import SubjectKind
from readbell.core.climate.events import TemperatureNoted, Where
from readbell.core.reading.interpretation import Outcome
from readbell.core.results.status import ResultStatus
from readbell.core.review.acts import ReleaseReading
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import HoldReason
from readbell.core.staff.acts import RetireOperator
from readbell.core.stations.apart import ApartReason
from readbell.core.stock.acts import RecallLot


def test_a_reading_here_on_a_lot_that_was_called_back_there_is_held_and_named() -> None:
    """Whoever looks up whom the recall concerns finds what was begun alone, too."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    sides.ours.must(sides.ours.read_act(NEGATIVE), "18:00")
    sides.ours.must(sides.ours.label_act("A-01", "P-002"), "18:10")
    sides.theirs.must(RecallLot(by="op-1", lot="L-100", words=None), "18:05")

    found = sides.join()

    assert not found.apart
    assert one(found).held == (HoldReason.LOT_RECALLED,)
    assert one(found).outcome is Outcome.NEGATIVE
    recall = recall_of(found.board, "L-100")
    assert recall is not None
    assert {each.label for each in concerned_by(found.board, recall)} == {"C1", "A-01"}


def test_a_reading_here_on_a_lot_that_was_put_on_hold_there_is_held() -> None:
    """Nobody here could know."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    sides.theirs.must(HoldLot(by="op-1", lot="L-100"), "10:00")
    sides.ours.must(sides.ours.read_act(NEGATIVE), "18:00")

    assert one(sides.join()).held == (HoldReason.LOT_ON_HOLD,)


def test_a_hold_on_a_lot_here_stands_and_no_box_of_it_is_open() -> None:
    """To stop something is always safe."""
    bay = SharedBay()
    bay.open()
    sides = bay.cut()
    sides.ours.must(HoldLot(by="op-1", lot="L-100"), "3:00")

    found = sides.join()

    assert found.board.lots["L-100"].on_hold
    assert found.board.open_lot is None


def test_a_control_sample_that_failed_here_holds_the_results_that_were_read_there() -> None:
    """They came of the same lot, and nobody there could know."""
    bay = SharedBay()
    bay.developing("C2", "P-002", BENCH)
    bay.sample_developing()
    sides = bay.cut()
    sides.theirs.must(sides.theirs.label_act("C3", "P-001"), "3:00")
    sides.theirs.must(sides.theirs.read_act(NEGATIVE, "C2"), "18:00")
    sides.ours.must(sides.ours.read_act(NEGATIVE, "S1", by="op-2"), "18:00")

    found = sides.join()

    assert not found.apart
    assert found.board.lots["L-100"].on_hold
    for label in ("C2", "C3"):
        assert HoldReason.CONTROL_FAILED in one(found, label).held


def test_what_comes_of_a_control_sample_that_was_read_there_as_well_is_apart() -> None:
    """The holds that it brought stay: they make somebody look, and take nothing away."""
    bay = SharedBay()
    bay.developing("C2", "P-002", BENCH)
    bay.sample_developing()
    sides = bay.cut()
    sides.theirs.must_anyway(sides.theirs.read_act(CLEAR, "S1", by="op-2"), "18:00")
    sides.ours.must(sides.ours.read_act(NEGATIVE, "S1", by="op-2"), "18:01")

    found = sides.join()

    assert reasons(found) == [ApartReason.READ_THERE, ApartReason.FOLLOWS]
    assert one(found, "S1").outcome is Outcome.WITHHELD
    assert HoldReason.CONTROL_FAILED in one(found, "C2").held


@pytest.mark.parametrize(
    ("read", "held"), [("17:59", ()), ("18:00", (HoldReason.RETIRED_MEANWHILE,))]
)
def test_a_reading_by_somebody_who_worked_here_no_more_by_then_stands_and_is_held(
    read: str, held: tuple[HoldReason, ...]
) -> None:
    """A valid test is not lost for it; whoever could not know is nobody's fault."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    sides.theirs.must(RetireOperator(by="op-1", operator="op-2"), "18:00")
    sides.ours.must(sides.ours.read_act(NEGATIVE, by="op-2"), read)

    found = sides.join()

    assert not found.apart
    assert one(found).outcome is Outcome.NEGATIVE
    assert one(found).held == held


@pytest.mark.parametrize("we_begin", [True, False])
@pytest.mark.parametrize(
    ("figures", "held"),
    [
        ([noted("10:00", outside=True)], True),
        ([noted("2:50", outside=True)], False),  # it was cold before the pouch was opened
        ([noted("10:00", outside=False)], False),
        ([noted("10:00", outside=True, where=Where.STORE)], False),
        ([noted("30:00", outside=True)], True),  # nobody knows since when
        ([noted("25:00", outside=False), noted("30:00", outside=True)], False),
        ([noted("20:30", outside=False), noted("30:00", outside=True)], False),
        ([noted("30:00", outside=False), noted("30:00", outside=True)], False),
        ([noted("20:29.999", outside=False), noted("30:00", outside=True)], True),
        ([noted("3:00", outside=True)], True),
        ([noted("2:59.999", outside=True)], False),
    ],
)
def test_what_stood_too_cold_as_only_the_other_side_knew_is_held(
    figures: list[TemperatureNoted], held: bool, we_begin: bool
) -> None:
    """It is the same bench; whoever read the thermometer did not know of the cartridge."""
    sides = SharedBay().cut()
    begins, notes = (sides.ours, sides.theirs) if we_begin else (sides.theirs, sides.ours)
    begins.must(begins.label_act("A-01" if we_begin else "B-01", "P-001"), "3:00")
    label = "A-01" if we_begin else "B-01"
    for step in ("buffer", "collect", "extract"):
        begins.must(begins.step_act(step, label), "3:00")
    begins.must(begins.step_act("withdraw", label), "4:00")
    begins.must(begins.step_act("apply", label), "5:00")
    begins.must(begins.read_act(NEGATIVE, label), "20:30")
    begins.must(begins.label_act(f"{label}1", "P-002"), "39:00")
    notes.record(*figures)

    found = sides.join()

    assert (HoldReason.TEMPERATURE in one(found, label).held) is held
    assert one(found, f"{label}1").held == ()


def test_neither_a_sample_nor_what_is_kept_apart_is_held_for_the_temperature() -> None:
    """A sample says what it says, and what is apart has no reading here."""
    bay = SharedBay()
    bay.must(bay.material())
    sides = bay.cut()
    sides.theirs.record(noted("10:00", outside=True))
    sides.theirs.must_anyway(sides.theirs.label_act("A-02", "P-002"), "3:00")
    sample = replace(sides.ours.label_act("A-01", "PC-1"), subject_kind=SubjectKind.CONTROL_SAMPLE)
    sides.ours.must(sample, "3:00")
    sides.ours.must(replace(sides.ours.label_act("A-02", "P-001"), new_id="id-ours"), "3:00")

    found = sides.join()

    assert [each.reasons for each in found.follow if isinstance(each, ReadingHeld)] == [
        (HoldReason.ACTED_APART,)
    ]


def test_a_hold_that_came_before_a_release_there_is_said_again_after_it() -> None:
    """Whoever released the reading did not know of the reason."""
    bay = read_before()
    bay.put(
        ReadingHeld(at=at("17:41"), by=None, cartridge="id-C1", reasons=(HoldReason.TEMPERATURE,))
    )
    sides = bay.cut()
    sides.theirs.must(
        ReleaseReading(by="op-2", cartridge="C1", words=private("it was warm enough")), "19:00"
    )
    sides.ours.record(
        ReadingHeld(
            at=at("18:30"), by=None, cartridge="id-C1", reasons=(HoldReason.CONTROL_FAILED,)
        )
    )

    found = sides.join()

    assert [each.reasons for each in found.follow if isinstance(each, ReadingHeld)] == [
        (HoldReason.CONTROL_FAILED,)
    ]
    result = result_called(found.board, "id-C1")
    assert result is not None
    assert result.status is ResultStatus.HELD


def test_a_hold_on_what_was_voided_there_is_apart() -> None:
    """Nothing of it could be told."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    sides.theirs.must_anyway(sides.theirs.void_act(), "10:00")
    sides.ours.record(
        ReadingHeld(at=at("9:00"), by=None, cartridge="id-C1", reasons=(HoldReason.TEMPERATURE,))
    )

    assert reasons(sides.join()) == [ApartReason.VOIDED_THERE]


def test_what_is_held_by_joining_up_is_held_after_all_that_the_others_recorded() -> None:
    """Their clocks may be some milliseconds ahead of ours."""
    bay = read_before()
    bay.put(
        ReadingHeld(at=at("17:41"), by=None, cartridge="id-C1", reasons=(HoldReason.TEMPERATURE,))
    )
    sides = bay.cut()
    words = private("it was warm enough")
    sides.theirs.must(ReleaseReading(by="op-2", cartridge="C1", words=words), "40:00.005")
    reasons_here = (HoldReason.CONTROL_FAILED,)
    sides.ours.record(ReadingHeld(at=at("18:30"), by=None, cartridge="id-C1", reasons=reasons_here))

    found = sides.join("40:00")

    result = result_called(found.board, "id-C1")
    assert result is not None
    assert result.status is ResultStatus.HELD

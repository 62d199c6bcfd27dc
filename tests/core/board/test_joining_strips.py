"""One strip on both sides of a cut link: nothing comes of it that somebody might be harmed by."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import CLEAR, FAINT, NEGATIVE, NO_CONTROL, TODAY, at, private
from core.board.review_acts import amend
from core.board.stations_bench import Bay, SharedBay, one, read_on_both_sides, reasons, second_due
from readbell.core.board.results import result_called
from readbell.core.board.review import OWN_READING
from readbell.core.board.worklist import worklist
from readbell.core.cartridge.acts import CorrectReading
from readbell.core.cartridge.events import EarlyPositiveSeen, SlipReason
from readbell.core.cartridge.stage import Stage
from readbell.core.cartridge.unverified import ReadUnverified
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import RefusalCode
from readbell.core.results.status import ResultStatus
from readbell.core.results.to_tell import Urgency
from readbell.core.review.acts import ReleaseReading
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import HoldReason
from readbell.core.stations.apart import ApartReason


@pytest.mark.parametrize("there", [NEGATIVE, CLEAR, NO_CONTROL])
@pytest.mark.parametrize("here", [NEGATIVE, CLEAR])
def test_a_strip_that_was_read_on_both_sides_has_no_outcome_until_a_supervisor_decides(
    there: object, here: object
) -> None:
    """Never the last one wins, whatever the two say, and though they say the same."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    sides.theirs.must_anyway(sides.theirs.read_act(there), "17:45")  # type: ignore[arg-type]
    sides.ours.must(sides.ours.read_act(here), "18:00")  # type: ignore[arg-type]

    found = sides.join()

    assert reasons(found) == [ApartReason.READ_THERE]
    assert found.asks_somebody
    held = ReadingHeld(
        at=at("40:00"),
        by="key-op-1",
        cartridge="id-C1",
        reasons=(HoldReason.READ_ON_BOTH_SIDES,),
    )
    assert found.follow == (held,)
    strip = one(found)
    assert strip.outcome is Outcome.WITHHELD
    assert {each.outcome for each in strip.outcomes} == {Outcome.WITHHELD}
    assert strip.reading is not None
    assert strip.reading.bands == there
    result = result_called(found.board, "id-C1")
    assert result is not None
    assert result.status is ResultStatus.WITHHELD
    assert "id-C1" in found.board.owed
    assert "id-C1" in found.board.held

    decided = Bay(found.board)
    decided.must(amend(), "41:00")
    assert decided.cartridge().outcome is Outcome.POSITIVE
    assert decided.cartridge().held == ()


def test_releasing_what_was_read_on_both_sides_gives_it_no_outcome() -> None:
    """A supervisor who says nothing of the strip has decided nothing of it."""
    bay = read_on_both_sides()

    bay.must(ReleaseReading(by="op-3", cartridge="C1", words=private("seen")), "41:00")

    assert bay.cartridge().outcome is Outcome.WITHHELD


def test_what_was_read_on_both_sides_is_corrected_by_neither_reader() -> None:
    """A correction would make one of the two readings win."""
    bay = read_on_both_sides("19:00")
    act = CorrectReading(aim=bay.aim(by="op-2"), bands=CLEAR, reason=SlipReason.OTHER, today=TODAY)

    assert bay.refused(act, "19:30").code is RefusalCode.ALREADY_READ


def test_amending_it_to_what_the_record_had_read_is_a_decision() -> None:
    """Before, nothing of it counted."""
    bay = read_on_both_sides()

    bay.must(amend(NEGATIVE, by="op-3"), "41:00")

    assert bay.cartridge().outcome is Outcome.NEGATIVE


@pytest.mark.parametrize("by", ["op-1", "op-2"])
def test_neither_of_the_two_who_read_it_decides(by: str) -> None:
    """Also not the one whose reading is kept apart."""
    bay = read_on_both_sides()

    assert bay.refused(amend(by=by), "41:00").subject == OWN_READING


def test_what_was_amended_before_the_other_reading_came_home_is_decided_anew() -> None:
    """The supervisor had not seen it."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    sides.theirs.must_anyway(sides.theirs.read_act(NEGATIVE), "17:45")
    sides.theirs.must_anyway(amend(), "19:00")
    sides.ours.must(sides.ours.read_act(NEGATIVE), "18:00")

    found = sides.join()

    assert one(found).outcome is Outcome.WITHHELD
    again = Bay(found.board)
    again.must(amend(), "41:00")
    assert again.cartridge().outcome is Outcome.POSITIVE


def test_a_positive_seen_early_on_both_sides_leaves_the_window_reading_without_an_outcome() -> None:
    """It runs on, is read, and a supervisor says what it comes to."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    sides.theirs.must_anyway(sides.theirs.look_act(FAINT), "7:00")
    sides.ours.must(sides.ours.look_act(FAINT), "7:01")

    found = sides.join("8:00")

    assert reasons(found, EarlyPositiveSeen) == [ApartReason.READ_THERE]
    after = Bay(found.board)
    after.must(after.read_act(CLEAR), "18:00")
    assert after.cartridge().outcome is Outcome.WITHHELD


def test_a_positive_seen_early_here_and_a_negative_read_there_are_withheld() -> None:
    """Two looks at one strip disagree, wherever they were made."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    sides.ours.must(sides.ours.look_act(CLEAR), "7:00")
    sides.theirs.must_anyway(sides.theirs.read_act(NEGATIVE), "18:00")

    assert one(sides.join()).outcome is Outcome.WITHHELD


def test_whoever_was_told_of_what_is_withheld_now_is_put_right() -> None:
    """A positive seen early was told on one side, and on the other the strip was read as well."""
    bay = SharedBay()
    bay.developing()
    bay.must(bay.look_act(CLEAR), "5:00")
    sides = bay.cut()
    sides.theirs.must(bay.tell_act(), "6:00")
    sides.theirs.must_anyway(sides.theirs.read_act(CLEAR), "17:45")
    sides.ours.must(sides.ours.read_act(NEGATIVE), "18:00")

    found = sides.join()

    (first, *_) = worklist(found.board, at("41:00")).waiting
    assert first.urgency is Urgency.PUT_RIGHT
    assert [each.to for each in first.misled] == [each.to for each in first.told]


def test_an_early_positive_that_was_told_there_and_is_read_here_as_negative_is_put_right() -> None:
    """Only one side read it, so the reading stands; it contradicts what was said."""
    bay = SharedBay()
    bay.developing()
    bay.must(bay.look_act(CLEAR), "5:00")
    sides = bay.cut()
    sides.theirs.must(bay.tell_act(), "6:00")
    sides.ours.must(sides.ours.read_act(NEGATIVE), "18:00")

    found = sides.join()

    assert not found.apart
    assert [*found.board.to_put_right] == ["id-C1"]


def test_the_first_of_two_readings_on_both_sides_is_no_second_one() -> None:
    """Neither is shown to whoever reads second, and no outcome comes of the two."""
    bay = SharedBay()
    bay.asks_second()
    bay.developing()
    sides = bay.cut()
    sides.theirs.must_anyway(sides.theirs.read_act(CLEAR), "17:45")
    sides.ours.must(sides.ours.read_act(CLEAR, by="op-2"), "17:50")

    found = sides.join("18:00")

    assert one(found).stage is Stage.SECOND_READING_DUE
    assert one(found).outcome is None
    after = Bay(found.board)
    after.must(after.read_act(CLEAR, by="op-2"), "18:30")
    assert after.cartridge().outcome is Outcome.WITHHELD


def test_a_second_reading_on_both_sides_is_withheld() -> None:
    """The first was made before the cut; each side then asked somebody else."""
    bay = second_due()
    sides = bay.cut()
    sides.theirs.must_anyway(sides.theirs.read_act(CLEAR, by="op-2"), "18:00")
    sides.ours.must(sides.ours.read_act(CLEAR, by="op-2"), "18:01")

    found = sides.join()

    assert reasons(found) == [ApartReason.READ_THERE]
    assert one(found).outcome is Outcome.WITHHELD


def test_a_second_reading_here_alone_stands() -> None:
    """One station read it first, the same one asked for the second."""
    bay = second_due()
    sides = bay.cut()
    sides.ours.must(sides.ours.read_act(CLEAR, by="op-2"), "18:00")

    assert one(sides.join()).outcome is Outcome.POSITIVE


def test_a_reading_under_a_typed_name_on_both_sides_is_withheld_too() -> None:
    """Whose name it was is kept with it; nobody on the list read it here."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    sides.theirs.must_anyway(sides.theirs.read_act(NEGATIVE), "17:45")
    unverified = ReadUnverified(aim=replace(bay.aim(), by=""), bands=CLEAR, name=private("A. Name"))
    sides.ours.must(unverified, "18:00")

    found = sides.join()

    assert reasons(found) == [ApartReason.READ_THERE, ApartReason.FOLLOWS]
    assert one(found).outcome is Outcome.WITHHELD
    assert one(found).holds[-1].by is None


def test_a_further_hold_on_what_both_looked_at_lifts_nothing() -> None:
    """It is read in the end, and stays withheld for whoever is to hear of it."""
    bay = SharedBay()
    bay.developing()
    for when, reason in (
        ("3:00", HoldReason.READ_ON_BOTH_SIDES),
        ("4:00", HoldReason.TEMPERATURE),
    ):
        bay.put(ReadingHeld(at=at(when), by=None, cartridge="id-C1", reasons=(reason,)))

    bay.must(bay.read_act(CLEAR), "18:00")

    result = result_called(bay.board, "id-C1")
    assert result is not None
    assert result.status is ResultStatus.WITHHELD
    assert bay.cartridge().outcome is Outcome.WITHHELD

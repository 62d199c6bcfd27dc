"""What had ended on one side of a cut link, and was ended, corrected or told on the other."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import CLEAR, FAINT, NEGATIVE, at, private
from core.board.paper_bench import run
from core.board.review_acts import amend
from core.board.stations_bench import SharedBay, correct, one, read_before, reasons, second_due
from readbell.core.board.joining_up import Same, Stands
from readbell.core.cartridge.events import (
    AlertKind,
    CartridgeLapsed,
    CartridgeRead,
    CartridgeVoided,
    ReadingCorrected,
)
from readbell.core.cartridge.stage import Stage
from readbell.core.instant import Span, later
from readbell.core.paper.events import PaperRunEntered
from readbell.core.reading.interpretation import Outcome
from readbell.core.results.status import ResultStatus
from readbell.core.results.telling import Channel, Hearer, ResultTold
from readbell.core.review.acts import WithdrawResult
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import HoldReason, WithdrawReason
from readbell.core.stations.apart import ApartReason
from readbell.core.stock.acts import UseBuffer


def test_a_first_reading_corrected_here_after_the_second_was_made_there_is_held() -> None:
    """What the two came to rests on the first as it was."""
    bay = second_due()
    sides = bay.cut()
    sides.theirs.must_anyway(sides.theirs.read_act(CLEAR, by="op-2"), "18:00")
    sides.ours.must_anyway(correct(bay, NEGATIVE), "18:01")

    found = sides.join()

    assert reasons(found, ReadingCorrected) == [ApartReason.READ_THERE]
    assert one(found).held == (HoldReason.ACTED_APART,)


def test_what_lapsed_there_and_was_read_here_stays_lapsed_and_is_owed_its_repeat() -> None:
    """Nobody may make a result of it by joining up; the reading is kept, and somebody looks at it."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    sides.theirs.wait_anyway("30:00")
    sides.ours.must(sides.ours.read_act(CLEAR), "18:00")

    found = sides.join()

    assert reasons(found, CartridgeRead) == [ApartReason.LAPSED_THERE]
    assert (one(found).stage, one(found).outcome) == (Stage.LAPSED, Outcome.INVALID)
    assert found.follow == ()
    assert "id-C1" in found.board.owed


def test_what_lapsed_there_with_a_positive_seen_early_is_withheld_if_it_was_read_here() -> None:
    """The early positive stood; the reading here may say otherwise."""
    bay = SharedBay()
    bay.developing()
    bay.must(bay.look_act(CLEAR), "5:00")
    sides = bay.cut()
    sides.theirs.wait_anyway("30:00")
    sides.ours.must(sides.ours.read_act(NEGATIVE), "18:00")

    assert one(sides.join()).outcome is Outcome.WITHHELD


def test_what_was_voided_there_and_read_here_stays_void() -> None:
    """Whoever gave it up had a reason; the reading is kept apart."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    sides.theirs.must_anyway(sides.theirs.void_act(), "10:00")
    sides.ours.must(sides.ours.read_act(CLEAR), "18:00")

    found = sides.join()

    assert reasons(found) == [ApartReason.VOIDED_THERE]
    assert (one(found).stage, one(found).outcome) == (Stage.VOID, None)
    assert "id-C1" in found.board.owed
    assert found.follow == ()


def test_what_was_read_there_and_voided_here_is_held() -> None:
    """Somebody here knew of a reason to give it up."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    sides.theirs.must_anyway(sides.theirs.read_act(NEGATIVE), "18:00")
    sides.ours.must(sides.ours.void_act(), "18:01")

    found = sides.join()

    assert reasons(found, CartridgeVoided) == [ApartReason.READ_THERE]
    assert one(found).outcome is Outcome.NEGATIVE
    assert one(found).held == (HoldReason.ACTED_APART,)


def test_what_was_looked_at_there_and_voided_here_runs_on_and_is_held() -> None:
    """A positive that was seen forbids a void, wherever it was seen."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    sides.theirs.must_anyway(sides.theirs.look_act(CLEAR), "7:00")
    sides.ours.must(sides.ours.void_act(), "7:01")

    found = sides.join("8:00")

    assert reasons(found) == [ApartReason.READ_THERE]
    assert one(found).stage is Stage.DEVELOPING
    assert one(found).held == (HoldReason.ACTED_APART,)


def test_what_was_read_there_and_lapsed_here_stays_read() -> None:
    """It was read in its window; that nobody read it here is no news to anybody."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    sides.theirs.must_anyway(sides.theirs.read_act(NEGATIVE), "18:00")
    sides.ours.wait("30:00")

    found = sides.join()

    assert reasons(found, CartridgeLapsed) == [ApartReason.READ_THERE]
    assert one(found).outcome is Outcome.NEGATIVE
    assert not found.asks_somebody


def test_what_was_taken_back_there_is_not_corrected_here() -> None:
    """A supervisor had the last word."""
    bay = read_before()
    sides = bay.cut()
    sides.theirs.must(
        WithdrawResult(
            by="op-2", cartridge="C1", reason=WithdrawReason.PROCEDURE, words=private("w")
        ),
        "18:00",
    )
    sides.ours.must(correct(bay, CLEAR), "18:01")

    found = sides.join()

    assert reasons(found) == [ApartReason.VOIDED_THERE]
    assert one(found).outcome is None


def test_a_correction_made_here_alone_stands() -> None:
    """Its reader mended a slip, and nobody had heard of the result."""
    bay = read_before()
    sides = bay.cut()
    sides.ours.must(correct(bay, CLEAR), "18:00")

    assert one(sides.join()).outcome is Outcome.POSITIVE


def test_a_correction_after_somebody_was_told_there_is_for_a_supervisor() -> None:
    """What was told is changed by nobody else; and it is held, for its reader says otherwise."""
    bay = read_before()
    sides = bay.cut()
    sides.theirs.must(bay.tell_act(), "17:50")
    sides.ours.must(correct(bay, CLEAR), "18:00")

    found = sides.join()

    assert reasons(found) == [ApartReason.TOLD_THERE]
    assert one(found).outcome is Outcome.NEGATIVE
    assert one(found).held == (HoldReason.ACTED_APART,)


def test_corrections_on_both_sides_are_for_a_supervisor() -> None:
    """Of one reading there is one last word of its reader."""
    bay = read_before()
    sides = bay.cut()
    sides.theirs.must(correct(bay, CLEAR), "17:50")
    sides.ours.must(correct(bay, FAINT), "18:00")

    found = sides.join()

    assert reasons(found) == [ApartReason.DONE_THERE]
    assert one(found).held == (HoldReason.ACTED_APART,)


def test_a_correction_of_what_a_supervisor_decided_there_is_apart() -> None:
    """They decided on the reading as it was."""
    bay = read_before()
    sides = bay.cut()
    sides.theirs.must(amend(), "17:50")
    sides.ours.must(correct(bay, FAINT), "18:00")

    found = sides.join()

    assert reasons(found) == [ApartReason.DECIDED_THERE]
    assert one(found).outcome is Outcome.POSITIVE


def test_a_correction_of_what_turned_out_to_be_read_on_both_sides_is_apart() -> None:
    """A third station joined up first."""
    bay = read_before()
    sides = bay.cut()
    sides.theirs.record(
        ReadingHeld(
            at=at("17:55"), by=None, cartridge="id-C1", reasons=(HoldReason.READ_ON_BOTH_SIDES,)
        )
    )
    sides.ours.must(correct(bay, CLEAR), "18:00")

    found = sides.join()

    assert reasons(found) == [ApartReason.READ_THERE]
    assert one(found).outcome is Outcome.WITHHELD


def test_a_lapse_that_was_found_there_at_another_instant_is_the_same_lapse() -> None:
    """The drops may have been stated anew there; it lapsed once."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    for side in (sides.ours, sides.theirs):
        side.wait_anyway("30:00")
    sides.theirs.events[:] = [
        replace(each, at=later(each.at, Span(1))) if isinstance(each, CartridgeLapsed) else each
        for each in sides.theirs.events
    ]

    found = sides.join()

    kinds = [type(each) for each in found.fates if isinstance(each.event, CartridgeLapsed)]
    assert kinds == [Same]


def test_that_it_lapsed_is_told_once_more_where_the_record_has_the_lapse_alone() -> None:
    """The other station went away before it had said so."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    for side in (sides.ours, sides.theirs):
        side.wait_anyway("30:00")
    del sides.theirs.events[-1]

    found = sides.join()

    assert [type(each) for each in found.fates][-1] is Stands
    assert (AlertKind.LAPSED, "") in one(found).raised


def test_that_somebody_was_told_of_a_run_on_paper_stands() -> None:
    """It is no cartridge, and has a name of its own."""
    bay = SharedBay()
    (entered,) = bay.must(run(), "60:00")
    assert isinstance(entered, PaperRunEntered)
    sides = bay.cut()
    sides.ours.record(
        ResultTold(
            at=at("3:00"),
            by="key-op-1",
            cartridge=entered.run,
            version=1,
            status=ResultStatus.FINAL,
            outcomes=(),
            to=Hearer.PERSON,
            how=Channel.SPOKEN,
        )
    )

    assert [type(each) for each in sides.join().fates] == [Stands]


def test_which_buffer_it_was_run_with_is_noted_though_it_was_read_there() -> None:
    """It takes nothing away from the reading."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    sides.theirs.must_anyway(sides.theirs.read_act(NEGATIVE), "17:45")
    sides.ours.must(UseBuffer(by="op-1", cartridge="C1", buffer="B-1"), "17:50")

    found = sides.join()

    assert not found.apart
    assert found.board.stock_room.buffers["id-C1"].buffer == "B-1"
    assert one(found).held == ()


@pytest.mark.parametrize("ends", ["read", "lapsed", "void"])
def test_which_buffer_it_was_run_with_is_noted_of_what_has_ended_here(ends: str) -> None:
    """Whoever noticed it late may still say so."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    if ends == "read":
        sides.ours.must(sides.ours.read_act(NEGATIVE), "18:00")
    elif ends == "void":
        sides.ours.must(sides.ours.void_act(), "18:00")
    sides.ours.wait("30:00")
    sides.ours.must(UseBuffer(by="op-1", cartridge="C1", buffer="B-1"), "31:00")

    found = sides.join()

    assert not found.apart
    assert "id-C1" in found.board.stock_room.buffers

"""A cartridge carried on on both sides of a cut link, and what does not fit what was done there."""

from __future__ import annotations

from builders import CLEAR, NEGATIVE, at
from core.board.stations_bench import (
    BENCH,
    WINDOW,
    SharedBay,
    one,
    reasons,
)
from readbell.core.board.events import ClockUnsure
from readbell.core.cartridge.acts import StateApplication
from readbell.core.cartridge.events import (
    AlertKind,
    AlertRaised,
    ApplicationStated,
    CartridgeRead,
    StepDone,
)
from readbell.core.cartridge.moment import timed
from readbell.core.cartridge.stage import Stage
from readbell.core.controls.events import SampleJudged
from readbell.core.controls.verdict import Verdict
from readbell.core.reading.interpretation import Outcome
from readbell.core.review.reasons import HoldReason
from readbell.core.stations.apart import ApartReason
from readbell.core.stations.events import CartridgeHeld
from readbell.core.stock.acts import UseBuffer
from readbell.core.stock.events import LotHeld


def test_a_cartridge_given_up_and_carried_on_by_both_goes_on_there_and_is_held() -> None:
    """One swab, one strip, two hands: whatever was done here is kept, and nothing comes by itself."""
    bay = SharedBay()
    bay.label()
    bay.step("buffer", "0:00")
    bay.hold()
    sides = bay.cut()
    sides.give_up()
    for side, now in ((sides.theirs, "2:31"), (sides.ours, "2:32")):
        side.must(side.step_act("collect"), now)
        side.must(side.step_act("extract"), now)
    sides.ours.must(sides.ours.step_act("withdraw"), "3:40")
    sides.ours.must(sides.ours.step_act("apply"), "4:00")
    sides.ours.wait("19:00")
    sides.ours.must(sides.ours.read_act(CLEAR), "19:30")

    found = sides.join()

    assert set(reasons(found, StepDone)) == {ApartReason.DONE_THERE}
    assert reasons(found, CartridgeRead) == [ApartReason.DONE_THERE]
    assert set(reasons(found, AlertRaised)) <= {ApartReason.FOLLOWS, ApartReason.DONE_THERE}
    assert one(found).stage is Stage.EXTRACTING
    assert one(found).held == (HoldReason.READ_ON_BOTH_SIDES,)
    assert found.board.holders["id-C1"] == BENCH


def test_steps_on_both_sides_are_held_though_nobody_looked() -> None:
    """The strip that is read in the end may have had two swabs."""
    bay = SharedBay()
    bay.label()
    bay.hold()
    sides = bay.cut()
    sides.give_up()
    for side, now in ((sides.theirs, "2:40"), (sides.ours, "2:41")):
        side.must(side.step_act("buffer"), now)

    found = sides.join("3:00")

    assert one(found).held == (HoldReason.ACTED_APART,)
    assert [each.reason for each in found.apart if isinstance(each.event, StepDone)] == [
        ApartReason.DONE_THERE
    ]


def test_what_a_station_that_was_given_up_did_alone_stands_where_nobody_else_went_on() -> None:
    """It came back after all, and nothing was done twice."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    sides.give_up()
    sides.ours.must(sides.ours.read_act(NEGATIVE), "18:00")

    found = sides.join()

    assert not found.apart
    assert one(found).outcome is Outcome.NEGATIVE


def test_an_alert_of_a_cartridge_that_is_carried_on_there_does_not_count_as_raised() -> None:
    """It was read once there and calls for a second reader: our first call must not silence that."""
    bay = SharedBay()
    bay.asks_second()
    bay.developing()
    sides = bay.cut()
    sides.theirs.must_anyway(sides.theirs.read_act(CLEAR), "17:31")
    sides.ours.wait("17:32")

    found = sides.join("18:00")

    assert ApartReason.DONE_THERE in reasons(found, AlertRaised)
    assert (AlertKind.READ_NOW, "") not in one(found).raised


def test_from_the_first_step_that_does_not_fit_all_of_ours_is_apart() -> None:
    """A step out of turn would make times of nothing."""
    bay = SharedBay()
    bay.label()
    bay.hold()
    sides = bay.cut()
    sides.ours.must(sides.ours.step_act("buffer"), "2:40")
    sides.ours.must(sides.ours.step_act("collect"), "2:50")
    sides.ours.must(sides.ours.step_act("extract"), "2:55")
    sides.ours.record(CartridgeHeld(at=at("2:56"), cartridge="id-C1", station=WINDOW))
    sides.ours.wait("4:00")
    del sides.ours.events[0]

    found = sides.join("4:00")

    assert reasons(found, StepDone) == [ApartReason.DOES_NOT_FIT, ApartReason.FOLLOWS]
    assert reasons(found, CartridgeHeld) == [ApartReason.FOLLOWS]
    assert reasons(found, AlertRaised) == [ApartReason.FOLLOWS]
    assert one(found).stage is Stage.LABELLED


def test_the_time_of_the_drops_stated_here_stands() -> None:
    """The clock was in doubt before the link went."""
    bay = SharedBay()
    bay.developing()
    bay.put(ClockUnsure(at=at("2:40"), cartridges=("id-C1",)))
    sides = bay.cut()
    act = StateApplication(aim=bay.aim(), witness="op-2", done_at=at("2:30"))
    sides.ours.must(act, "3:00")

    found = sides.join("4:00")

    assert not found.apart
    assert not one(found).unsure


def test_the_time_of_drops_that_never_fell_is_apart() -> None:
    """It would put the drops where another step was."""
    bay = SharedBay()
    bay.label()
    bay.hold()
    sides = bay.cut()
    sides.ours.events.append(
        ApplicationStated(
            at=at("3:00"),
            by="key-op-1",
            witness="key-op-2",
            cartridge="id-C1",
            done=timed(at("2:30")),
        )
    )

    found = sides.join("4:00")

    assert reasons(found) == [ApartReason.DOES_NOT_FIT]
    assert one(found).held == (HoldReason.ACTED_APART,)


def test_what_speaks_of_nothing_that_the_record_knows_is_apart() -> None:
    """A cartridge, a lot or a control material that nobody introduced."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    for event in (
        AlertRaised(
            at=at("3:00"),
            cartridge="id-gone",
            alert=AlertKind.READ_NOW,
            due=at("3:00"),
            step="",
        ),
        LotHeld(at=at("3:00"), by=None, number="L-gone"),
        SampleJudged(
            at=at("3:00"),
            by="key-op-1",
            cartridge="id-C1",
            material="gone",
            lot="L-100",
            verdict=Verdict.FAILED,
            concerned=(),
        ),
    ):
        sides.ours.events.append(event)

    found = sides.join()

    assert reasons(found) == [ApartReason.DOES_NOT_FIT] * 3


def test_which_buffer_was_used_is_apart_with_the_step_that_it_was_used_for() -> None:
    """The strip that counts was run with another."""
    bay = SharedBay()
    bay.label()
    bay.hold()
    sides = bay.cut()
    sides.give_up()
    for side, now in ((sides.theirs, "2:40"), (sides.ours, "2:41")):
        side.must(side.step_act("buffer"), now)
    sides.ours.must(UseBuffer(by="op-1", cartridge="C1", buffer="B-1"), "2:42")

    found = sides.join("3:00")

    assert reasons(found) == [ApartReason.DONE_THERE, ApartReason.FOLLOWS]

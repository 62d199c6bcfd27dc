"""A step that was taken back on one side of a cut link, while the other side went on."""

from __future__ import annotations

import pytest

from builders import CLEAR, FAINT, NEGATIVE, at
from core.board.stations_bench import BENCH, Cut, SharedBay, appended, one, reasons
from readbell.core.board.events import ClockUnsure
from readbell.core.board.fold import replay
from readbell.core.board.joining_up import join_up
from readbell.core.cartridge.acts import DoSteps, TakeBackStep
from readbell.core.cartridge.events import (
    AlertKind,
    AlertRaised,
    CartridgeRead,
    EarlyPositiveSeen,
    Identified,
    StepDone,
    StepTakenBack,
    TakeBackReason,
)
from readbell.core.cartridge.stage import Stage
from readbell.core.reading.interpretation import Outcome
from readbell.core.review.reasons import HoldReason
from readbell.core.stations.apart import ApartReason


def back(bay: SharedBay, step: str = "apply") -> TakeBackStep:
    """The act that takes a step of C1 back."""
    return TakeBackStep(aim=bay.aim(), step=step, reason=TakeBackReason.NOT_DONE)


def parted(*, carried_on: bool = True) -> tuple[SharedBay, Cut]:
    """C1 develops on the clock of the window; the bench may give that up and carry it on."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    if carried_on:
        sides.give_up()
    return bay, sides


def test_a_step_taken_back_alone_and_done_again_stands() -> None:
    """With its alerts, which fell anew for the true drops."""
    bay, sides = parted(carried_on=False)
    sides.ours.wait("18:00")
    sides.ours.must(back(bay), "18:10")
    sides.ours.must(bay.step_act("apply"), "18:30")
    sides.ours.wait("34:00")
    sides.ours.must(bay.read_act(CLEAR), "34:00")

    found = sides.join()

    assert not found.apart
    assert one(found).outcome is Outcome.POSITIVE
    assert [each.event.steps for each in one(found).taken_back] == [("apply",)]
    applied = one(found).applied
    assert applied is not None
    assert applied.said == at("18:30")


def test_alerts_of_drops_that_were_taken_back_do_not_count_for_the_true_ones() -> None:
    """The others had recorded the call to read by the first; the second calls all the same."""
    bay, sides = parted(carried_on=False)
    sides.ours.must(back(bay), "3:00")
    sides.ours.must(bay.step_act("apply"), "3:10")
    sides.theirs.wait_anyway("18:00")

    found = sides.join("18:00")

    assert not found.apart
    assert (AlertKind.READ_NOW, "") not in one(found).raised


def test_taken_back_there_and_read_here_nothing_comes_of_it_without_a_supervisor() -> None:
    """Somebody says that no drops fell on it, and somebody else saw a line."""
    bay, sides = parted()
    sides.theirs.must(back(bay), "3:00")
    sides.ours.wait("18:00")
    sides.ours.must(bay.read_act(CLEAR), "18:00")

    found = sides.join()

    assert reasons(found, CartridgeRead) == [ApartReason.DONE_THERE]
    assert one(found).held == (HoldReason.READ_ON_BOTH_SIDES,)
    assert (one(found).stage, one(found).outcome) == (Stage.EXTRACTING, None)


def test_taken_back_there_and_done_again_a_reading_here_of_the_first_drops_is_apart() -> None:
    """It may have been too early by the true ones; what is read in their window is withheld too."""
    bay, sides = parted()
    sides.theirs.must(back(bay), "3:00")
    sides.theirs.must(bay.step_act("apply"), "9:00")
    sides.ours.must(bay.look_act(FAINT), "5:00")
    sides.ours.wait("18:00")
    sides.ours.must(bay.read_act(CLEAR), "18:00")
    found = sides.join("18:30")
    bay.board = found.board
    bay.must(bay.read_act(CLEAR), "25:00")

    assert reasons(found, EarlyPositiveSeen) == [ApartReason.DONE_THERE]
    assert reasons(found, CartridgeRead) == [ApartReason.DONE_THERE]
    assert one(found).held == (HoldReason.READ_ON_BOTH_SIDES,)
    assert bay.cartridge().outcome is Outcome.WITHHELD


def test_of_what_was_looked_at_apart_no_step_is_taken_back_any_more() -> None:
    """Something was seen on it, whoever it counts for."""
    bay, sides = parted()
    sides.theirs.must(back(bay), "3:00")
    sides.theirs.must(bay.step_act("apply"), "9:00")
    sides.ours.must(bay.look_act(FAINT), "5:00")
    bay.board = sides.join("18:30").board

    assert bay.refused(back(bay), "19:00").code == "already-read"


@pytest.mark.parametrize("looked", ["read", "look"])
def test_taken_back_here_and_looked_at_there_what_was_seen_stays_and_is_held(looked: str) -> None:
    """A line that was seen had drops; what is said against it a supervisor looks at."""
    bay, sides = parted()
    sides.ours.must(back(bay), "3:00")
    if looked == "read":
        sides.theirs.must_anyway(bay.read_act(NEGATIVE), "18:00")
    else:
        sides.theirs.must_anyway(bay.look_act(FAINT), "5:00")

    found = sides.join()

    assert reasons(found, StepTakenBack) == [ApartReason.READ_THERE]
    assert one(found).held == (HoldReason.ACTED_APART,)
    assert one(found).taken_back == ()
    assert one(found).applied is not None


def test_done_again_here_and_read_there_all_of_ours_is_apart() -> None:
    """The window that the others read it in was that of the first drops."""
    bay, sides = parted()
    sides.ours.must(back(bay), "3:00")
    sides.ours.must(bay.step_act("apply"), "9:00")
    sides.theirs.must_anyway(bay.read_act(NEGATIVE), "18:00")

    found = sides.join()

    assert reasons(found) == [ApartReason.READ_THERE, ApartReason.READ_THERE]
    assert one(found).held == (HoldReason.ACTED_APART,)


def test_taken_back_on_both_sides_it_stands_as_there_and_is_held() -> None:
    """Two people mended one slip; what each did behind it nobody can tell apart."""
    bay, sides = parted()
    sides.theirs.must(back(bay), "3:00")
    sides.ours.must(back(bay), "3:01")
    sides.ours.must(bay.step_act("apply"), "4:00")

    found = sides.join("5:00")

    assert reasons(found, StepTakenBack) == [ApartReason.DONE_THERE]
    assert reasons(found, StepDone) == [ApartReason.DONE_THERE]
    assert (one(found).stage, one(found).held) == (Stage.EXTRACTING, (HoldReason.ACTED_APART,))


def test_taken_back_there_and_gone_on_with_here_ours_is_apart_and_it_is_held() -> None:
    """The drops may have fallen though the swab, they say, was not out."""
    bay = SharedBay()
    bay.label()
    for step in ("buffer", "collect", "extract"):
        bay.step(step, "0:00")
    bay.step("withdraw", "1:00")
    bay.hold()
    sides = bay.cut()
    sides.give_up()
    sides.theirs.must(back(bay, "withdraw"), "3:00")
    sides.ours.must(bay.step_act("apply"), "3:01")

    found = sides.join("5:00")

    assert reasons(found, StepDone) == [ApartReason.DONE_THERE]
    assert (one(found).stage, one(found).held) == (Stage.EXTRACTING, (HoldReason.ACTED_APART,))


@pytest.mark.parametrize(
    ("ended", "reason"),
    [("lapsed", ApartReason.LAPSED_THERE), ("void", ApartReason.VOIDED_THERE)],
)
def test_what_has_ended_there_stays_ended(ended: str, reason: ApartReason) -> None:
    """It is owed its repeat, whatever was confirmed here."""
    bay, sides = parted()
    sides.ours.must(back(bay), "3:00")
    if ended == "lapsed":
        sides.theirs.wait_anyway("23:00")
    else:
        sides.theirs.must_anyway(bay.void_act(), "4:00")

    found = sides.join()

    assert reasons(found, StepTakenBack) == [reason]
    assert str(one(found).stage) == ended
    assert "id-C1" in found.board.owed


def test_where_the_clock_was_in_doubt_there_it_does_not_fit() -> None:
    """The wait before the drops would run on as if it were known; it is held, and still in doubt."""
    bay, sides = parted(carried_on=False)
    sides.ours.must(back(bay), "3:00")
    sides.theirs.record(ClockUnsure(at=at("2:50"), cartridges=("id-C1",)))

    found = sides.join("5:00")

    assert reasons(found) == [ApartReason.DOES_NOT_FIT]
    assert (one(found).unsure, one(found).held) == (True, (HoldReason.ACTED_APART,))


@pytest.mark.parametrize("steps", [(), ("withdraw",), ("withdraw", "apply")])
def test_what_was_not_confirmed_last_does_not_fit(steps: tuple[str, ...]) -> None:
    """However it came about: joining up never fails."""
    _, sides = parted(carried_on=False)
    event = StepTakenBack(
        at=at("3:00"),
        by="key-op-1",
        cartridge="id-C1",
        steps=steps,
        reason=TakeBackReason.OTHER,
        identified=Identified(),
    )
    sides.ours.events.append(event)

    found = sides.join("5:00")

    assert reasons(found) == [ApartReason.DOES_NOT_FIT]
    assert one(found).held == (HoldReason.ACTED_APART,)


def test_several_steps_by_one_press_that_were_taken_back_alone_stand() -> None:
    """As one thing that was done."""
    bay = SharedBay()
    bay.label()
    bay.must(
        DoSteps(aim=bay.aim(), steps=("buffer", "collect", "extract"), new_specimen="s"), "0:10"
    )
    bay.hold()
    sides = bay.cut()
    sides.ours.must(back(bay, "extract"), "3:00")

    found = sides.join("5:00")

    assert not found.apart
    assert one(found).stage is Stage.LABELLED


def test_joining_it_up_again_changes_nothing() -> None:
    """What stands and what is apart is found again in the record, and said once."""
    bay, sides = parted()
    sides.theirs.must(back(bay), "3:00")
    sides.ours.must(back(bay), "3:01")
    sides.ours.must(bay.step_act("apply"), "4:00")
    first = sides.join("5:00")

    again = join_up(
        sides.base,
        [*sides.theirs.events, *appended(first)],
        sides.ours.events,
        "window",
        at("6:00"),
    )

    assert not again.apart
    assert not again.follow
    assert one(again) == replay(appended(first), sides.theirs.board).labelled("C1")


def test_a_doubt_about_an_alert_never_keeps_a_call_silent() -> None:
    """An alert of ours for drops that were taken back there does not count as raised."""
    bay, sides = parted()
    sides.theirs.must(back(bay), "3:00")
    sides.theirs.must(bay.step_act("apply"), "9:00")
    sides.ours.wait("18:00")

    found = sides.join("18:30")

    assert set(reasons(found, AlertRaised)) == {ApartReason.DONE_THERE}
    assert (AlertKind.READ_NOW, "") not in one(found).raised
    assert found.board.holders["id-C1"] == BENCH

"""What one station of a shared bay may do, alone or while another one is out of reach."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

import pytest

from builders import NEGATIVE, START, TODAY, at, private
from core.board.review_acts import withdraw
from core.board.stations_bench import BENCH, WINDOW, SharedBay
from readbell.core.board.acts import Act, HearAlert, HoldLot, RegisterOperator, RegisterPerson
from readbell.core.board.stations import (
    OTHER_MARK,
    SAFE_ALONE,
    Here,
    label_prefix,
    mark_of,
    refused_here,
    stays_done,
    take_unheld,
    with_holder,
)
from readbell.core.cartridge.acts import CorrectReading, StateApplication, TakeBackStep
from readbell.core.cartridge.events import SlipReason, TakeBackReason
from readbell.core.cartridge.unverified import ReadUnverified
from readbell.core.exports.acts import NoteExport
from readbell.core.instant import Span
from readbell.core.people.acts import LabelAhead
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.results.telling import TellResult
from readbell.core.review.acts import AmendResult, ReleaseReading, WithdrawResult
from readbell.core.shift.acts import CloseShift, OpenShift
from readbell.core.staff.acts import GiveRoles, RetireOperator, SignIn
from readbell.core.stations.acts import GiveUpStation, SettleApart
from readbell.core.stations.apart import Settling
from readbell.core.stations.events import CartridgeHeld, StationGivenUp, StationLeft
from readbell.core.stations.station import StationState
from readbell.core.stock.acts import CorrectLot, RecallLot, ReleaseLot, UseBuffer

LINKED = Here(station=WINDOW)
ALONE = Here(station=WINDOW, is_alone=True, away=frozenset({BENCH}))
BENCH_AWAY = Here(station=WINDOW, away=frozenset({BENCH}))


def acts_on(bay: SharedBay, label: str) -> list[Act]:
    """Everything by which a cartridge is changed."""
    aim = bay.aim(label)
    return [
        bay.step_act("apply", label),
        TakeBackStep(aim=aim, step="apply", reason=TakeBackReason.NOT_DONE),
        bay.look_act(NEGATIVE, label),
        bay.read_act(NEGATIVE, label),
        bay.void_act(label),
        ReadUnverified(aim=replace(aim, by=""), bands=NEGATIVE, name=private("A. Name")),
        CorrectReading(aim=aim, bands=NEGATIVE, reason=SlipReason.OTHER),
        StateApplication(aim=aim, witness="op-2", done_at=START, give_or_take=Span(0)),
        UseBuffer(by="op-1", cartridge=label, buffer="B-1"),
    ]


def test_while_a_station_is_linked_every_station_works_on_everything(bay: SharedBay) -> None:
    """One swabs at the window, another one reads at the bench."""
    for label in ("C1", "C2"):
        for act in acts_on(bay, label):
            assert refused_here(bay.board, act, LINKED) is None


@pytest.mark.parametrize("here", [ALONE, BENCH_AWAY], ids=["alone", "the other away"])
def test_a_cartridge_whose_clock_runs_elsewhere_is_left_alone_while_that_is_out_of_reach(
    bay: SharedBay, here: Here
) -> None:
    """Somebody may be reading it there this very moment."""
    taken_back = withdraw(label="C2")
    for act in (*acts_on(bay, "C2"), *([] if here.is_alone else [taken_back])):
        refused = refused_here(bay.board, act, here)
        assert refused is not None, act
        assert (refused.code, refused.subject) == (RefusalCode.HELD_ELSEWHERE, BENCH)
    for act in acts_on(bay, "C1"):
        assert refused_here(bay.board, act, here) is None


def test_the_second_of_two_computers_that_are_one_station_goes_on_with_what_it_began_alone(
    bay: SharedBay,
) -> None:
    """The first one holds all else in the same name, and gives labels of the same mark."""
    second, own = (replace(ALONE, began=frozenset(ids)) for ids in ((), ("id-C1",)))
    for label in ("C1", "C2"):
        for act in acts_on(bay, label):
            refused = refused_here(bay.board, act, second)
            assert refused is not None
            assert refused.code is RefusalCode.HELD_ELSEWHERE
            assert refused_here(bay.board, act, replace(second, is_alone=False)) == refused
    for act in acts_on(bay, "C1"):
        assert refused_here(bay.board, act, own) is None
    mark = mark_of(bay.board, WINDOW)
    started = refused_here(bay.board, bay.label_act(f"{mark}-C9", "P-001"), own)
    assert started == Refusal(code=RefusalCode.ALONE)


def test_a_result_of_a_mix_up_is_taken_back_with_all_that_can_be_reached(bay: SharedBay) -> None:
    """Half a mix-up taken back is none."""
    act = replace(withdraw(label="C1"), others=("C2",))

    refused = refused_here(bay.board, act, BENCH_AWAY)

    assert refused is not None
    assert refused.code is RefusalCode.HELD_ELSEWHERE


def test_what_has_ended_is_nobodys_to_hold(bay: SharedBay) -> None:
    """A reader mends a slip wherever they stand."""
    bay.must(bay.read_act(NEGATIVE, "C2"), "18:00")
    act = CorrectReading(aim=bay.aim("C2"), bands=NEGATIVE, reason=SlipReason.OTHER)

    assert "id-C2" not in bay.board.holders
    assert refused_here(bay.board, act, ALONE) is None


def test_once_a_station_is_given_up_its_cartridges_are_its_heirs(bay: SharedBay) -> None:
    """A supervisor said that it will not come back."""
    bay.put(StationGivenUp(at=at("3:00"), by="key-op-1", station=BENCH, heir=WINDOW))

    assert bay.board.holders == {"id-C1": WINDOW, "id-C2": WINDOW}
    assert bay.board.stations[BENCH].state is StationState.GIVEN_UP
    assert refused_here(bay.board, bay.read_act(NEGATIVE, "C2"), BENCH_AWAY) is None


def test_a_running_cartridge_that_nobody_holds_is_nobodys_to_read_alone() -> None:
    """Two stations that are alone might both do it."""
    bay = SharedBay()
    bay.to_well()

    refused = refused_here(bay.board, bay.read_act(NEGATIVE), ALONE)

    assert refused is not None
    assert (refused.code, refused.subject) == (RefusalCode.HELD_ELSEWHERE, "")
    assert refused_here(bay.board, bay.read_act(NEGATIVE), BENCH_AWAY) is None
    bay.put(*take_unheld(bay.board, WINDOW, at("3:00")))
    assert refused_here(bay.board, bay.read_act(NEGATIVE), ALONE) is None
    assert take_unheld(bay.board, BENCH, at("3:00")) == ()


def test_a_station_that_has_left_and_comes_back_without_a_link_goes_on_with_nothing_it_held(
    bay: SharedBay,
) -> None:
    """It said goodbye: somebody else may be reading its strips by now."""
    bay.put(StationLeft(at=at("3:00"), station=WINDOW))

    refused = refused_here(bay.board, bay.read_act(NEGATIVE, "C1"), ALONE)

    assert refused is not None
    assert (refused.code, refused.subject) == (RefusalCode.HELD_ELSEWHERE, "")
    bench = Here(station=BENCH, away=frozenset())
    assert refused_here(bay.board, bay.read_act(NEGATIVE, "C1"), bench) is None
    assert take_unheld(bay.board, BENCH, at("3:01")) == (
        CartridgeHeld(at=at("3:01"), cartridge="id-C1", station=BENCH),
    )


def test_of_a_cartridge_that_nobody_knows_the_act_itself_says_so(bay: SharedBay) -> None:
    """It is no matter of stations."""
    assert refused_here(bay.board, bay.read_act(NEGATIVE, "C9"), ALONE) is None


def test_whoever_does_a_step_holds_the_clock_from_there(bay: SharedBay) -> None:
    """The instant of the drops is that of the station at which they fell."""
    label = bay.must(bay.label_act("C3"), "3:00")
    held = with_holder(bay.board, label, BENCH)[-1]
    assert held == CartridgeHeld(at=at("3:00"), cartridge="id-C3", station=BENCH)
    bay.put(held)

    step = bay.must(bay.step_act("buffer", "C3"), "3:10")

    assert with_holder(bay.board, step, BENCH) == step
    assert with_holder(bay.board, step, WINDOW)[-1] == CartridgeHeld(
        at=at("3:10"), cartridge="id-C3", station=WINDOW
    )
    read = bay.must(bay.read_act(NEGATIVE, "C1"), "18:00")
    assert with_holder(bay.board, read, BENCH) == read


def test_whoever_takes_a_step_back_holds_the_clock_from_there(bay: SharedBay) -> None:
    """It is in their hands; what was confirmed elsewhere was not done there."""
    act = TakeBackStep(aim=bay.aim("C1"), step="apply", reason=TakeBackReason.NOT_DONE)
    taken_back = bay.must(act, "3:00")

    assert with_holder(bay.board, taken_back, WINDOW) == taken_back
    assert with_holder(bay.board, taken_back, BENCH)[-1] == CartridgeHeld(
        at=at("3:00"), cartridge="id-C1", station=BENCH
    )


def unsafe(bay: SharedBay) -> list[Act]:
    """Some of what rests on what others may be doing meanwhile."""
    words = private("words")
    return [
        RegisterOperator(by="op-1", operator=private("op-9")),
        RetireOperator(by="op-1", operator="op-2"),
        RecallLot(by="op-1", lot="L-100", words=None),
        CorrectLot(by="op-1", lot="L-100", today=TODAY, words=words, assay="another"),
        CloseShift(by="op-1", today=TODAY),
        ReleaseReading(by="op-1", cartridge="C1", words=words),
        withdraw(label="C1"),
        bay.tell_act(),
        GiveUpStation(by="op-1", station=BENCH, heir=WINDOW, away=frozenset({BENCH})),
        SettleApart(by="op-1", number=0, how=Settling.LEFT),
    ]


def test_alone_a_station_does_the_work_at_hand_and_what_only_stops_something(
    bay: SharedBay,
) -> None:
    """All else waits for the link."""
    for act in unsafe(bay):
        assert refused_here(bay.board, act, ALONE) == Refusal(code=RefusalCode.ALONE)
        assert refused_here(bay.board, act, LINKED) is None
    for act in (
        RegisterPerson(by="op-1", person=private("P-009")),
        HearAlert(by="op-1", cartridge="C2"),
        HoldLot(by="op-1", lot="L-100"),
        SignIn(by="op-1"),
    ):
        assert refused_here(bay.board, act, ALONE) is None


def test_nothing_that_others_rest_on_is_safe_alone() -> None:
    """A list that grows by mistake would be found out by nobody else."""
    never = {
        AmendResult, WithdrawResult, ReleaseReading, TellResult, NoteExport, OpenShift, CloseShift,
        RecallLot, ReleaseLot, CorrectLot, GiveUpStation, SettleApart, RegisterOperator, RetireOperator,
        GiveRoles,
    }  # fmt: skip

    assert not SAFE_ALONE & never
    assert set(get_args(Act)) >= SAFE_ALONE


def test_a_label_made_alone_bears_the_mark_of_its_station(bay: SharedBay) -> None:
    """So no two devices ever bear one label."""
    assert label_prefix(bay.board, ALONE) == "A-"
    assert label_prefix(bay.board, LINKED) == ""
    for label, here, expected in (
        ("A-01", ALONE, None),
        ("C9", ALONE, Refusal(code=RefusalCode.ALONE, subject="A")),
        ("B-01", ALONE, Refusal(code=RefusalCode.ALONE, subject="A")),
        ("A-01", LINKED, None),
        ("C9", LINKED, None),
        ("B-01", LINKED, Refusal(code=RefusalCode.NOT_ALLOWED, subject=OTHER_MARK)),
    ):
        ahead = LabelAhead(by="op-1", person="P-001", label=label, day_began=START)
        assert refused_here(bay.board, bay.label_act(label), here) == expected
        assert refused_here(bay.board, ahead, here) == expected


def test_a_station_that_never_joined_labels_nothing_alone(bay: SharedBay) -> None:
    """It has no mark."""
    stranger = Here(station="stranger", is_alone=True)

    assert mark_of(bay.board, "stranger") == ""
    assert label_prefix(bay.board, stranger) == ""
    assert refused_here(bay.board, bay.label_act("-01"), stranger) == Refusal(
        code=RefusalCode.ALONE
    )


def test_an_act_that_finds_the_link_lost_stays_done_if_it_is_safe_alone(bay: SharedBay) -> None:
    """The bench may be reading its strip: that is not read here as well."""
    assert stays_done(bay.board, bay.read_act(NEGATIVE, "C1"), LINKED)
    assert not stays_done(bay.board, bay.read_act(NEGATIVE, "C2"), LINKED)
    assert not stays_done(bay.board, CloseShift(by="op-1", today=TODAY), LINKED)
    assert stays_done(bay.board, bay.read_act(NEGATIVE, "C2"), None)


def test_a_label_that_finds_the_link_lost_stays_done(bay: SharedBay) -> None:
    """The device bears it by now."""
    ahead = LabelAhead(by="op-1", person="P-001", label="C9", day_began=START)

    assert refused_here(bay.board, ahead, ALONE) is not None
    assert stays_done(bay.board, ahead, LINKED)

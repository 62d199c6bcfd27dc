"""What called on both sides of a cut link, what was heard of it, and what the clock said."""

from __future__ import annotations

from dataclasses import replace

from builders import NEGATIVE, at
from core.board.stations_bench import SharedBay, appended, one, reasons
from readbell.core.board.acts import HearAlert
from readbell.core.board.events import AlertHeard, ClockUnsure
from readbell.core.board.joining_up import Apart, Same
from readbell.core.cartridge.acts import StateApplication
from readbell.core.cartridge.events import AlertRaised
from readbell.core.cartridge.stage import Stage
from readbell.core.stations.apart import ApartReason


def test_an_alert_and_a_lapse_that_both_recorded_are_one() -> None:
    """Both boards ring, and the record says it once."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    for side in (sides.ours, sides.theirs):
        side.wait_anyway("30:00")

    found = sides.join()

    assert sides.ours.events
    assert all(isinstance(each, Same) for each in found.fates)
    assert one(found).stage is Stage.LAPSED


def test_an_alert_that_one_side_recorded_a_moment_later_is_the_same_alert() -> None:
    """Its announcement may differ by milliseconds; what it tells of does not."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    sides.ours.wait("17:30.001")
    sides.theirs.wait("17:32")

    found = sides.join()

    kinds = [type(each) for each in found.fates if isinstance(each.event, AlertRaised)]
    assert kinds
    assert set(kinds) == {Same}


def test_what_was_heard_on_both_sides_is_said_once() -> None:
    """One acknowledgement is enough, whoever gave it."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    for side, now in ((sides.ours, "17:40"), (sides.theirs, "17:45")):
        side.wait("17:30.001")
        side.must(HearAlert(by="op-1", cartridge="C1"), now)

    found = sides.join()

    assert [type(each) for each in found.fates if isinstance(each.event, AlertHeard)] == [Same]


def test_what_was_heard_here_alone_is_heard() -> None:
    """It rested the sound here, and says so in the record."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    sides.ours.wait("17:30.001")
    sides.ours.must(HearAlert(by="op-1", cartridge="C1"), "17:40")

    assert sides.join().board.heard["id-C1"].at == at("17:40")


def test_what_was_heard_of_a_cartridge_that_ended_elsewhere_is_kept_and_asks_nobody() -> None:
    """Nothing calls any more."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    sides.ours.wait("17:30.001")
    sides.ours.must(HearAlert(by="op-1", cartridge="C1"), "17:40")
    sides.theirs.must_anyway(sides.theirs.read_act(NEGATIVE), "18:00")

    found = sides.join()

    assert reasons(found, AlertHeard) == [ApartReason.READ_THERE]
    assert not found.asks_somebody
    assert "id-C1" not in found.board.heard


def test_a_doubted_clock_names_only_cartridges_that_the_record_has() -> None:
    """The doubt about the others counts though one of them is apart."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    sides.theirs.must_anyway(sides.theirs.label_act("A-01", "P-002"), "3:00")
    ours = sides.ours
    ours.must(replace(ours.label_act("A-01", "P-001"), new_id="id-ours"), "3:00")
    ours.record(ClockUnsure(at=at("4:00"), cartridges=("id-C1", "id-ours")))

    found = sides.join()

    assert one(found).unsure
    assert [each.event for each in found.fates if isinstance(each.event, ClockUnsure)] == [
        ClockUnsure(at=at("4:00"), cartridges=("id-C1",))
    ]


def test_of_what_happened_at_one_instant_each_is_found_by_itself_the_second_time() -> None:
    """One alert was there already, another one is kept apart: they fell in the same millisecond."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    sides.theirs.record(ClockUnsure(at=at("2:40"), cartridges=("id-C1",)))
    state = StateApplication(aim=bay.aim(), witness="op-2", done_at=at("3:00"))
    sides.theirs.must_anyway(state, "3:10")
    sides.theirs.wait_anyway("20:00")
    sides.ours.wait_anyway("40:00")
    first = sides.join()
    alerts = [type(each) for each in first.fates if isinstance(each.event, AlertRaised)]
    assert {Same, Apart} == set(alerts)

    again = sides.join(theirs=[*sides.theirs.events, *appended(first)])

    assert {type(each) for each in again.fates} == {Same}

"""What was done alone goes into one record with all else: it stands once, or is kept apart."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from builders import CLEAR, NEGATIVE, THREE_LINES, TODAY, at, private
from core.board.stations_bench import (
    BENCH,
    CUT,
    WINDOW,
    Bay,
    SharedBay,
    appended,
    consent,
    one,
    reasons,
)
from readbell.core.assay.events import Basis
from readbell.core.board.acts import OpenLot, RegisterPerson
from readbell.core.board.events import ActRefused
from readbell.core.board.fold import replay
from readbell.core.board.joining_up import Apart, Same, Stands, joined_up, kept_apart
from readbell.core.board.stations import NOTHING_APART
from readbell.core.people.acts import NoteSymptoms
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import RefusalCode
from readbell.core.staff.acts import RetireOperator
from readbell.core.staff.events import OperatorRetired
from readbell.core.stations.acts import SettleApart
from readbell.core.stations.apart import ApartReason, Settling
from readbell.core.stations.events import JoinedUp, StationJoined, StationLeft
from readbell.core.stations.station import Station

if TYPE_CHECKING:
    from core.board.stations_bench import Cut
    from readbell.core.board.event import Event


def test_what_was_done_alone_by_the_rules_stands_as_it_was_done() -> None:
    """A link that was lost costs nobody a result."""
    bay = SharedBay()
    bay.developing("C1", "P-001", WINDOW)
    bay.developing("C2", "P-002", BENCH)
    sides = bay.cut()
    for side in (sides.theirs, sides.ours):
        side.wait("17:30")
    sides.ours.must(sides.ours.read_act(NEGATIVE, "C1"), "18:00")
    sides.theirs.must(sides.theirs.read_act(CLEAR, "C2"), "18:01")

    found = sides.join()

    assert [each.event for each in found.fates] == sides.ours.events
    assert not found.apart
    assert not found.asks_somebody
    assert (one(found, "C1").outcome, one(found, "C2").outcome) == (
        Outcome.NEGATIVE,
        Outcome.POSITIVE,
    )


def test_a_person_begun_alone_is_begun_for_all() -> None:
    """From the ID to the reading, under a label of the station's own."""
    sides = SharedBay().cut()
    ours = sides.ours
    ours.must(RegisterPerson(by="op-1", person=private("P-009")), "3:00")
    ours.must(replace(consent(), person="P-009"), "3:00")
    symptoms = NoteSymptoms(by="op-1", person="P-009", present=False, onset=None, today=TODAY)
    ours.must(symptoms, "3:00")
    ours.must(ours.label_act("A-01", "P-009"), "3:00")
    for step in ("buffer", "collect", "extract"):
        ours.must(ours.step_act(step, "A-01"), "3:00")
    ours.must(ours.step_act("withdraw", "A-01"), "4:00")
    ours.must(ours.step_act("apply", "A-01"), "5:00")

    found = sides.join()

    assert not found.apart
    assert found.board.holders[one(found, "A-01").id] == WINDOW
    assert found.board.persons["P-009"] == "key-P-009"


def test_what_a_station_may_not_do_alone_is_kept_apart_if_it_was_done_all_the_same() -> None:
    """It was decided in the very moment in which the link went."""
    sides = SharedBay().cut()
    sides.ours.must_anyway(RetireOperator(by="op-1", operator="op-2"), "3:00")

    found = sides.join()

    assert reasons(found) == [ApartReason.NOT_ALONE]
    assert found.asks_somebody
    assert "op-2" in found.board.operators


def test_that_somebody_was_told_stands_whatever_becomes_of_the_reading() -> None:
    """They heard it: now they are to hear that it does not hold."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    sides.theirs.must_anyway(sides.theirs.read_act(NEGATIVE), "17:45")
    sides.ours.must(sides.ours.read_act(CLEAR), "18:00")
    sides.ours.must_anyway(bay.tell_act(), "18:05")

    found = sides.join()

    assert reasons(found) == [ApartReason.READ_THERE]
    assert [*found.board.to_put_right] == ["id-C1"]


def test_a_near_miss_stands_always() -> None:
    """It changed nothing when it happened."""
    sides = SharedBay().cut()
    miss = ActRefused(
        at=at("3:00"),
        by=None,
        act="read",
        code=RefusalCode.UNKNOWN_CARTRIDGE,
        cartridge="id-nobody-knows",
        entered=None,
        bands=None,
    )
    sides.ours.record(miss)

    assert [type(each) for each in sides.join().fates] == [Stands]


def test_a_box_that_was_opened_here_stands_open() -> None:
    """Whoever scanned it last has it before them."""
    sides = SharedBay().cut()
    sides.ours.must(OpenLot(by="op-1", lot="L-100", today=TODAY), "3:00")

    assert sides.join().board.open_lot == "L-100"


def test_boxes_that_were_opened_on_both_sides_stand_open_beside_each_other() -> None:
    """One of each kit; of the same one it is the one that was joined up last."""
    bay = SharedBay()
    bay.adopt(THREE_LINES, Basis.CHECKED)
    bay.receive("L-300", THREE_LINES)
    sides = bay.cut()
    sides.theirs.must(OpenLot(by="op-1", lot="L-300", today=TODAY), "2:00")
    sides.ours.must(OpenLot(by="op-1", lot="L-100", today=TODAY), "3:00")

    board = sides.join().board
    assert (board.open_lot, set(board.open_boxes.values())) == ("L-100", {"L-100", "L-300"})


def test_joining_up_twice_changes_nothing() -> None:
    """The answer to the first time was lost: what stands, stands once."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    sides.theirs.must_anyway(sides.theirs.read_act(NEGATIVE), "17:45")
    sides.ours.wait("17:30.001")
    sides.ours.must(sides.ours.read_act(CLEAR), "18:00")
    sides.ours.must(sides.ours.label_act("A-01", "P-002"), "18:10")
    first = sides.join()
    record = [*sides.theirs.events, *appended(first)]

    again = sides.join(theirs=record)

    assert {type(each) for each in again.fates} == {Same}
    assert again.follow == ()
    assert again.board == replay(record, sides.base)


def test_a_join_up_that_was_cut_off_in_the_middle_goes_on_where_it_was() -> None:
    """Part of it stands already, and is not taken for somebody else's."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    sides.ours.must(sides.ours.look_act(CLEAR), "7:00")
    sides.ours.must(sides.ours.read_act(CLEAR), "18:00")

    found = sides.join(theirs=sides.ours.events[:1])

    assert [type(each) for each in found.fates] == [Same, Stands]
    assert one(found).outcome is Outcome.POSITIVE


def test_what_is_joined_up_is_counted() -> None:
    """So that whoever looks on knows how much came in."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    sides.theirs.must_anyway(sides.theirs.read_act(NEGATIVE), "17:45")
    sides.ours.must(sides.ours.read_act(CLEAR), "18:00")
    sides.ours.must(sides.ours.label_act("A-01", "P-002"), "18:10")

    (*_, told) = appended(sides.join())

    assert told == JoinedUp(
        at=at("40:00"), station=WINDOW, since=at(CUT), joined=2, same=0, apart=1
    )
    # A program that was begun anew does not know since when: what it did says so.
    forgot = joined_up(sides.join(), at("40:00"), WINDOW, at("39:00"))
    assert forgot.since == at("18:00")


def test_what_is_kept_apart_is_listed_until_somebody_settles_it() -> None:
    """Nothing of it is forgotten, and nothing asks for ever."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    sides.theirs.must_anyway(sides.theirs.read_act(NEGATIVE), "18:00")
    sides.ours.wait("17:40")
    sides.ours.must(sides.ours.read_act(CLEAR), "18:00")
    found = sides.join()
    after = Bay(replay(appended(found), sides.theirs.board))

    (number,) = after.board.apart
    kept = after.board.apart[number]
    assert (kept.kind, kept.reason, kept.label) == ("cartridge-read", ApartReason.READ_THERE, "C1")
    assert after.board.apart_count == len(found.apart)

    settle = SettleApart(by="op-1", number=int(number), how=Settling.LEFT)
    after.must(settle, "41:00")
    assert not after.board.apart
    assert after.refused(settle, "42:00").subject == NOTHING_APART


def test_a_station_that_was_given_up_and_came_back_is_here_again() -> None:
    """Whoever joins up works there; what it held stays with its heir."""
    bay = SharedBay()
    bay.developing()
    sides = bay.cut()
    sides.give_up()
    sides.ours.must(sides.ours.label_act("A-01", "P-002"), "3:00")

    found = sides.join("4:00")

    assert found.follow == (StationJoined(at=at("4:00"), station=WINDOW, mark="A"),)
    assert found.board.stations[WINDOW] == Station(mark="A")
    assert found.board.holders == {"id-C1": BENCH, "id-A-01": WINDOW}


def test_a_program_that_ended_and_began_again_alone_says_so_in_the_record() -> None:
    """Under its own mark; another one nobody gave it."""
    sides = SharedBay().cut()
    sides.ours.record(
        StationLeft(at=at("3:00"), station=WINDOW),
        StationJoined(at=at("4:00"), station=WINDOW, mark="A"),
        StationJoined(at=at("5:00"), station=WINDOW, mark="Q"),
        StationJoined(at=at("5:00"), station="nobody knows it", mark="R"),
    )

    found = sides.join()

    assert reasons(found) == [ApartReason.NOT_ALONE, ApartReason.NOT_ALONE]
    assert not found.asks_somebody
    assert found.board.stations[WINDOW] == Station(mark="A")
    assert found.follow == ()


def twice(event: Event) -> Cut:
    """Both sides of a cut link, on ours of which the same thing happened twice at one instant."""
    sides = SharedBay().cut()
    sides.ours.events.extend((event, event))
    return sides


def test_what_happened_twice_is_there_twice() -> None:
    """One of them in the record is not both."""
    miss = ActRefused(
        at=at("3:00"),
        by=None,
        act="read",
        code=RefusalCode.UNKNOWN_CARTRIDGE,
        cartridge=None,
        entered=None,
        bands=None,
    )

    found = twice(miss).join(theirs=[miss])

    assert [type(each) for each in found.fates] == [Same, Stands]


def test_what_is_kept_apart_twice_is_kept_twice() -> None:
    """One of them kept already is not both; and what another station keeps is not ours."""
    sides = twice(OperatorRetired(at=at("3:00"), by="key-op-1", operator="key-op-2"))
    once = kept_apart(sides.join().apart[0], at("4:00"), WINDOW, "operator-retired", 1, "{}", None)

    found = sides.join(theirs=[once])
    assert [type(each) for each in found.fates] == [Same, Apart]

    found = sides.join(theirs=[replace(once, station="office")])
    assert [type(each) for each in found.fates] == [Apart, Apart]

"""Which events belong to somebody's story, and which do not."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from builders import NEGATIVE, TODAY, at, erased, private
from core.board.erasing_bench import refused, visit
from journal.samples import Day
from readbell.core.board.acts import RegisterParty
from readbell.core.board.trail import Trail
from readbell.core.catalogue import NAMES
from readbell.core.stock.acts import CorrectLot, LastDay, RecallLot

if TYPE_CHECKING:
    from readbell.core.board.event import Event


def kinds(trail: Trail, events: list[Event]) -> list[str]:
    """Return the kind of each event that belongs to the story."""
    return [NAMES[type(event)] for event in events if trail.follows(event)]


def two_people() -> Day:
    """Return a day on which two people were tested and then the lot was recalled."""
    day = Day()
    persons = (private("P-001"), private("P-002"))
    day.must(RegisterParty(by="op-1", party=private("Car"), persons=persons))
    visit(day, "C1", "P-001")
    visit(day, "C2", "P-002")
    day.events.append(refused('{"by": "op-1", "person": "P-001"}'))
    day.events.append(refused('{"by": "op-1", "lot": "L-100"}'))
    day.must(RecallLot(by="op-2", lot="L-100", words=None), "19:00")
    return day


def test_a_person_has_their_own_story() -> None:
    """From the registration to the recall of what they were tested with."""
    day = two_people()
    told = kinds(Trail(person="key-P-001", called="P-001"), day.events)
    assert told[:3] == ["person-registered", "party-registered", "cartridge-labelled"]
    assert told.count("cartridge-read") == 1
    assert told.count("act-refused") == 1
    assert "lot-recalled" in told
    assert "lot-received" not in told


def test_without_an_id_no_near_miss_is_anybodys() -> None:
    """What was typed is compared with nothing."""
    assert "act-refused" not in kinds(Trail(person="key-P-001"), two_people().events)


def test_a_story_tells_that_its_person_was_forgotten() -> None:
    """Whoever asks why there is no name has the answer."""
    events = [*two_people().events, erased("P-001")]
    assert kinds(Trail(person="key-P-001"), events)[-1] == "record-erased"
    assert "record-erased" not in kinds(Trail(person="key-P-002"), events)
    assert kinds(Trail(cartridges=("id-C1",)), events)[-1] == "record-erased"
    assert "record-erased" not in kinds(Trail(cartridges=("id-C2",)), events)


def test_a_cartridge_has_its_steps_and_what_befell_its_lot_afterwards() -> None:
    """And nothing of another cartridge."""
    told = kinds(Trail(cartridges=("id-C2",)), two_people().events)
    assert told[0] == "cartridge-labelled"
    assert (told.count("cartridge-labelled"), told.count("step-done")) == (1, 5)
    assert "lot-recalled" in told
    assert "party-registered" not in told


def test_a_lot_has_every_cartridge_taken_from_it() -> None:
    """A recall asks just that."""
    told = kinds(Trail(lot="L-100"), two_people().events)
    assert told[0] == "lot-received"
    assert told.count("cartridge-read") == 2
    assert told.count("act-refused") == 1
    assert not kinds(Trail(lot="L-9"), two_people().events)


def test_an_operator_has_what_they_did_and_what_was_done_about_them() -> None:
    """Registered once, and each act since."""
    day = two_people()
    assert kinds(Trail(operator="key-op-2"), day.events) == [
        "operator-registered",
        *(NAMES[type(each)] for each in day.events if getattr(each, "by", "") == "key-op-2"),
    ]


def test_a_trail_after_nothing_is_the_whole_record() -> None:
    """A day is told so."""
    day = Day()
    day.to_well()
    day.must(day.read_act(NEGATIVE), "18:00")
    assert len(kinds(Trail(), day.events)) == len(day.events)


def test_that_a_lot_was_corrected_is_told_of_the_lot_and_of_whoever_was_tested_with_it() -> None:
    """It may change what their result is worth."""
    day = two_people()
    last = LastDay(on=date(2027, 1, 31), ends=at("9999:00"))
    act = CorrectLot(by="op-1", lot="L-100", today=TODAY, words=private("w"), last_day=last)
    day.must(act, "20:00")
    for trail in (
        Trail(person="key-P-001"),
        Trail(cartridges=("id-C2",)),
        Trail(lot="L-100"),
        Trail(operator="key-op-1"),
    ):
        assert "lot-corrected" in kinds(trail, day.events)

"""Labels, people, and what was said of them on both sides of a cut link."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import NEGATIVE, TODAY, at, private
from core.board.stations_bench import SharedBay, consent, label_ahead, one, reasons, refusal
from readbell.core.board.acts import RegisterParty, RegisterPerson
from readbell.core.board.joining_up import Same, Stands
from readbell.core.board.shifts import is_label_taken
from readbell.core.cartridge.events import CartridgeLabelled, StepDone
from readbell.core.cartridge.stage import Stage
from readbell.core.people.acts import NoteParticulars, NoteSymptoms
from readbell.core.people.events import ConsentNoted, ParticularNoted, PersonRegistered
from readbell.core.people.particulars import Particular, ToldTo
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import UNDECIDED
from readbell.core.policy.shifts import Shifts
from readbell.core.private import Private
from readbell.core.reading.interpretation import Outcome
from readbell.core.review.reasons import HoldReason
from readbell.core.shift.acts import CloseShift, OpenShift
from readbell.core.shift.checks import Facts
from readbell.core.stations.apart import ApartReason
from readbell.core.stations.events import CartridgeHeld


def test_two_devices_never_bear_one_label() -> None:
    """Whoever broke the rule finds all of the second device apart, and the first one held."""
    sides = SharedBay().cut()
    sides.theirs.must(sides.theirs.label_act("C1", "P-002"), "3:00")
    ours = sides.ours
    ours.must_anyway(replace(ours.label_act("C1", "P-001"), new_id="id-ours"), "3:00")
    ours.must_anyway(ours.step_act("buffer"), "3:10")

    found = sides.join("4:00")

    assert reasons(found, CartridgeLabelled) == [ApartReason.LABEL_TAKEN]
    assert reasons(found, StepDone) == [ApartReason.FOLLOWS]
    assert reasons(found, CartridgeHeld) == [ApartReason.FOLLOWS]
    (label, *_) = found.apart
    assert (label.label, label.person, label.by) == ("C1", "key-P-001", "key-op-1")
    assert one(found).labelled.subject == "key-P-002"
    assert one(found).held == (HoldReason.ACTED_APART,)


def test_a_label_written_ahead_there_for_somebody_else_is_taken() -> None:
    """It lies on the table with a name on it."""
    bay = SharedBay()
    bay.put(PolicySet(at=at("0:00"), policy=replace(UNDECIDED, label_ahead=True)))
    sides = bay.cut()
    ahead = label_ahead("A-01", "P-002")
    sides.theirs.must_anyway(ahead, "3:00")
    sides.ours.must(replace(ahead, person="P-001"), "3:01")
    sides.ours.must(label_ahead("A-02", "P-001"), "3:02")
    sides.ours.must(sides.ours.label_act("A-01", "P-001"), "3:03")

    found = sides.join("4:00")

    assert reasons(found)[:2] == [ApartReason.LABEL_TAKEN, ApartReason.LABEL_TAKEN]
    assert found.board.ahead["A-01"].person == "key-P-002"
    assert found.board.ahead["A-02"].person == "key-P-001"
    assert found.follow == ()


def test_a_label_written_ahead_before_the_cut_is_its_persons() -> None:
    """Their turn came while the station was alone."""
    bay = SharedBay()
    bay.put(PolicySet(at=at("0:00"), policy=replace(UNDECIDED, label_ahead=True)))
    bay.must(label_ahead("A-01", "P-001"))
    sides = bay.cut()
    sides.ours.must(sides.ours.label_act("A-01", "P-001"), "3:00")

    found = sides.join()

    assert not found.apart
    assert not found.board.ahead


def test_a_person_who_was_entered_on_both_sides_is_one_person() -> None:
    """With one history, whichever station they came to, under the key that the record knows."""
    sides = SharedBay().cut()
    there = Private(key="key-there", salt="s", value="P-009")
    here = Private(key="key-here", salt="t", value="P-009")
    other = Private(key="key-other", salt="t", value="P-010")
    sides.theirs.must(RegisterPerson(by="op-1", person=there), "3:00")
    party = RegisterParty(by="op-1", party=private("car 1"), persons=(here, other))
    sides.ours.must(party, "3:00")
    sides.ours.must(sides.ours.label_act("A-01", "P-009"), "3:01")
    particulars = NoteParticulars(
        by="op-1",
        person="P-009",
        particulars=((Particular.NAME, private("A Name")),),
        today=TODAY,
    )
    sides.ours.must(particulars, "3:02")

    found = sides.join()

    assert [type(each) for each in found.fates if isinstance(each.event, PersonRegistered)] == [
        Same,
        Stands,
    ]
    assert not found.apart
    assert one(found, "A-01").labelled.subject == "key-there"
    assert found.board.persons["P-009"] == "key-there"
    assert found.board.party_of("key-there") == found.board.parties["key-car 1"]
    assert found.board.parties["key-car 1"].persons == ("key-there", "key-other")
    assert found.board.person_files["key-there"].name == "A Name"
    assert "key-here" not in found.board.names


def test_what_is_kept_apart_of_such_a_person_names_the_key_that_the_record_knows() -> None:
    """Whoever traces or erases them finds it."""
    sides = SharedBay().cut()
    for side, key in ((sides.theirs, "key-there"), (sides.ours, "key-here")):
        person = Private(key=key, salt="s", value="P-009")
        side.must(RegisterPerson(by="op-1", person=person), "3:00")
    sides.theirs.must_anyway(sides.theirs.label_act("A-01", "P-001"), "3:01")
    sides.ours.must(replace(sides.ours.label_act("A-01", "P-009"), new_id="id-ours"), "3:01")

    (label, *_) = sides.join().apart

    assert (label.cartridge, label.person) == ("id-ours", "key-there")


def test_an_erased_person_is_nobodys_twin() -> None:
    """Without an ID nobody can say that two are one."""
    sides = SharedBay().cut()
    gone = Private(key="key-gone", salt="", value=None)
    sides.ours.record(PersonRegistered(at=at("3:00"), by=None, person=gone))

    assert [type(each) for each in sides.join().fates] == [Stands]


@pytest.mark.parametrize(
    ("said", "fate"), [("A Name", Same), ("Another", None)], ids=["the same", "otherwise"]
)
def test_something_noted_of_a_person_on_both_sides_is_not_written_over(
    said: str, fate: type | None
) -> None:
    """A name is read back at the reading: the last writer must not win."""
    sides = SharedBay().cut()
    for side, name in ((sides.theirs, "A Name"), (sides.ours, said)):
        note = NoteParticulars(
            by="op-1",
            person="P-001",
            particulars=((Particular.NAME, private(name)),),
            today=TODAY,
        )
        side.must(note, "3:00" if name == "A Name" else "3:01")

    found = sides.join()

    assert found.board.person_files["key-P-001"].name == "A Name"
    if fate is None:
        assert reasons(found, ParticularNoted) == [ApartReason.SAID_OTHERWISE]
    else:
        assert [type(each) for each in found.fates] == [fate]


def test_a_refusal_there_is_not_undone_by_a_consent_here() -> None:
    """The visit has ended; a consent may be noted anew."""
    sides = SharedBay().cut()
    sides.theirs.must(refusal(), "3:00")
    sides.ours.must(consent(), "3:01")

    found = sides.join()

    assert reasons(found, ConsentNoted) == [ApartReason.REFUSED_THERE]
    assert found.board.person_files["key-P-001"].consent == sides.theirs.events[0]


def test_a_refusal_here_stands_whatever_was_noted_there() -> None:
    """Whoever said no last or first: no is no."""
    sides = SharedBay().cut()
    sides.theirs.must(consent(), "3:01")
    sides.ours.must(refusal(), "3:00")

    found = sides.join()

    assert not found.apart
    assert found.board.person_files["key-P-001"].consent == sides.ours.events[0]


def test_a_consent_on_both_sides_is_one_if_it_says_the_same() -> None:
    """And apart if it does not: to whom the result may be told is nothing to guess at."""
    for told_to, expected in ((ToldTo.PERSON, []), (ToldTo.OTHER, [ApartReason.SAID_OTHERWISE])):
        sides = SharedBay().cut()
        sides.theirs.must(consent(), "3:00")
        sides.ours.must(consent(told_to), "3:01")
        assert reasons(sides.join()) == expected


@pytest.mark.parametrize(
    ("onset", "expected"), [("2026-03-28", []), ("2026-03-27", [ApartReason.SAID_OTHERWISE])]
)
def test_symptoms_on_both_sides_are_not_written_over(
    onset: str, expected: list[ApartReason]
) -> None:
    """As any other word about a person."""
    sides = SharedBay().cut()
    for side, day in ((sides.theirs, "2026-03-28"), (sides.ours, onset)):
        act = NoteSymptoms(by="op-1", person="P-001", present=True, onset=private(day), today=TODAY)
        side.must(act, "3:00" if side is sides.theirs else "3:01")

    assert reasons(sides.join()) == expected


def test_symptoms_without_a_day_on_both_sides_are_one() -> None:
    """Nothing was said of when they began."""
    sides = SharedBay().cut()
    for side, now in ((sides.theirs, "3:00"), (sides.ours, "3:01")):
        act = NoteSymptoms(by="op-1", person="P-001", present=False, onset=None, today=TODAY)
        side.must(act, now)

    assert [type(each) for each in sides.join().fates] == [Same]


def test_what_was_begun_alone_while_the_shift_was_closed_there_runs_on_into_the_next_one() -> None:
    """Its label stays taken until the next shift is closed."""
    bay = SharedBay()
    bay.put(PolicySet(at=at("0:00"), policy=replace(UNDECIDED, shifts=Shifts.ON)))
    bay.must(OpenShift(by="op-1", facts=Facts(), today=TODAY))
    bay.developing()
    sides = bay.cut()
    sides.theirs.must(CloseShift(by="op-1", today=TODAY, words=private("cut")), "19:00")
    sides.ours.must(sides.ours.read_act(NEGATIVE), "18:00")
    sides.ours.must(sides.ours.label_act("A-01", "P-002"), "19:30")

    found = sides.join()

    assert not found.apart
    assert one(found).outcome is Outcome.NEGATIVE
    assert one(found, "A-01").stage is Stage.LABELLED
    assert found.board.shift_book.running is None
    assert is_label_taken(found.board, "A-01")


def test_a_label_that_a_closed_shift_gave_back_there_is_free_for_what_was_begun_here() -> None:
    """Labels are unique within a shift only."""
    bay = SharedBay()
    bay.put(PolicySet(at=at("0:00"), policy=replace(UNDECIDED, shifts=Shifts.ON)))
    bay.must(OpenShift(by="op-1", facts=Facts(), today=TODAY))
    bay.label("A-01", "P-001")
    bay.must(bay.void_act("A-01"))
    bay.must(CloseShift(by="op-1", today=TODAY), "1:00")
    bay.must(OpenShift(by="op-1", facts=Facts(), today=TODAY), "2:00")
    sides = bay.cut()
    sides.ours.must(replace(sides.ours.label_act("A-01", "P-002"), new_id="id-again"), "3:00")

    found = sides.join()

    assert not found.apart
    assert one(found, "A-01").id == "id-again"

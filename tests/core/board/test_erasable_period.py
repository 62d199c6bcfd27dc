"""What an erasing erases of a closed period, and of whom it leaves everything."""

from __future__ import annotations

from builders import at, private
from core.board.erasing_bench import NOBODY, gather, kept_apart, noted, refused, visit, without_ids
from journal.samples import Day
from readbell.core.board.acts import RegisterParty, RegisterPerson
from readbell.core.cartridge.acts import Void
from readbell.core.cartridge.events import VoidReason
from readbell.core.people.events import PartyNoted
from readbell.core.people.particulars import OfParty
from readbell.core.private import Private
from readbell.core.staff.acts import OpenRecord
from readbell.core.staff.events import Opened


def test_of_a_period_goes_who_was_last_seen_in_it() -> None:
    """Whoever came again later keeps the ID, and no word about the older visit."""
    day = Day()
    noted(day, "P-002", name="Bea Example")
    for label, person in (("C1", "P-001"), ("C2", "P-002")):
        day.label(label, person)
        act = Void(aim=day.aim(label), reason=VoidReason.OTHER, words=private(f"of {label}"))
        day.must(act, "1:00")
    closed = len(day.events)
    visit(day, "C3", "P-002")
    looked = OpenRecord(by="op-1", person="P-001", what=Opened.HISTORY, since=at("0:00"))
    day.must(looked, "20:00")

    gathering = gather(day.events, closed)
    found = gathering.of_period(NOBODY)

    assert gathering.period.found.events == closed
    assert found.persons == ("key-P-001",)
    assert found.kept == 1
    assert set(found.keys) == {"key-P-001", "key-of C1", "key-of C2"}


def test_of_a_period_nobody_goes_with_whom_something_is_to_be_done() -> None:
    """Nor any word about them, or about the party they wait in."""
    day = Day()
    day.must(RegisterParty(by="op-1", party=private("Car"), persons=(private("P-001"),)))
    for label, person in (("C1", "P-001"), ("C2", "P-002")):
        day.label(label, person)
        act = Void(aim=day.aim(label), reason=VoidReason.OTHER, words=private(f"of {label}"))
        day.must(act, "1:00")

    found = gather(day.events).of_period(frozenset({"key-P-001"}))

    assert set(found.keys) == {"key-P-002", "key-of C2"}
    assert found.kept == 1


def test_of_a_period_every_near_miss_goes() -> None:
    """What was typed may be anybody's identifier."""
    day = Day()
    day.events.append(refused('{"person": "X-9"}'))
    day.events.append(refused(None))
    closed = len(day.events)
    day.events.append(refused('{"person": "X-8"}'))

    found = gather(day.events, closed).of_period(NOBODY)

    assert 'key-{"person": "X-9"}' in found.keys
    assert 'key-{"person": "X-8"}' not in found.keys


def test_what_is_erased_is_not_erased_again() -> None:
    """A second act counts what is left."""
    day = Day()
    erased = [
        PartyNoted(
            at=at("0:00"),
            by=None,
            party="key-Car",
            what=OfParty.NOTE,
            value=Private(key="key-note", salt="", value=None),
        )
    ]
    assert "key-note" not in gather([*day.events, *erased]).of_period(NOBODY).keys


def test_who_comes_in_a_party_was_here() -> None:
    """Though nothing was done with them yet."""
    day = Day()
    closed = len(day.events)
    day.must(RegisterParty(by="op-1", party=private("Car"), persons=(private("P-001"),)))

    found = gather(day.events, closed).of_period(NOBODY)

    assert found.persons == ("key-P-002",)
    assert found.kept == 1


def test_who_was_registered_by_the_last_event_of_a_period_goes_with_it() -> None:
    """Its border belongs to it."""
    day = Day()
    visit(day, "C1", "P-001")
    day.must(RegisterPerson(by="op-1", person=private("P-009")), "20:00")
    closed = len(day.events)
    gathering = gather(day.events, closed)
    assert gathering.period.found.events == closed
    assert "key-P-009" in gathering.of_period(NOBODY).keys


def test_who_came_for_the_first_time_after_a_period_is_not_counted_as_of_it() -> None:
    """What is told of those who stay is told of those who were here."""
    day = Day()
    closed = len(day.events)
    day.must(RegisterPerson(by="op-1", person=private("P-009")), "20:00")

    found = gather(day.events, closed).of_period(NOBODY)

    assert found.persons == ("key-P-001", "key-P-002")
    assert found.kept == 0


def test_what_was_noted_of_somebody_whose_id_is_gone_goes_with_its_period() -> None:
    """Though there is nothing left to look for them by in what others said."""
    day = Day()
    noted(day, "P-001", birth_date="1980-02-03")

    assert gather(without_ids(day.events)).of_period(NOBODY).keys == ("key-1980-02-03",)


def test_what_is_kept_apart_of_nobody_goes_with_its_period() -> None:
    """As what was entered in an act that was refused."""
    day = Day()
    visit(day, "C1", "P-001")
    day.events += [kept_apart('{"k1": "words"}')]

    found = gather(day.events)

    assert 'key-{"k1": "words"}' in found.of_period(NOBODY).keys

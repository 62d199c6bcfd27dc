"""What an erasing erases of one person, and what it leaves."""

from __future__ import annotations

import pytest

from builders import at, private
from core.board.erasing_bench import NOBODY, gather, kept_apart, noted, refused, visit, without_ids
from journal.samples import Day
from readbell.core.board.acts import RegisterParty, RegisterPerson
from readbell.core.cartridge.acts import Void
from readbell.core.cartridge.events import VoidReason
from readbell.core.keeping.events import ArchiveWritten
from readbell.core.people.acts import NoteParty
from readbell.core.private import Private
from readbell.core.review.acts import WithdrawResult
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import HoldReason, WithdrawReason
from readbell.core.stock.acts import RecallLot


def test_of_one_person_goes_all_that_is_about_them() -> None:
    """ID, name, what was written of their cartridge, what was mistyped about them."""
    day = Day()
    noted(day, "P-001", name="Ada Example")
    noted(day, "P-002", name="Bea Example")
    visit(day, "C1", "P-001")
    withdrawn = WithdrawResult(
        by="op-1", cartridge="C1", reason=WithdrawReason.OTHER, words=private("smudged")
    )
    day.must(withdrawn, "19:00")
    visit(day, "C2", "P-002")
    day.events.append(refused('{"by": "op-1", "person": "P-001", "cartridge": "C9"}'))
    day.events.append(refused('{"by": "op-1", "scanned": "C7"}', "id-C1"))
    day.events.append(refused('{"by": "op-1", "person": "P-002"}'))

    found = gather(day.events).of_person("key-P-001")

    assert found.persons == ("key-P-001",)
    assert found.kept == 0  # only of a period does anybody stay
    assert set(found.keys) == {
        "key-P-001",
        "key-Ada Example",
        "key-smudged",
        'key-{"by": "op-1", "person": "P-001", "cartridge": "C9"}',
        'key-{"by": "op-1", "scanned": "C7"}',
    }


@pytest.mark.parametrize(
    ("words", "goes"),
    [
        ("this was P-001's, not hers", True),
        ("this was P-001, not hers", True),
        ("swapped with p-001.", True),
        ("belongs to Ada Example of lane 2", True),
        ("Ada said so", False),
        ("Nada Example said so", False),
        ("this was P-0012, not hers", False),
        ("call 07700 900123", True),
        ("a smear", False),
    ],
)
def test_a_text_about_another_goes_if_it_names_them(words: str, goes: bool) -> None:
    """Whoever is forgotten must not stand in a sentence about somebody else."""
    day = Day()
    noted(day, "P-001", name="Ada Example", contact="07700 900123")
    visit(day, "C2", "P-002")
    act = WithdrawResult(
        by="op-1", cartridge="C2", reason=WithdrawReason.OTHER, words=private(words)
    )
    day.must(act, "19:00")

    gathering = gather(day.events)

    assert (f"key-{words}" in gathering.of_person("key-P-001").keys) is goes
    assert gathering.names_one_of(words, ("key-P-001",)) is goes


def test_a_name_of_one_word_and_an_id_of_two_letters_are_no_sign_of_anybody() -> None:
    """Else half of all free text would go with the first person called Rose."""
    day = Day()
    day.must(RegisterPerson(by="op-1", person=private("P1")))
    noted(day, "P1", name="Rose", birth_date="1980-02-03")
    visit(day, "C2", "P-002")
    words = private("a rose of 1980-02-03, see P1")
    day.must(
        WithdrawResult(by="op-1", cartridge="C2", reason=WithdrawReason.OTHER, words=words), "19:00"
    )
    assert set(gather(day.events).of_person("key-P1").keys) == {
        "key-P1",
        "key-Rose",
        "key-1980-02-03",
    }


def test_somebody_elses_id_stays_though_it_looks_like_theirs() -> None:
    """An ID is whole or it is another."""
    day = Day()
    day.must(RegisterPerson(by="op-1", person=private("P-001 B")))
    assert gather(day.events).of_person("key-P-001").keys == ("key-P-001",)


def test_the_party_goes_with_the_first_of_it() -> None:
    """A number plate names all who came in the car."""
    day = Day()
    persons = (private("P-001"), private("P-002"))
    day.must(RegisterParty(by="op-1", party=private("Car 7"), persons=persons))
    day.must(NoteParty(by="op-1", party="Car 7", lane=private("lane 3"), note=private("hurry")))

    found = gather(day.events).of_person("key-P-002")

    assert set(found.keys) == {"key-P-002", "key-Car 7", "key-lane 3", "key-hurry"}


def test_those_who_work_here_and_what_was_said_of_lots_stay() -> None:
    """They are answerable for the work, and no patient is in it."""
    day = Day()
    visit(day, "C1", "P-001")
    day.must(RecallLot(by="op-1", lot="L-100", words=private("the maker wrote")), "19:00")
    day.events.append(
        ReadingHeld(
            at=at("19:00"),
            by=None,
            cartridge="id-C1",
            reasons=(HoldReason.UNVERIFIED,),
            stated_name=private("Dr. Stand-In"),
        )
    )
    gathering = gather(day.events)

    assert set(gathering.of_person("key-P-001").keys) == {"key-P-001"}
    assert set(gathering.of_period(NOBODY).keys) == {"key-P-001", "key-P-002"}


def test_what_stands_beside_something_that_was_erased_can_still_be() -> None:
    """One event may keep two texts apart."""
    day = Day()
    archive = ArchiveWritten(
        at=at("20:00"),
        by="key-op-1",
        through=at("19:00"),
        events=1,
        head="0" * 64,
        digest="0" * 64,
        file=Private(key="key-file", salt="", value=None),
        words=private("P-001 asked for it"),
    )
    found = gather([*day.events, archive]).of_person("key-P-001")

    assert set(found.keys) == {"key-P-001", "key-P-001 asked for it"}


def test_of_somebody_whose_id_is_gone_a_name_on_file_is_a_sign_still() -> None:
    """What is left of them is left to be erased."""
    day = Day()
    noted(day, "P-001", name="Bea Example")
    gathering = gather(without_ids(day.events))

    assert gathering.names_one_of("Bea Example called", ("key-P-001",))
    assert not gathering.names_one_of("P-001 called", ("key-P-001",))


def test_a_near_miss_goes_with_the_person_whose_id_was_typed_in_it() -> None:
    """No cartridge says whose it was; what was typed does."""
    day = Day()
    visit(day, "C1", "P-001")
    miss = '{"person": "P-002"}'
    day.events.append(refused(miss))

    gathering = gather(day.events)

    assert f"key-{miss}" in gathering.of_person("key-P-002").keys
    assert f"key-{miss}" not in gathering.of_person("key-P-001").keys
    kept = gathering.of_period(frozenset({"key-P-002"}))
    assert f"key-{miss}" not in kept.keys


def test_an_id_of_three_letters_is_looked_for_and_one_after_a_short_one_too() -> None:
    """Shorter ones are no sign of anybody, and hide nothing that comes after them."""
    day = Day()
    for each in ("P7", "P77"):
        day.must(RegisterPerson(by="op-1", person=private(each)))
    noted(day, "P7", contact="p7@example.org")
    visit(day, "C2", "P-002")
    for place, words in enumerate(("for P77.", "to p7@example.org")):
        day.label(f"D{place}", "P-002", "20:00")
        act = Void(aim=day.aim(f"D{place}"), reason=VoidReason.OTHER, words=private(words))
        day.must(act, "21:00")
    gathering = gather(day.events)
    assert "key-for P77." in gathering.of_person("key-P77").keys
    assert "key-to p7@example.org" in gathering.of_person("key-P7").keys


def test_what_is_kept_apart_of_a_person_goes_with_them() -> None:
    """It is kept whole, but not for ever against their will; what it did stays."""
    day = Day()
    visit(day, "C1", "P-001")
    day.events += [
        kept_apart('{"k1": "dropped it"}', "key-P-001"),
        kept_apart('{"k2": "P-001 was there"}'),
        kept_apart('{"k3": "somebody else"}', "key-P-002"),
        kept_apart(None, "key-P-001"),
    ]

    keys = gather(day.events).of_person("key-P-001").keys

    assert 'key-{"k1": "dropped it"}' in keys
    assert 'key-{"k2": "P-001 was there"}' in keys
    assert 'key-{"k3": "somebody else"}' not in keys

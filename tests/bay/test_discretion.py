"""What is handed to one person has nobody else in it: no ID, no name, no word about them."""

from __future__ import annotations

from datetime import UTC
from typing import TYPE_CHECKING

import pytest

from builders import NEGATIVE, at, private
from core.board.erasing_bench import noted, refused, visit
from journal.samples import STAMP, Day
from readbell.bay.discretion import ANOTHER, LEFT_OUT, SOMEBODY_ELSE, Discretion
from readbell.bay.tracing import Told
from readbell.core.board.acts import RegisterParty, RegisterPerson
from readbell.core.board.fold import replay
from readbell.core.people.acts import NoteParty
from readbell.core.review.acts import WithdrawResult
from readbell.core.review.events import MixUpFound, ReadingHeld
from readbell.core.review.reasons import HoldReason, WithdrawReason
from readbell.core.stock.acts import RecallLot
from readbell.journal.envelope import Envelope
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.trace_words import story_line

if TYPE_CHECKING:
    from readbell.core.board.event import Event

FACE = ClockFace(zone=UTC)


def handed(day: Day, event: Event) -> str:
    """Return what P-001 is told of `event`, in words and as a program gets it."""
    board = replay(day.events)
    told = Told(
        number=1,
        envelope=Envelope(id="event-1", event=event, stamp=STAMP, assay=None),
        board=board,
        face=FACE,
    )
    masked = Discretion("key-P-001", board).discreet(told)
    kept = [each for each in (getattr(masked.event, "words", None),) if each is not None]
    values = [each.value or "" for each in kept]
    return "\n".join((story_line(masked.event, masked.board, FACE), *values))


def two() -> Day:
    """Return a day on which two people were tested."""
    day = Day()
    noted(day, "P-001", name="Ada Example", contact="07700 900123")
    noted(day, "P-002", name="Bea Exemplar", contact="07700 900456")
    visit(day, "C1", "P-001")
    visit(day, "C2", "P-002")
    return day


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("it was P-002's strip", f"it was {SOMEBODY_ELSE}'s strip"),
        ("it was p-002.", f"it was {SOMEBODY_ELSE}"),
        ("seen by op-2", f"seen by {SOMEBODY_ELSE}"),
        ("Bea said so", f"{SOMEBODY_ELSE} said so"),
        ("ask Exemplar, 900456", f"ask {SOMEBODY_ELSE}, {SOMEBODY_ELSE}"),
        ("P-001, Ada Example, 900123", "P-001, Ada Example, 900123"),
        ("smeared", "smeared"),
    ],
)
def test_ids_and_names_of_others_are_taken_out_of_words(words: str, told: str) -> None:
    """What is their own stays."""
    day = two()
    act = WithdrawResult(
        by="op-1", cartridge="C1", reason=WithdrawReason.OTHER, words=private(words)
    )
    (event,) = day.must(act, "19:00")
    assert f"In words: {told}" in handed(day, event)


def test_those_who_work_here_are_numbered_as_they_appear() -> None:
    """The same one is the same number throughout."""
    day = two()
    board = replay(day.events)
    discretion = Discretion("key-P-001", board)
    stories = []
    for event in day.events:
        told = Told(
            number=1,
            envelope=Envelope(id="event-1", event=event, stamp=STAMP, assay=None),
            board=board,
            face=FACE,
        )
        masked = discretion.discreet(told)
        stories.append(story_line(masked.event, masked.board, FACE))
    assert "op-1" not in "\n".join(stories)
    assert any(each.endswith("[operator 1]") for each in stories)
    assert discretion.names_in({"by": "key-op-1", "n": 1, "all": ["key-op-1", "x"]}) == {
        "by": "operator 1",
        "n": 1,
        "all": ["operator 1", "x"],
    }


def test_a_party_has_its_name_and_no_other_person_and_no_note() -> None:
    """A note was written of all of them."""
    day = Day()
    persons = (private("P-001"), private("P-002"))
    day.must(RegisterParty(by="op-1", party=private("Car 7"), persons=persons))
    (_, note) = day.must(
        NoteParty(by="op-1", party="Car 7", lane=private("lane 3"), note=private("P-002 is ill"))
    )
    party = next(each for each in day.events if type(each).__name__ == "PartyRegistered")
    said = handed(day, party)
    assert f"Party Car 7 registered, in this order: P-001, {ANOTHER}." in said
    masked = Discretion("key-P-001", replay(day.events))
    told = Told(
        number=1,
        envelope=Envelope(id="event-1", event=note, stamp=STAMP, assay=None),
        board=replay(day.events),
        face=FACE,
    )
    kept = masked.discreet(told).event
    assert getattr(kept, "value").value == LEFT_OUT  # noqa: B009  # one of many kinds


@pytest.mark.parametrize(
    ("entered", "given"),
    [
        (
            '{"by": "op-1", "person": "P-002", "cartridge": "C1", "second": "Bea Exemplar"}',
            f"person {SOMEBODY_ELSE}, second identifier {SOMEBODY_ELSE}",
        ),
        (
            '{"person": "P-001", "scanned": "P-002", "lot": null}',
            f"scanned {SOMEBODY_ELSE}, person P-001",
        ),
        (
            '{"steps": ["buffer", "P-002"], "give_or_take": 20000}',
            f"steps Buffer into the tube and {SOMEBODY_ELSE}, give or take 0:20",
        ),
        ("no JSON", LEFT_OUT),
    ],
)
def test_what_was_typed_and_refused_names_nobody_else(entered: str, given: str) -> None:
    """A mismatch is just that: somebody else's ID at their strip."""
    day = two()
    said = handed(day, refused(entered, "id-C1"))
    assert f"Given: {given}." in said
    assert "P-002" not in said


def test_of_many_cartridges_at_once_only_their_own_are_named() -> None:
    """A recall lists everybody who was tested with the lot."""
    day = two()
    (*_, recall) = [
        each
        for each in day.must(RecallLot(by="op-1", lot="L-100", words=None), "19:00")
        if type(each).__name__ == "LotRecalled"
    ]
    mixed = MixUpFound(
        at=at("19:30"),
        by="key-op-1",
        cartridges=("id-C1", "id-C2"),
        persons=("key-P-001", "key-P-002"),
        reason=WithdrawReason.ANOTHER_PERSON,
        own=False,
    )
    for event in (recall, mixed):
        said = handed(day, event)
        assert "C2" not in said
        assert "P-002" not in said


def test_a_name_that_an_operator_typed_is_left_out() -> None:
    """It is theirs."""
    day = two()
    held = ReadingHeld(
        at=at("19:00"),
        by=None,
        cartridge="id-C1",
        reasons=(HoldReason.UNVERIFIED,),
        stated_name=private("Dr. Stand-In"),
    )
    day.events.append(held)
    board = replay(day.events)
    told = Told(
        number=1,
        envelope=Envelope(id="event-1", event=held, stamp=STAMP, assay=None),
        board=board,
        face=FACE,
    )
    kept = Discretion("key-P-001", board).discreet(told).event
    assert isinstance(kept, ReadingHeld)
    assert kept.stated_name is not None
    assert kept.stated_name.value == SOMEBODY_ELSE


def test_short_words_are_nobodys_name() -> None:
    """Else no sentence could be read."""
    day = Day()
    day.must(RegisterPerson(by="op-1", person=private("P-003")))
    noted(day, "P-003", name="Al Of")
    day.to_well("C1", "P-001")
    day.must(day.read_act(NEGATIVE), "18:00")
    act = WithdrawResult(
        by="op-1", cartridge="C1", reason=WithdrawReason.OTHER, words=private("end of al day")
    )
    (event,) = day.must(act, "19:00")
    assert "In words: end of al day." in handed(day, event)

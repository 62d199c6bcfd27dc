"""What a board that goes on elsewhere forgets when somebody is erased: it had taken their words in.

The record that is read back has nothing of it. A board that was open meanwhile, at another station
or before somebody who looks on, has to come to the same.
"""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import date
from typing import TYPE_CHECKING, Any

from builders import START, TODAY, at, private
from core.board.erasing_bench import gather, kept_apart, visit
from core.board.test_keeping import archive
from journal.samples import Day
from readbell.core.board.acts import RegisterParty
from readbell.core.board.fold import fold, replay
from readbell.core.cartridge.acts import Void
from readbell.core.cartridge.events import VoidReason
from readbell.core.keeping.acts import EraseRecords
from readbell.core.keeping.events import ErasedScope, RecordErased
from readbell.core.people.acts import NoteConsent, NoteParty
from readbell.core.people.particulars import ConsentBy, ConsentHow, ToldTo
from readbell.core.private import Private
from readbell.core.results.telling import Channel, Hearer, TellResult
from readbell.core.review.acts import WithdrawResult
from readbell.core.review.reasons import WithdrawReason
from readbell.core.stock.acts import CorrectLot, LastDay, LoseUnits, RecallLot
from readbell.core.stock.events import LossReason

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.event import Event


def erased(day: Day, person: str = "P-001") -> RecordErased:
    """Erase somebody, as the one who asks for it does, and return the event."""
    found = gather(day.events).of_person(f"key-{person}")
    act = EraseRecords(
        by="op-1",
        scope=ErasedScope.PERSON,
        patient=person,
        period=None,
        found=found,
        words=private("asked in writing"),
    )
    (event,) = day.must(act, "30:00")
    assert isinstance(event, RecordErased)
    return event


def read_back(events: list[Event], erasing: RecordErased) -> Iterator[Event]:
    """Yield `events` as they stand in the record once that is done."""
    for event in events:
        gone: dict[str, Any] = {
            each.name: replace(value, value=None, salt="")
            for each in fields(event)
            if isinstance(value := getattr(event, each.name), Private) and value.key in erasing.keys
        }
        yield replace(event, **gone)


def told(day: Day, label: str, words: str) -> None:
    """Tell how a result stands."""
    act = TellResult(
        by="op-1",
        cartridge=label,
        to=Hearer.PERSON,
        how=Channel.PHONE,
        since=START,
        words=private(words),
    )
    day.must(act, "19:00")


def test_a_board_that_is_open_elsewhere_comes_to_what_the_record_says_after_an_erasing() -> None:
    """Words about their cartridges, their party, and what names them elsewhere: on no screen any more."""
    day = Day()
    car = RegisterParty(by="op-1", party=private("Car"), persons=(private("P-001"),))
    day.must(car)
    day.must(NoteParty(by="op-1", party="Car", lane=private("lane 3"), note=private("deaf")))
    van = RegisterParty(by="op-1", party=private("Van"), persons=(private("P-002"),))
    day.must(van)
    note = private("after P-001")
    day.must(NoteParty(by="op-1", party="Van", lane=private("lane 4"), note=note))
    for person, words in (("P-001", "a friend"), ("P-002", "with P-001")):
        consent = NoteConsent(
            by="op-1",
            person=person,
            giver=ConsentBy.SELF,
            how=ConsentHow.SPOKEN,
            assays=(),
            told_to=ToldTo.PERSON,
            words=private(words),
            today=TODAY,
        )
        day.must(consent)
    visit(day, "C1", "P-001")
    told(day, "C1", "called at home")
    visit(day, "C2", "P-002")
    told(day, "C2", "P-001 was by")
    day.must(day.label_act("C3", "P-001"), "20:00")
    day.must(Void(aim=day.aim("C3"), reason=VoidReason.OTHER, words=private("ran off")), "20:00")
    day.must(day.label_act("C4", "P-002"), "20:00")
    void = Void(aim=day.aim("C4"), reason=VoidReason.OTHER, words=private("P-001's swab"))
    day.must(void, "20:00")
    taken_back = WithdrawResult(
        by="op-1", cartridge="C1", reason=WithdrawReason.OTHER, words=private("smudged")
    )
    day.must(taken_back, "21:00")
    told(day, "C1", "called again")

    event = erased(day)

    assert day.board == replay(read_back(day.events, event))
    party = day.board.parties["key-Van"]
    assert (party.lane, party.note) == ("lane 4", None)


def test_a_word_about_a_lot_or_the_record_that_names_them_is_forgotten_as_well() -> None:
    """It is nobody's own, and is looked for where such words stand."""
    day = Day()
    visit(day, "C1", "P-001")
    told(day, "C1", "called")
    day.receive("L-200", day.assay)
    lost = LoseUnits(
        by="op-1", lot="L-200", units=1, reason=LossReason.OTHER, words=private("P-001 fell")
    )
    day.must(lost, "19:00")
    day.must(RecallLot(by="op-1", lot="L-200", words=private("as with P-001")), "20:00")
    correction = CorrectLot(
        by="op-1",
        lot="L-200",
        today=TODAY,
        words=private("P-001 saw it"),
        last_day=LastDay(on=date(2027, 1, 31), ends=at("9999:00")),
    )
    day.must(correction, "20:00")
    day.must(archive(why="before P-001 goes"), "20:00")
    apart = kept_apart("P-001 was not here")
    day.events.append(apart)
    day.board = fold(day.board, apart)

    event = erased(day)

    assert day.board == replay(read_back(day.events, event))


def test_what_was_erased_of_one_stays_of_the_others() -> None:
    """A board forgets no more than the record does."""
    day = Day()
    for label, person in (("C1", "P-001"), ("C2", "P-002")):
        visit(day, label, person)
        told(day, label, f"called {label}")

    erased(day)

    one, other = (day.board.told[f"id-{label}"][0].words for label in ("C1", "C2"))
    assert one is not None
    assert other is not None
    assert (one.value, other.value) == (None, "called C2")


def test_an_erasing_of_an_older_program_names_no_cartridge_and_is_folded_all_the_same() -> None:
    """Records of years ago are to be read for ever."""
    day = Day()
    visit(day, "C1", "P-001")
    told(day, "C1", "called")
    event = replace(erased(day), whose=())

    assert replay([*read_back(day.events[:-1], event), event]).name("key-P-001") is None

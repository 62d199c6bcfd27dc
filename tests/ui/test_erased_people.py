"""After everybody was erased every page still stands, names nobody, and says so where a name stood."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from datetime import UTC
from typing import TYPE_CHECKING, Any

import pytest

from builders import FAINT, NEGATIVE, NO_CONTROL, TODAY, at, private
from journal.samples import Day
from readbell.core.board.acts import RegisterParty
from readbell.core.board.day_sheet import make_day_sheet
from readbell.core.board.fold import replay
from readbell.core.cartridge.acts import Void
from readbell.core.cartridge.events import VoidReason
from readbell.core.people.acts import NoteConsent, NoteParticulars, NoteParty, NoteSymptoms
from readbell.core.people.events import OperatorRegistered
from readbell.core.people.particulars import ConsentBy, ConsentHow, Particular, ToldTo
from readbell.core.private import Private
from readbell.core.review.acts import WithdrawResult
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import HoldReason, WithdrawReason
from readbell.core.shift.book import Shift
from readbell.core.shift.events import ShiftClosed, ShiftOpened
from readbell.hand.aloud import said_aloud
from readbell.hand.doing import Following, Leaving, Room, Visiting, Watching
from readbell.phrases.cartridge_story import story_of
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.day_sheet_words import day_sheet_lines
from readbell.phrases.of_bay import tell
from readbell.phrases.trace_words import story_line
from ui.pages import SIZES, painted, present, text

if TYPE_CHECKING:
    from readbell.core.board.board import Board

FACE = ClockFace(zone=UTC)
NAMED = ("P-001", "P-002", "Ada", "Exemplar", "Car 7", "lane 3", "hurry", "fainted", "her mother")
NOW = at("20:00")


def day() -> Day:
    """Return a day with everything on it that names somebody."""
    made = Day()
    for who, name in (("P-001", "Ada Example"), ("P-002", "Bea Exemplar")):
        noted = ((Particular.NAME, private(name)), (Particular.BIRTH_DATE, private("1980-02-03")))
        made.must(NoteParticulars(by="op-1", person=who, particulars=noted, today=TODAY))
    consent = NoteConsent(
        by="op-1",
        person="P-001",
        giver=ConsentBy.GUARDIAN,
        how=ConsentHow.SPOKEN,
        assays=(),
        told_to=ToldTo.GUARDIAN,
        words=private("her mother"),
        today=TODAY,
    )
    made.must(consent)
    made.must(
        NoteSymptoms(
            by="op-1", person="P-001", present=True, onset=private("2026-03-28"), today=TODAY
        )
    )
    persons = (private("P-001"), private("P-002"))
    made.must(RegisterParty(by="op-1", party=private("Car 7"), persons=persons))
    made.must(NoteParty(by="op-1", party="Car 7", lane=private("lane 3"), note=private("hurry")))
    made.label("C1", "P-001")
    gone = Void(aim=made.aim("C1"), reason=VoidReason.OTHER, words=private("she fainted"))
    made.must(gone, "0:30")
    for label, who, seen in (
        ("C2", "P-001", FAINT),
        ("C3", "P-002", NEGATIVE),
        ("C4", "P-002", NO_CONTROL),
    ):
        made.to_well(label, who)
        made.must(made.read_act(seen, label), "18:00")
    back = WithdrawResult(
        by="op-2", cartridge="C3", reason=WithdrawReason.OTHER, words=private("Ada Example's")
    )
    made.must(back, "19:00")
    made.events.append(
        ReadingHeld(
            at=at("19:00"), by="key-op-1", cartridge="id-C2", reasons=(HoldReason.TEMPERATURE,)
        )
    )
    made.to_well("C5", "P-002")
    return made


def erased(value: Any) -> Any:
    """Return `value` with everything gone that is kept apart, as it is read after an erasing."""
    if isinstance(value, OperatorRegistered):
        return value
    if isinstance(value, Private):
        return replace(value, salt="", value=None)
    if isinstance(value, tuple):
        return tuple(map(erased, value))
    if is_dataclass(value) and not isinstance(value, type):
        changed = {each.name: erased(getattr(value, each.name)) for each in fields(value)}
        return replace(value, **changed)
    return value


EVENTS = [erased(event) for event in day().events]
BOARD: Board = replay(EVENTS)


def names_nobody(words: str) -> bool:
    """Say whether nothing of those who were erased is in `words`."""
    return not any(each in words for each in NAMED)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("room", Room)
def test_every_room_stands_and_names_nobody(room: Room, size: tuple[int, int]) -> None:
    """A list of people that breaks on a missing name would take the whole board with it."""
    page = text(painted(present(BOARD, Visiting(room=room), now=NOW), *size))
    assert page.strip()
    assert names_nobody(page)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("label", ["C1", "C2", "C3", "C5"])
def test_the_board_and_each_cartridge_say_erased(label: str, size: tuple[int, int]) -> None:
    """A blank would be taken for a slip of the program."""
    chosen = f"id-{label}"
    board = text(painted(present(BOARD, Watching(), chosen=chosen, opened=True, now=NOW), *size))
    story = text(painted(present(BOARD, Following(cartridge=chosen), now=NOW), *size))
    leaving = text(painted(present(BOARD, Leaving(), now=NOW), *size))
    assert names_nobody(board + story + leaving)
    assert "labelled for erased from lot L-100" in " ".join(story.split())


def test_every_event_is_told_and_told_again_without_a_name() -> None:
    """In the log, in a story, in a screen reader."""
    for event in EVENTS:
        assert names_nobody(tell(event, BOARD, FACE))
        assert names_nobody(story_line(event, BOARD, FACE))
    for each in BOARD.in_order():
        assert names_nobody("\n".join(story_of(each, BOARD, FACE)))


def test_plain_lines_are_read_out_without_a_name() -> None:
    """Room by room."""
    for room in Room:
        shown = present(BOARD, Visiting(room=room), now=NOW)
        assert names_nobody("\n".join(said_aloud(shown.hand, shown.scene)))


def test_the_day_sheet_of_erased_people_is_what_it_was() -> None:
    """It named none of them before."""
    opened = ShiftOpened(at=at("0:00"), by="key-op-1", number=1, checks=())
    closed = ShiftClosed(at=NOW, by="key-op-1", number=1, left=(), words=erased(private("over")))
    sheet = make_day_sheet(BOARD, Shift(opened=opened, closed=closed), tuple(EVENTS), None)
    lines = "\n".join(day_sheet_lines(sheet, BOARD, FACE))
    assert names_nobody(lines)
    assert "closed over what runs, because: erased" in lines
    assert "by op-1" in lines
